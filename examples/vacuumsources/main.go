// Vacuumsources compares the two places for the vacuum hose, below the throttle
// and at its edge.
//
//	go run ./examples/vacuumsources -out DIR
//
// What each gives over throttle angle at two altitudes, where a long camshaft
// leaves the unit on its ramp at idle, and how fast the spark comes back when the
// throttle is snapped open. The program prints the idle on either source at both
// altitudes, and which one is advised.
//
// Engine and unit are scenarios of our own, and the knock limit is assumed. Set
// timing with the hose off and plugged; a vehicle that was approved with one
// connection may have to keep it: local law comes first.
package main

import (
	"fmt"
	"io"
	"math"
	"os"

	"example.org/bobweight/advance"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run writes the plots and prints the table.
func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		if err := table(out); err != nil {
			return nil, err
		}
		return figures()
	})
}

// altitudes of the study, in m.
var altitudes = [...]float64{0, 1600}

const degree = math.Pi / 180

// unit begins at 7 inHg and gives 16 crank degrees from 12 inHg.
func unit() vacuum.Unit {
	const area, arm = 9e-4, 32e-3
	u := vacuum.Unit{Area: area, ArmRadius: arm, Travel: arm * math.Sin(8*degree), Friction: 0.4}
	u.Rate = 5 * vacuum.InchOfMercury * area / u.Travel
	u.Preload = 7*vacuum.InchOfMercury*area - u.Friction
	return u
}

// system is a 1.6 litre of our own at an altitude in m.
func system(altitude float64) (*vacuum.System, error) {
	a, err := air.Standard(altitude)
	if err != nil {
		return nil, err
	}
	e := knock.NewEngine(4, 80e-3, 79.577471545947667e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	e.Filling = []knock.Filling{{RPM: 572.9577951308232, Efficiency: 0.80}, {RPM: 2864.788975654116, Efficiency: 0.88}, {RPM: 5347.606087887683, Efficiency: 0.8}}
	return &vacuum.System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * degree, Discharge: 0.8, Bypass: 11e-6},
		Intake:   airpath.Intake{Engine: e, Volume: 2.5e-3, Temperature: 320, BackPressure: 1e3, OverlapFactor: 0.4},
		Air:      a,
		Port:     vacuum.Port{Height: 0.9e-3, Diameter: 1e-3},
		Hose:     vacuum.Hose{Restriction: 1.4e-7, Volume: 35e-6},
		Unit:     unit(),
	}, nil
}

// distributor has 10 degrees static and weights that begin above 1000 rpm.
func distributor() (*advance.Distributor, error) {
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.06, SpringMomentStop: 0.5, Travel: 11 * degree, Ratio: 0.5,
	}.Curve(nil)
	if err != nil {
		return nil, err
	}
	u := unit()
	return &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &u}, nil
}

func figures() ([]figure.Figure, error) {
	sources, err := sources()
	if err != nil {
		return nil, err
	}
	idle, err := idle()
	if err != nil {
		return nil, err
	}
	tipIn, err := tipIn()
	if err != nil {
		return nil, err
	}
	return []figure.Figure{{Name: "sources", Plot: sources}, {Name: "idle", Plot: idle}, {Name: "tipin", Plot: tipIn}}, nil
}

// place names an altitude.
func place(altitude float64) string {
	if altitude == 0 {
		return "sea level"
	}
	return fmt.Sprintf("%.0f m", altitude)
}
