package knock

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// Volumes by hand from J. B. Heywood (1988), eqs. (2.4) to (2.6), formula from memory:
// reference computations, six digits.
func TestCrankVolume(t *testing.T) {
	a := newCrank(NewEngine(1, 0.1016, 0.0884, 0.1448, 9, Fuel{RON: 90, MON: 80}))
	b := newCrank(NewEngine(1, 0.0803, 0.0889, 0.1588, 8.5, Fuel{RON: 90, MON: 80}))
	for _, k := range []struct {
		c          crank
		angle, cm3 float64
	}{{a, 0, 89.5859}, {a, 90, 503.958}, {b, 15, 69.8127}} {
		v, _, _ := k.c.at(k.angle)
		report(t, "cylinder volume, cm3", k.cm3, v*1e6, 0.5e-3)
	}
	// Rating engine, bore 82.55 and stroke 114.3 mm: 611.7 cm3 (ASTM D2699, from memory).
	r := newCrank(NewEngine(1, 0.08255, 0.1143, 0.254, 7, Fuel{RON: 90, MON: 80}))
	report(t, "rating engine swept volume, cm3", 611.7, r.swept*1e6, 0.05)
}

// An offset pin lengthens the stroke a little, keeps top centre at zero, and the
// slope stays the derivative of the volume.
func TestPinOffset(t *testing.T) {
	for _, offset := range []float64{-0.002, 0, 0.0015} {
		e := NewEngine(1, 0.08, 0.09, 0.15, 9, Fuel{RON: 90, MON: 80})
		e.PinOffset = offset
		c := newCrank(e)
		top, slope, _ := c.at(0)
		if !(math.Abs(slope) <= 1e-18) || !(math.Abs(top/c.clearance-1) <= 1e-12) {
			t.Errorf("offset %g: top centre is not at 0: slope %g, volume %g of clearance", offset, slope, top/c.clearance)
		}
		if want := c.area * 0.09; !(c.swept >= want*(1-1e-12) && c.swept <= want*1.001) {
			t.Errorf("offset %g: swept %g against %g", offset, c.swept, want)
		}
		p := newPath(&c)
		for _, angle := range []float64{-171.3, -90, -20.5, 3.7, 45, 133} {
			v, dv, _ := c.at(angle)
			numeric := fd.Derivative(func(x float64) float64 { v, _, _ := c.at(x); return v }, angle, &fd.Settings{Formula: fd.Central, Step: 1e-3})
			if !(math.Abs(dv-numeric) <= 1e-12) {
				t.Errorf("offset %g, %g deg: slope %g, difference %g", offset, angle, dv, numeric)
			}
			var pl crankState
			p.at(angle, &pl)
			if !(math.Abs(pl.v/v-1) <= 1e-7) || !(math.Abs(pl.logV-math.Log(v)) <= 1e-6) || !(math.Abs(pl.power*math.Pow(v, polytrope)-1) <= 2e-6) || !(math.Abs(pl.dv-dv) <= 2e-5*math.Abs(dv)+1e-12) {
				t.Errorf("offset %g, %g deg: tabulated path off: %g %g %g %g", offset, angle, pl.v/v-1, pl.logV-math.Log(v), pl.power*math.Pow(v, polytrope)-1, pl.dv-dv)
			}
		}
	}
}

func TestEngineRefusals(t *testing.T) {
	change := map[string]func(*Engine){
		"cylinders": func(e *Engine) { e.Cylinders = 0 }, "bore": func(e *Engine) { e.Bore = math.NaN() },
		"stroke": func(e *Engine) { e.Stroke = -1 }, "rod": func(e *Engine) { e.Rod = 0.04 },
		"ratio": func(e *Engine) { e.CompressionRatio = 1 }, "octane": func(e *Engine) { e.Fuel.RON = math.Inf(1) },
		"motor octane above research": func(e *Engine) { e.Fuel.MON = 99 }, "ethanol": func(e *Engine) { e.Fuel.Ethanol = 2 },
		"chamber": func(e *Engine) { e.Chamber = 9 }, "develop": func(e *Engine) { e.Develop = -3 },
		"filling order": func(e *Engine) { e.Filling = []Filling{{2000, 0.8}, {1000, 0.7}} },
		"filling":       func(e *Engine) { e.Filling = []Filling{{2000, math.NaN()}} },
		"no filling":    func(e *Engine) { e.Filling = []Filling{} },
		"pin offset":    func(e *Engine) { e.PinOffset = 0.05 },
	}
	for name, f := range change {
		e := example()
		f(&e)
		if _, err := New(e); !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want a refusal", name, err)
		}
	}
	if _, err := New(Engine{}); !errors.Is(err, errRange) {
		t.Errorf("zero engine: got %v", err)
	}
	if _, err := newModelBy(example(), modelSettings{Prior: priorDeviations{Octane: -1}}); !errors.Is(err, errRange) {
		t.Errorf("negative deviation: got %v", err)
	}
	var zero Model
	if _, err := zero.SparkRequirement(Condition{RPM: 2000}); !errors.Is(err, errRange) {
		t.Errorf("zero model: got %v", err)
	}
}

// A chamber chosen after NewEngine brings its own burn angles, and angles of the engine's
// own narrow the band.
func TestChamberAndBurnAngles(t *testing.T) {
	e := example()
	e.Chamber = SideValve
	side := newModel(t, e)
	if got := side.engine; got.Develop != 24 || got.Rapid != 39 {
		t.Errorf("side valve burns in %g and %g degrees", got.Develop, got.Rapid)
	}
	again := newModel(t, side.engine)
	if side.prior[burnBoth] != again.prior[burnBoth] {
		t.Error("writing the defaults out changes the deviation")
	}
	e.Develop, e.Rapid = 20, 31
	if own := newModel(t, e); !(own.prior[burnBoth] < side.prior[burnBoth]) {
		t.Error("known burn angles do not narrow the deviation")
	}
	for _, c := range []Chamber{Wedge, Hemispherical, SideValve, Compact} {
		develop, rapid, ok := c.Angles()
		if !ok || !(develop > 15 && rapid > develop) || c.String() == "unknown chamber" {
			t.Errorf("chamber %d: %g, %g, %v", c, develop, rapid, c)
		}
	}
}
