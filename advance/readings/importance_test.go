package readings

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/internal/balance"
)

// The evidence of both families and the ends of an interval agree with those of plain
// draws from the laws before the readings, weighed by the likelihood: a method without a
// proposal, walkers or stages. Allowed are four standard errors of both ways.
func TestSamplingAgreesWithPlainDraws(t *testing.T) {
	set, err := (*Settings)(nil).resolved()
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(11, 4))
	c := balance.Curve{Start: 900, AllIn: 3600, Shape: -0.2, TakeUp: 0.5, Stiffening: 4, Hold: 0.05}
	at := c.Inverse()
	var obs []observed
	for _, n := range []float64{700, 1200, 1500, 1900, 2400, 3000, 4000} {
		obs = append(obs, observed{rpm: n, deg: 8 + 22*at.Travelled(n) + 1.5*rng.NormFloat64(), sigmaRPM: 25, sigmaDeg: 1.5})
	}
	const plain = 150000
	fs := families(&set, false)
	for i := range fs {
		f := &fs[i]
		s := newSearch(f, newRegression(obs, &set))
		s.approach()
		d := s.finish()
		// The likeliest curve is the best that the search has met anywhere.
		if most := s.most; s.value(&s.best) != most {
			t.Errorf("%d stages: the best curve is worth %g, the best met %g", f.stages, s.value(&s.best), most)
		}
		for k := range d.z {
			if most := s.most; s.value(&d.z[k]) > most {
				t.Errorf("%d stages: a drawn curve is better than the best", f.stages)
			}
		}
		most := math.Inf(-1)
		logs := make([]float64, plain)
		middle := make([]weighted, plain)
		for k := range logs {
			var z vector
			square := 0.0
			for j := range s.dims {
				z[j] = rng.NormFloat64()
				square += z[j] * z[j]
			}
			v, e := s.try(&z)
			logs[k] = v + square/2
			_, turned, _, _ := f.curve(&z)
			middle[k].value = e.static + e.travel*turned.Travelled(2000)
			most = math.Max(most, logs[k])
		}
		sum, squares := 0.0, 0.0
		for k, l := range logs {
			w := math.Exp(l - most)
			middle[k].weight = w
			sum += w
			squares += w * w
		}
		worth, own := sum*sum/squares, worthOf(s.now.weights(1, make([]float64, len(s.now.log))))
		want := most + math.Log(sum/plain)
		if tol := 4 * math.Hypot(1/math.Sqrt(worth), 1/math.Sqrt(own)); !(math.Abs(s.evidence-want) <= tol) {
			t.Errorf("%d stages: log evidence %.3f, by plain draws %.3f, allowed %.3f", f.stages, s.evidence, want, tol)
		}
		drawn := make([]weighted, len(d.z))
		for k := range drawn {
			_, turned, _, _ := f.curve(&d.z[k])
			drawn[k] = weighted{d.at[k].static + d.at[k].travel*turned.Travelled(2000), d.w[k]}
		}
		for k := range middle {
			middle[k].weight /= sum
		}
		width := quantile(middle, 0.95) - quantile(middle, 0.05)
		for _, share := range []float64{0.05, 0.5, 0.95} {
			got, want := quantile(drawn, share), quantile(middle, share)
			// Of a normal law with 3.29 standard deviations between the ends; the density at
			// a share of 0.05 is 0.103, in the middle 0.4.
			density := 0.103
			if share == 0.5 {
				density = 0.4
			}
			tol := 4 * math.Sqrt(share*(1-share)) / density / 3.29 * width * math.Hypot(1/math.Sqrt(worth), 1/math.Sqrt(own))
			if !(math.Abs(got-want) <= tol) {
				t.Errorf("%d stages: of the advance at 2000 rpm %.0f %% lie below %.2f deg, by plain draws below %.2f, allowed %.2f", f.stages, 100*share, got, want, tol)
			}
		}
		t.Logf("%d stages: log evidence %.3f, plain %.3f; %.0f and %.0f draws' worth", f.stages, s.evidence, want, own, worth)
	}
}
