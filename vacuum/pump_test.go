package vacuum

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat/distuv"
)

// pumped reads a unit at even vacuums, up and down, with errors of the gauges.
func pumped(t *testing.T, u Unit, n int, deepest float64, down bool, g MeasurementError, r *rand.Rand) []PumpReading {
	var out []PumpReading
	add := func(v float64, falling bool) {
		x := math.Max(0, v+g.Vacuum*r.NormFloat64())
		theta, err := u.Advance(v)
		if falling {
			theta, err = u.Retreat(v)
		}
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, PumpReading{x, math.Max(0, theta+g.Theta*r.NormFloat64()), falling})
	}
	for i := range n {
		add(deepest*float64(i+1)/float64(n), false)
	}
	for i := range n {
		if down {
			add(deepest*float64(n-i-1)/float64(n), true)
		}
	}
	return out
}

func TestIdentifyFindsTheUnitAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	u := plain()
	u.Friction = 0.9
	fine := MeasurementError{Vacuum: 20, Theta: deg(0.02)}
	id, err := Identify(pumped(t, u, 16, 18*InchOfMercury, true, MeasurementError{}, r), fine)
	if err != nil {
		t.Fatal(err)
	}
	// Exact readings: what is left is the arm's sine, half a per cent at most.
	near(t, "onset", id.Onset.Value, u.Onset(), 0.01*u.Onset())
	near(t, "full", id.Full.Value, u.Full(), 0.01*u.Full())
	near(t, "most", id.Most.Value, u.Most(), deg(0.02))
	near(t, "band", id.Hysteresis.Value, u.Hysteresis(), 0.05*u.Hysteresis())
	back, err := id.Unit(u.Area, u.ArmRadius)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", back.Rate, u.Rate, 0.01*u.Rate)
	near(t, "preload", back.Preload, u.Preload, 0.02*u.Preload)
	near(t, "onset of the unit", back.Onset(), id.Onset.Value, 1e-6)
	near(t, "full pull of the unit", back.Full(), id.Full.Value, 1e-6)
	near(t, "maximum of the unit", back.Most(), id.Most.Value, 1e-9)
}

// The intervals hold what they promise: over made-up readings with the gauges'
// errors, 95 of 100 cover the truth. With 150 sets the share's own standard error
// is 1.8 per cent; three of them are allowed. Corners of the line cost a little.
func TestIntervalsCover(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	g := MeasurementError{Vacuum: 0.5 * InchOfMercury, Theta: deg(0.5)}
	u := plain()
	u.Friction = 0.9
	const sets = 150
	hits := map[string]int{}
	for range sets {
		id, err := Identify(pumped(t, u, 9, 18*InchOfMercury, true, g, r), g)
		if err != nil {
			t.Fatal(err)
		}
		for name, c := range map[string]struct {
			e     PumpEstimate
			truth float64
		}{
			"onset": {id.Onset, u.Onset()}, "full": {id.Full, u.Full()}, "most": {id.Most, u.Most()},
			"slope": {id.Slope, u.Most() / (u.Full() - u.Onset())}, "band": {id.Hysteresis, u.Hysteresis()},
		} {
			if !(c.e.Low <= c.e.Value && c.e.Value <= c.e.High) {
				t.Errorf("%s: %+v", name, c.e)
			}
			if (c.e.NoLow || c.e.Low <= c.truth) && (c.e.NoHigh || c.truth <= c.e.High) {
				hits[name]++
			}
		}
	}
	for name, n := range hits {
		share := float64(n) / sets
		t.Logf("%s: %.3f", name, share)
		if !(math.Abs(share-0.95) <= 0.054) {
			t.Errorf("%s: covered in %.3f of the sets, 0.95 promised", name, share)
		}
	}
}

// The search against gonum's form of the same method, on the misfit of readings with
// all its kinks: neither finds a line that the other misses by a hundredth of the
// misfit, which is a tenth of a standard deviation.
func TestSimplexAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	u := plain()
	u.Friction = 0.9
	g := MeasurementError{Vacuum: 0.5 * InchOfMercury, Theta: deg(0.5)}
	for range 20 {
		f := fit{readings: pumped(t, u, 10, 18*InchOfMercury, true, g, r), errors: g, down: true}
		f.search()
		cost := func(x []float64) float64 { return math.Min(wall, f.misfit(f.unpack(x, nothing, 0))) }
		found, err := optimize.Minimize(optimize.Problem{Func: cost}, f.pack(f.best, nothing),
			&optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-9, Iterations: 100}}, &optimize.NelderMead{SimplexSize: 0.1})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "least misfit", f.level, found.F, 0.01)
	}
}

