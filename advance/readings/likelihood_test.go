package readings

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The derivatives that the fitting core is given are those of the residuals, at
// points that are no optimum, for both shapes, one and two ramps, two runs.
func TestLikelihoodDerivatives(t *testing.T) {
	const seed = 11
	rng := rand.New(rand.NewPCG(seed, 0))
	runs := []Run{{}, {Shares: ShareStatic | ShareTravel}}
	data := make([][]observed, 2)
	for i := range data {
		for k := range 9 {
			data[i] = append(data[i], observed{700 + 350*float64(k), 30 * rng.Float64(), 25, 1, k%3 == 0})
		}
	}
	for _, shape := range []Shape{Balance, Straight} {
		for _, slopes := range []int{0, 1, 2} {
			set, err := (&Settings{Shape: shape, KnownStatic: &Known{8, 1}, KnownTravel: &Known{20, 1}}).resolved()
			if err != nil {
				t.Fatal(err)
			}
			f := newFitter(slopes, runs, data, &set)
			for range 20 {
				x := f.vector([]guess{
					{8 + rng.NormFloat64(), 20 + rng.NormFloat64(), 900 + 300*rng.Float64(), 2500 + 700*rng.Float64(), 0},
					{8, 20, 1100, 2000 + 900*rng.Float64(), 0},
				}, 1, rng.NormFloat64()/3)
				for k, q := range []figure{{kind: kindAt, rpm: 1500 + 40*rng.Float64()}, {kind: kindClimb, rpm: 1e6, from: 900}, {kind: kindSlope1, run: 1}, {kind: kindSlope2}, {kind: kindTotal}, {kind: kindKnee, run: 1}, {kind: kindJoin, run: 1}} {
					if slopes == 0 && k > 1 || slopes == 1 && (k == 3 || k == 6) || slopes == 2 && shape == Straight && k == 6 {
						continue
					}
					f.pin = &pin{q, 1, 0.7, 0}
					m, n := f.Size()
					jac, r := make([]float64, m*n), make([]float64, m)
					up, down := make([]float64, m), make([]float64, m)
					f.Evaluate(x, r, jac)
					for j := range n {
						v := x[j]
						h := 1e-5 * math.Max(1, math.Abs(v))
						x[j] = v + h
						f.Evaluate(x, up, nil)
						x[j] = v - h
						f.Evaluate(x, down, nil)
						x[j] = v
						for i := range m {
							want := (up[i] - down[i]) / (2 * h)
							// Central differences err by the third derivative and by rounding.
							if got := jac[i*n+j]; !(math.Abs(got-want) <= 2e-5*(1+math.Abs(want))) {
								t.Fatalf("seed %d, %v, %d slopes, quantity %v: d r[%d]/d x[%d] = %g, differences give %g", seed, shape, slopes, q, i, j, got, want)
							}
						}
					}
				}
			}
		}
	}
}

// The residual of the contaminated normal law is the root of minus twice the
// logarithm of the density over that at zero, and its derivative that of the root.
func TestContaminated(t *testing.T) {
	const share = 0.03
	density := func(z float64) float64 {
		return (1-share)*math.Exp(-z*z/2) + share/outlierWidth*math.Exp(-z*z/(2*outlierWidth*outlierWidth))
	}
	for z := -30.0; z <= 30; z += 0.37 {
		value, derivative := contaminated(z, share)
		if want := -2 * math.Log(density(z)/density(0)); !(math.Abs(value*value-want) <= 1e-11*(1+want)) {
			t.Errorf("at %g: %.15g, want %.15g", z, value*value, want)
		}
		const h = 1e-5
		up, _ := contaminated(z+h, share)
		down, _ := contaminated(z-h, share)
		if want := (up - down) / (2 * h); !(math.Abs(derivative-want) <= 1e-7) {
			t.Errorf("at %g: derivative %.12g, want %.12g", z, derivative, want)
		}
	}
	if value, derivative := contaminated(1e4, share); !(value > 900 && value < 1100) || !(derivative > 0) {
		t.Errorf("far off: %g, derivative %g", value, derivative)
	}
}
