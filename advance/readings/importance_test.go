package readings

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"gonum.org/v1/gonum/optimize"
)

// The weighted draws and the profile of the same likelihood are two roads to the
// interval of the static timing. The ends of the draws err by 0.17 standard errors
// (the 2.5 % point of 250 draws of a normal law) and Nelder and Mead's search adds
// little; a mean over the nuisances and their best differ where the likelihood is not
// that of a normal law. Two of the former, 0.34 of 3.92 standard errors of width, and
// as much again for the latter are allowed: 0.17 of the width.
func TestDrawsAgainstProfile(t *testing.T) {
	const static = 7.0
	for _, begun := range []float64{0.6, 1.15} { // lowest reading against the start
		base := Pair()
		curve, err := base.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		drive := advance.FourStroke
		from := begun * drive.RPM(curve.Start(flyweights.Rising))
		to := 1.2 * drive.RPM(curve.AllIn(flyweights.Rising))
		rng := rand.New(rand.NewPCG(12, 0))
		var rs []Reading
		for k := range 11 {
			n := from + float64(k)*(to-from)/10
			rs = append(rs, Reading{
				RPM:     n + 25*rng.NormFloat64(),
				Degrees: static + drive.CrankDegrees(curve.Theta(drive.Omega(n), flyweights.Rising)) + rng.NormFloat64(),
			})
		}
		r, err := FitParts(context.Background(), rs, Parts{Mechanism: base}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !(r.Worth >= worthEnough) {
			t.Errorf("from %g of the start: draws are worth %g", begun, r.Worth)
		}
		least := math.Inf(1)
		rise := map[float64]float64{}
		width := r.Static.High - r.Static.Low
		var at []float64
		for s := r.Static.Low - 0.6*width; s <= r.Static.High+0.6*width; s += width / 20 {
			at = append(at, s)
			rise[s] = pinnedParts(t, r, s)
			least = math.Min(least, rise[s])
		}
		low, high := math.Inf(1), math.Inf(-1)
		for k, s := range at[1:] {
			a, b := rise[at[k]]-least-twoSided, rise[s]-least-twoSided
			if a*b <= 0 { // the profile crosses the threshold between the two
				end := at[k] + (s-at[k])*a/(a-b)
				low, high = math.Min(low, end), math.Max(high, end)
			}
		}
		t.Logf("from %g of the start: draws %.2f to %.2f, profile %.2f to %.2f", begun, r.Static.Low, r.Static.High, low, high)
		if !(math.Abs(low-r.Static.Low) <= 0.17*width) || !(math.Abs(high-r.Static.High) <= 0.17*width) {
			t.Errorf("from %g of the start: draws %.2f to %.2f, profile %.2f to %.2f", begun, r.Static.Low, r.Static.High, low, high)
		}
	}
}

// pinnedParts is the least deviance, the parts' own included, with the static timing
// held.
func pinnedParts(t *testing.T, r *PartsResult, static float64) float64 {
	t.Helper()
	set := *r.fit.set
	set.KnownStatic = &Known{Value: static, Sigma: 1e-3}
	a := newAssembly(r.fit.parts, &set, r.fit.obs)
	x := make([]float64, a.size())
	for range 2 { // once more from where it stopped
		found, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
			if !a.place(x) {
				return math.Inf(1)
			}
			_, _, d := a.fit(x)
			for _, v := range x {
				d += v * v
			}
			return d
		}}, x, &optimize.Settings{FuncEvaluations: 2000}, &optimize.NelderMead{})
		if err != nil {
			t.Fatal(err)
		}
		x = found.X
		if found.Stats.FuncEvaluations < 2000 {
			return found.F
		}
	}
	t.Fatal("the search did not end")
	return 0
}
