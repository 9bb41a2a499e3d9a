package readings

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// neighbour is a number or one of the two next to it, as another processor's rounding
// of the same sum may give.
func neighbour(rng *rand.Rand, x float64) float64 {
	switch rng.IntN(3) {
	case 0:
		return math.Nextafter(x, math.Inf(1))
	case 1:
		return math.Nextafter(x, math.Inf(-1))
	}
	return x
}

// A processor that fuses a product and a sum rounds once where another rounds twice.
// Whatever the last bits of the curves drawn, and of the gains, the same readings are
// advised in the same order. Past both ends of a curve that is seen whole, one reading
// is as good as another: there are ties, which the last bits alone would decide.
func TestNextWhateverTheLastBits(t *testing.T) {
	// Ten degrees static, 24 of travel from 1000 to 2600 rpm, and readings far beyond.
	var readings []Reading
	for n := 600.0; n <= 5000; n += 400 {
		readings = append(readings, Reading{RPM: n, Degrees: 10 + 24*min(max((n-1000)/1600, 0), 1) + 0.2*math.Sin(n)})
	}
	r, err := Fit(context.Background(), readings, nil)
	if err != nil {
		t.Fatal(err)
	}
	whole := *r.fit
	speeds := func(all []Advice) []float64 {
		var out []float64
		for _, a := range all {
			out = append(out, a.RPM)
		}
		return out
	}
	all, err := r.advices(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	want := speeds(ranked(slices.Clone(all)))
	rng := rand.New(rand.NewPCG(8, 2))
	byGain := func(all []Advice) []float64 {
		slices.SortStableFunc(all, func(a, b Advice) int { return cmp.Compare(b.gain, a.gain) })
		return speeds(all)
	}
	ties, turned, naive := 0, 0, byGain(slices.Clone(all))
	for i, a := range all {
		for _, b := range all[:i] {
			if math.Abs(a.gain-b.gain) <= 1e-9 {
				ties++
			}
		}
	}
	for range 40 {
		p := whole
		p.samples = slices.Clone(whole.samples)
		for i := range p.samples {
			s := &p.samples[i]
			s.static, s.travel, s.size, s.weight = neighbour(rng, s.static), neighbour(rng, s.travel), neighbour(rng, s.size), neighbour(rng, s.weight)
			s.curve.Start, s.curve.AllIn, s.curve.Shape = neighbour(rng, s.curve.Start), neighbour(rng, s.curve.AllIn), neighbour(rng, s.curve.Shape)
			s.at = s.curve.Inverse()
		}
		r.fit = &p
		all, err := r.advices(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for i := range all {
			all[i].gain = neighbour(rng, all[i].gain)
		}
		if !slices.Equal(byGain(slices.Clone(all)), naive) {
			turned++
		}
		if got := speeds(ranked(all)); !slices.Equal(got, want) {
			t.Errorf("advised %v, with other last bits %v", want, got)
		}
	}
	t.Logf("advised %v; %d ties; the last bits alone would have turned %d of 40", want, ties, turned)
	if ties == 0 || turned == 0 {
		t.Errorf("%d ties, %d of 40 orders turned by the last bits alone: nothing is tried", ties, turned)
	}
}
