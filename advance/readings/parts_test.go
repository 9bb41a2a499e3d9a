package readings_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// The springs are softer than the tester said and the advance has begun at idle:
// the parts and the readings together find the static timing that the readings
// alone only bound, and the springs' true rate.
func TestFitParts(t *testing.T) {
	truth := readings.Pair()
	const softer, static = 0.92, 7.0
	for i := range truth.Springs {
		truth.Springs[i].Law.Rate *= softer
	}
	curve, err := truth.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	drive := advance.FourStroke
	rng := rand.New(rand.NewPCG(4, 4))
	begin, stop := drive.RPM(curve.Start(flyweights.Rising)), drive.RPM(curve.AllIn(flyweights.Rising))
	var rs []readings.Reading
	for k := range 12 {
		n := begin*1.15 + float64(k)*(stop*1.2-begin*1.15)/11
		rs = append(rs, readings.Reading{
			RPM:     n + 20*rng.NormFloat64(),
			Degrees: static + drive.CrankDegrees(curve.Theta(drive.Omega(n), flyweights.Rising)) + 0.8*rng.NormFloat64(),
		})
	}
	rs[5].Degrees += 13
	free := fit(t, rs, nil)
	if free.Static.Bound != readings.AtMost {
		t.Fatalf("readings alone: static %v, want at most", free.Static)
	}
	r, err := readings.FitParts(context.Background(), rs, readings.Parts{Mechanism: readings.Pair()}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Static.Covers(static) || !(r.Static.High-r.Static.Low < 4) {
		t.Errorf("static %v, want an interval about %g", r.Static, static)
	}
	if !r.Start.Covers(begin) || !r.AllIn.Covers(stop) || !r.Travel.Covers(drive.CrankDegrees(curve.Travel())) {
		t.Errorf("start %v, all-in %v, travel %v; truth %g, %g, %g", r.Start, r.AllIn, r.Travel, begin, stop, drive.CrankDegrees(curve.Travel()))
	}
	if got := r.Rates[0]; !got.Covers(2600 * softer) {
		t.Errorf("rate %v, want %g", got, 2600*softer)
	}
	if len(r.Outliers) != 1 || r.Outliers[0] != 5 {
		t.Errorf("outliers %v, want reading 5", r.Outliers)
	}
	for _, n := range []float64{begin / 2, (begin + stop) / 2, stop * 1.3} {
		e, err := r.Band(n)
		if err != nil {
			t.Fatal(err)
		}
		if want := static + drive.CrankDegrees(curve.Theta(drive.Omega(n), flyweights.Rising)); !e.Covers(want) {
			t.Errorf("at %g rpm: %v, want %g", n, e, want)
		}
	}
	again, err := readings.FitParts(context.Background(), rs, readings.Parts{Mechanism: readings.Pair()}, nil)
	if err != nil || again.Static != r.Static {
		t.Errorf("the same readings and parts give %v and %v", r.Static, again.Static)
	}

	// Springs of half the rate are other parts: the evidence says so.
	wrong := readings.Pair()
	for i := range wrong.Springs {
		wrong.Springs[i].Law.Rate /= 2
	}
	w, err := readings.FitParts(context.Background(), rs, readings.Parts{Mechanism: wrong}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !(w.Evidence > r.Evidence+20) {
		t.Errorf("evidence %g with wrong springs against %g", w.Evidence, r.Evidence)
	}
}

func TestFitPartsRefuses(t *testing.T) {
	rs := truth{10, 24, 1080, 2850}.take(rand.New(rand.NewPCG(1, 1)), 0, speeds...)
	broken := readings.Pair()
	broken.Stop = -1
	for name, p := range map[string]readings.Parts{
		"no mechanism": {},
		"rate":         {Mechanism: readings.Pair(), Rate: -1},
		"length":       {Mechanism: readings.Pair(), Length: math.NaN()},
		"stop":         {Mechanism: readings.Pair(), Stop: 3},
	} {
		if _, err := readings.FitParts(context.Background(), rs, p, nil); !errors.Is(err, readings.ErrRange) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
	if _, err := readings.FitParts(context.Background(), rs, readings.Parts{Mechanism: broken}, nil); !errors.Is(err, flyweights.ErrRange) {
		t.Errorf("broken mechanism: got %v", err)
	}
	if _, err := readings.FitParts(context.Background(), rs[:1], readings.Parts{Mechanism: readings.Pair()}, nil); !errors.Is(err, readings.ErrRange) {
		t.Errorf("one reading: got %v", err)
	}
	var empty readings.PartsResult
	if _, err := empty.Band(900); !errors.Is(err, readings.ErrRange) {
		t.Errorf("empty result: got %v", err)
	}
}
