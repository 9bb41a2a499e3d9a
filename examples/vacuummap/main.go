// Vacuummap draws the whole spark map of a distributor with its vacuum unit.
//
//	go run ./examples/vacuummap -out DIR
//
// Total advance over engine speed and manifold pressure, as contours, as a surface,
// and as slices that show what friction does to rising and falling sweeps. Beside
// it the program prints what a model of the engine wants and tolerates at part load.
//
// The distributor and the engine are scenarios of our own. Computed limits are
// estimates with a band of several degrees, not a permission: start retarded,
// listen under load, and back off at the first trace of knock.
package main

import (
	"io"
	"math"
	"os"

	"gonum.org/v1/gonum/floats"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/vacuum"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run writes the plots and prints the comparison with the engine.
func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		if err := against(out); err != nil {
			return nil, err
		}
		return figures()
	})
}

// sea is the day of the study: the standard atmosphere at sea level.
var sea = air.Ambient{Pressure: 101325, Temperature: 288.15}

// distributor is a scenario of our own: 10 degrees static, 22 crank degrees of
// weights from about 1000 rpm, 16 crank degrees of vacuum between 7 and 12 inHg.
func distributor() (*advance.Distributor, error) {
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.05, SpringMomentStop: 0.5, Travel: 11 * math.Pi / 180, Ratio: 0.5, Friction: 0.008,
	}.Curve(nil)
	if err != nil {
		return nil, err
	}
	const area, arm = 9e-4, 32e-3
	unit := vacuum.Unit{Area: area, ArmRadius: arm, Travel: arm * math.Sin(8*math.Pi/180), Friction: 0.8}
	unit.Rate = 5 * vacuum.InchOfMercury * area / unit.Travel
	unit.Preload = 7*vacuum.InchOfMercury*area - unit.Friction
	return &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &unit}, nil
}

// figures draws the study.
func figures() ([]figure.Figure, error) {
	d, err := distributor()
	if err != nil {
		return nil, err
	}
	rpm, pressure := make([]float64, 41), make([]float64, 41)
	floats.Span(rpm, 500, 4500)
	floats.Span(pressure, 20e3, 100e3)
	m, err := mapping.New(nil, d, sea, rpm, pressure)
	if err != nil {
		return nil, err
	}
	contours, err := contours(m)
	if err != nil {
		return nil, err
	}
	slices, err := slicesOf(m)
	if err != nil {
		return nil, err
	}
	surface, err := surface(m)
	if err != nil {
		return nil, err
	}
	return []figure.Figure{{Name: "contours", Plot: contours}, {Name: "surface", Plot: surface}, {Name: "slices", Plot: slices}}, nil
}
