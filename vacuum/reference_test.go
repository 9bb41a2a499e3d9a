package vacuum

import (
	"context"
	"encoding/json"
	"os"
	"testing"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
)

// reference is one case of testdata/transients.json, written by transients.py.
type reference struct {
	Name     string
	Throttle struct{ Bore, Shaft, Closed, Discharge, Bypass float64 }
	Engine   struct {
		Displacement, Volume, Temperature, Back, Overlap, Drive float64
		Filling                                                 [][2]float64
	}
	Air      struct{ Pressure, Temperature float64 }
	Port     struct{ Height, Diameter float64 }
	Line     struct{ Restriction, Volume, Leak float64 }
	Unit     struct{ Area, Rate, Preload, Travel, Arm, Friction float64 }
	Source   string
	Measured bool
	Every    float64
	Driver   [][3]float64
	Samples  [][4]float64
}

func (r reference) system() (*System, []Input) {
	s := &System{
		Throttle: airpath.Throttle{Bore: r.Throttle.Bore, Shaft: r.Throttle.Shaft, Closed: r.Throttle.Closed, Discharge: r.Throttle.Discharge, Bypass: r.Throttle.Bypass},
		Intake: airpath.Intake{
			Volume: r.Engine.Volume, Temperature: r.Engine.Temperature,
			BackPressure: r.Engine.Back, OverlapFactor: r.Engine.Overlap, FilledThrottled: true,
		},
		Air:  air.Ambient(r.Air),
		Port: Port(r.Port),
		Hose: Hose(r.Line),
		Unit: Unit{Area: r.Unit.Area, Rate: r.Unit.Rate, Preload: r.Unit.Preload, Travel: r.Unit.Travel, ArmRadius: r.Unit.Arm, Friction: r.Unit.Friction},
	}
	var filling []knock.Filling
	for _, f := range r.Engine.Filling {
		filling = append(filling, knock.Filling{RPM: rate(f[0]), Efficiency: f[1]})
	}
	s.Intake.Engine = square(r.Engine.Displacement, filling...)
	if r.Source == "ported" {
		s.Source = FromPort
	}
	if r.Measured {
		s.Throttle.Measured = true
	}
	var driver []Input
	for _, d := range r.Driver {
		driver = append(driver, Input{Time: d[0], Throttle: d[1], RPM: rate(d[2])})
	}
	return s, driver
}

// Three transients against SciPy's Radau, which integrates pressures with formulas
// written anew. The reference moves by less than 0.1 Pa when its own tolerance is loosened a hundred times; what is left is this package's
// own tolerance of 1e-9 of the air per step, summed up over a thousand steps.
func TestTransientsAgainstSciPy(t *testing.T) {
	file, err := os.ReadFile("testdata/transients.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []reference
	if err := json.Unmarshal(file, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != 3 {
		t.Fatalf("%d cases", len(cases))
	}
	for _, c := range cases {
		for _, set := range []struct{ tolerance, pascal float64 }{{1e-9, 0.1}, {1e-6, 5}} {
			s, driver := c.system()
			run, err := s.Run(context.Background(), nil, driver, &RunSettings{Every: c.Every, Tolerance: set.tolerance})
			if err != nil {
				t.Fatalf("%s: %v", c.Name, err)
			}
			if len(run.Samples) != len(c.Samples) {
				t.Fatalf("%s: %d samples, reference %d", c.Name, len(run.Samples), len(c.Samples))
			}
			worst, moved := 0.0, 0.0
			for i, want := range c.Samples {
				got := run.Samples[i]
				near(t, "time", got.Time, want[0], 1e-9)
				near(t, c.Name+": manifold", got.Manifold, want[1], set.pascal)
				near(t, c.Name+": chamber", got.Chamber, want[2], set.pascal)
				near(t, c.Name+": rod", got.Rod, want[3], set.pascal*s.Unit.Area/s.Unit.Rate)
				worst = max(worst, got.Manifold-want[1], want[1]-got.Manifold, got.Chamber-want[2], want[2]-got.Chamber)
				moved = max(moved, got.Rod)
			}
			t.Logf("%s: tolerance %g, %d steps, worst difference %.3g Pa", c.Name, set.tolerance, run.Steps, worst)
			if moved == 0 {
				t.Errorf("%s: the rod never moved", c.Name)
			}
		}
	}
}