// The misfit has a valley for each choice of the readings that lie on the slope. Just
// past the end of an interval none of them may reach below the level that ends it:
// gonum's search from many places finds none.
func TestIntervalsEndInEveryValley(t *testing.T) {
	g := MeasurementError{Vacuum: 0.5 * InchOfMercury, Theta: deg(0.5)}
	u := plain()
	u.Friction = 0.9
	rise := distuv.ChiSquared{K: 1}.Quantile(0.95)
	for set := range 6 {
		r := rand.New(rand.NewPCG(uint64(set), 2))
		f := fit{readings: pumped(t, u, 10, 18*InchOfMercury, true, g, r), errors: g, down: true}
		f.search()
		slope := f.interval(f.best, bySlope, 1e-3*mostTurn/MostVacuum, mostTurn/leastRamp)
		for _, value := range []float64{slope.Low - 0.02*(slope.Value-slope.Low), slope.High + 0.02*(slope.High-slope.Value)} {
			cost := func(x []float64) float64 { return math.Min(wall, f.misfit(f.unpack(x, bySlope, value))) }
			least := math.Inf(1)
			for range 40 {
				at := ramp{onset: f.best.onset * (0.7 + 0.6*r.Float64()), band: 2 * f.best.band * r.Float64()}
				at.full = at.onset + (f.best.full-f.best.onset)*(0.5+r.Float64())
				at.most = value * (at.full - at.onset)
				found, err := optimize.Minimize(optimize.Problem{Func: cost}, f.pack(at, bySlope), nil, &optimize.NelderMead{SimplexSize: 0.1})
				if err != nil {
					t.Fatal(err)
				}
				least = math.Min(least, found.F)
			}
			if !(least > f.level+rise) {
				t.Errorf("set %d: slope %g lies past the interval %+v, yet its misfit is only %.3f above the best, %.3f ends it", set, value, slope, least-f.level, rise)
			}
		}
	}
}

func TestIdentifySaysWhatItDoesNotKnow(t *testing.T) {
	u := plain()
	g := MeasurementError{Vacuum: 0.3 * InchOfMercury, Theta: deg(0.3)}
	r := rand.New(rand.NewPCG(5, 6))
	up := pumped(t, u, 12, 16*InchOfMercury, false, MeasurementError{}, r)
	id, err := Identify(up, g)
	if err != nil {
		t.Fatal(err)
	}
	if id.Onset.NoLow || id.Full.NoHigh || id.Most.NoHigh || !id.Hysteresis.NoHigh || len(id.Notes) != 1 {
		t.Errorf("%+v", id)
	}
	var ramp, shallow []PumpReading
	for _, p := range up {
		if p.Vacuum > 7*InchOfMercury {
			ramp = append(ramp, p)
		}
		if p.Vacuum < 11*InchOfMercury {
			shallow = append(shallow, p)
		}
	}
	if id, err = Identify(shallow, g); err != nil || !id.Full.NoHigh || !id.Most.NoHigh {
		t.Errorf("limiter not reached: %+v, error %v", id, err)
	}
	if id, err = Identify(ramp[len(ramp)-3:], g); err != nil || !id.Onset.NoLow {
		t.Errorf("rest not seen: %+v, error %v", id, err)
	}
	up[7].Theta = 0.01 // a blunder on the limiter
	if id, err = Identify(up, g); err != nil || !(id.Misfit > 4) {
		t.Errorf("blunder: %+v, error %v", id, err)
	}
}

func TestBadReadingsAreRefused(t *testing.T) {
	good := []PumpReading{{1e4, 0, false}, {3e4, 0.05, false}, {5e4, 0.13, false}}
	for name, spoil := range map[string]func([]PumpReading, *MeasurementError) []PumpReading{
		"none":             func([]PumpReading, *MeasurementError) []PumpReading { return nil },
		"two":              func(p []PumpReading, _ *MeasurementError) []PumpReading { return p[:2] },
		"above atmosphere": func(p []PumpReading, _ *MeasurementError) []PumpReading { p[0].Vacuum = -1; return p },
		"not a number":     func(p []PumpReading, _ *MeasurementError) []PumpReading { p[1].Theta = math.NaN(); return p },
		"negative angle":   func(p []PumpReading, _ *MeasurementError) []PumpReading { p[1].Theta = -0.1; return p },
		"degrees for rad":  func(p []PumpReading, _ *MeasurementError) []PumpReading { p[2].Theta = 8; return p },
		"nothing moved":    func(p []PumpReading, _ *MeasurementError) []PumpReading { p[1].Theta, p[2].Theta = 0, 0; return p },
		"negative error":   func(p []PumpReading, g *MeasurementError) []PumpReading { g.Vacuum = -1; return p },
		"endless error":    func(p []PumpReading, g *MeasurementError) []PumpReading { g.Theta = math.Inf(1); return p },
	} {
		var g MeasurementError
		readings := spoil(append([]PumpReading(nil), good...), &g)
		if id, err := Identify(readings, g); !errors.Is(err, ErrRange) || id != nil {
			t.Errorf("%s: %+v, error %v", name, id, err)
		}
	}
	if _, err := new(Identification).Unit(1e-3, 0.03); !errors.Is(err, ErrRange) {
		t.Errorf("nothing identified: %v", err)
	}
}
