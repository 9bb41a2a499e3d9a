package knock

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"example.org/bobweight/knock/internal/unchecked"
	"gonum.org/v1/gonum/interp"
)

// reference is a cycle of testdata/cycles.json, made by cycles.py: inputs, then
// results.
type reference struct {
	Name                                         string
	RPM, Phi, Residual, Mass, T0, Wall           float64
	WallHeat                                     float64 `json:"wall heat"`
	Bore, Stroke, Rod, Offset, Ratio             float64
	Closes, Opens, Spark, Develop, Rapid, Octane float64
	DelayScale                                   float64 `json:"delay scale"`

	Angles, Pressure, Unburned, Burned []float64
	P0, Work, Heat, Integral           float64
	Onset                              *float64
}

// charge builds the cylinder of a reference directly, past the gas exchange.
func (r *reference) charge(t *testing.T) *charge {
	t.Helper()
	e := NewEngine(1, r.Bore, r.Stroke, r.Rod, r.Ratio, Fuel{RON: 100, MON: 90})
	e.PinOffset, e.WallHeat, e.InletClose, e.ExhaustOpen = r.Offset, r.WallHeat, r.Closes, r.Opens
	mix, err := newMixture(e.Fuel, r.Phi)
	if err != nil {
		t.Fatal(err)
	}
	g := newGeometry(e)
	c := &charge{crank: g.crank, path: g.path, mix: mix, rpm: r.RPM, second: 6 * r.RPM, mass: r.Mass, residual: r.Residual,
		closes: -r.Closes, opens: r.Opens, t0: r.T0, wallKelvin: r.Wall}
	c.unburned = mix.fresh.Blend(mix.products, r.Residual)
	c.r = c.unburned.GasConstant()
	c.v0, _, _ = c.crank.at(c.closes)
	c.p0 = c.mass * c.r * c.t0 / c.v0
	c.prepareHeatTransfer(&e, &parameters{})
	c.rate = unchecked.Delay(r.DelayScale, unchecked.PressureExponent, unchecked.Activation, r.Octane)
	c.rate.Constant -= math.Log(c.second)
	c.compress()
	// The burn angles are given: undo the scaling.
	c.develop, c.rapid = 1, 1
	one := c.burn(r.Spark)
	c.develop, c.rapid = r.Develop/one.Develop, r.Rapid/one.Rapid
	return c
}

// Three full cycles against scipy, which integrates energy and entropy instead of
// pressure and temperatures and solves the equilibrium at every state: pressure to
// 1e-4, autoignition to 0.05 degrees.
func TestAgainstSciPy(t *testing.T) {
	text, err := os.ReadFile("testdata/cycles.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cycles []reference }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cycles) != 3 {
		t.Fatalf("%d cycles, want 3", len(file.Cycles))
	}
	for _, r := range file.Cycles {
		c := r.charge(t)
		var samples trace
		out := c.fire(r.Spark, &samples)
		var x, p, tu, tb []float64
		for _, s := range samples.samples {
			if s.Burned > 0 {
				x, p, tu, tb = append(x, s.Degrees), append(p, math.Log(s.Pressure)), append(tu, s.Unburned), append(tb, s.Burned)
			}
		}
		var pressure, unburned, burned interp.NotAKnotCubic
		for s, y := range map[*interp.NotAKnotCubic][]float64{&pressure: p, &unburned: tu, &burned: tb} {
			if err := s.Fit(x, y); err != nil {
				t.Fatal(err)
			}
		}
		worst, worstB := 0.0, 0.0
		for i, angle := range r.Angles {
			worst = math.Max(worst, math.Abs(math.Exp(pressure.Predict(angle))/r.Pressure[i]-1))
			if angle > -r.Spark+5 {
				worstB = math.Max(worstB, math.Abs(burned.Predict(angle)-r.Burned[i]))
			}
		}
		t.Logf("%-20s pressure within %.2g, burned gas within %.2g K, work %.5g against %.5g J, integral %.5f against %.5f", r.Name, worst, worstB, out.work, r.Work, out.integral, r.Integral)
		if len(r.Angles) < 20 || !(worst <= 1e-4) {
			t.Errorf("%s: pressure off by %g, want 1e-4", r.Name, worst)
		}
		if !(math.Abs(out.work/r.Work-1) <= 1e-4) || !(math.Abs(out.heatLoss/r.Heat-1) <= 3e-4) {
			t.Errorf("%s: work %g and heat %g, want %g and %g", r.Name, out.work, out.heatLoss, r.Work, r.Heat)
		}
		if !(math.Abs(out.integral/r.Integral-1) <= 1e-3) {
			t.Errorf("%s: integral %g, want %g", r.Name, out.integral, r.Integral)
		}
		if (r.Onset == nil) != math.IsNaN(out.onset) {
			t.Fatalf("%s: onset %g, reference %v", r.Name, out.onset, r.Onset)
		}
		if r.Onset != nil {
			t.Logf("%-20s autoignition at %.3f against %.3f deg", r.Name, out.onset, *r.Onset)
			if !(math.Abs(out.onset-*r.Onset) <= 0.05) {
				t.Errorf("%s: autoignition at %g, want %g", r.Name, out.onset, *r.Onset)
			}
		}
	}
}
