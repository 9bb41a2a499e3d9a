package readings

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/bobweight/advance/internal/balance"
	"gonum.org/v1/gonum/mat"
)

// With no outliers the likelihood of a shape is the density of Student's law of all
// readings together, whose scale matrix holds the laws of static timing and travel.
// The two forms share nothing but the weights; they agree in the differences between
// shapes, which are all that counts.
func TestLikelihoodIsStudents(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	set, err := (&Settings{Outliers: 1e-12}).resolved()
	if err != nil {
		t.Fatal(err)
	}
	var obs []observed
	for k := range 9 {
		obs = append(obs, observed{rpm: 700 + 400*float64(k), deg: 8 + 3*float64(k) + rng.NormFloat64(), sigmaRPM: 25, sigmaDeg: 1})
	}
	r := newRegression(obs, &set)
	direct := func() float64 {
		n := len(obs)
		scale := mat.NewSymDense(n, nil)
		rest := mat.NewVecDense(n, nil)
		for i := range n {
			for j := range i + 1 {
				v := staticSD*staticSD + travelSD*travelSD*r.x[i]*r.x[j]
				if i == j {
					v += 1 / r.weight[i]
				}
				scale.SetSym(i, j, v)
			}
			rest.SetVec(i, obs[i].deg-travelMean*r.x[i])
		}
		var c mat.Cholesky
		if !c.Factorize(scale) {
			t.Fatal("scale matrix is not positive definite")
		}
		var y mat.VecDense
		if err := c.SolveVecTo(&y, rest); err != nil {
			t.Fatal(err)
		}
		return -c.LogDet()/2 - r.freedom()*math.Log(priorErrors+mat.Dot(rest, &y))
	}
	var first float64
	for k := range 20 {
		c := balance.Curve{Start: 600 + 60*float64(k), AllIn: 2500 + 100*float64(k), Shape: rng.NormFloat64()}
		at := c.Inverse()
		r.place(&at, 0)
		got := r.likelihood()
		d := got - direct()
		if k == 0 {
			first = d
		}
		if !(math.Abs(d-first) <= 1e-6) {
			t.Errorf("%+v: %.9f off, the first %.9f", c, d, first)
		}
	}
}

// Draws of static timing and travel have the mean and the spread of the law they are
// drawn from: Student's, of as many degrees of freedom as readings and trust.
func TestDrawnEnds(t *testing.T) {
	set, _ := (&Settings{Outliers: 1e-12}).resolved()
	var obs []observed
	for k := range 12 {
		obs = append(obs, observed{rpm: 700 + 300*float64(k), deg: 8 + 2*float64(k), sigmaRPM: 25, sigmaDeg: 1})
	}
	r := newRegression(obs, &set)
	c := balance.Curve{Start: 900, AllIn: 3600, Shape: 0.2}
	at := c.Inverse()
	r.place(&at, 0)
	r.likelihood()
	l := r.levels[0]
	rng := rand.New(rand.NewPCG(1, 2))
	const n = 40000
	var sum, square float64
	for range n {
		d := r.draw(rng).travel - l.travel
		sum, square = sum+d, square+d*d
	}
	freedom := 2 * r.freedom()
	want := l.a11 / l.det * (priorErrors + l.rss) / freedom * freedom / (freedom - 2) / r.force
	if mean := sum / n; !(math.Abs(mean) <= 4*math.Sqrt(want/n)) {
		t.Errorf("mean %.4f off", mean)
	}
	if v := square / n; !(math.Abs(v/want-1) <= 0.05) { // four standard errors of a variance, and the cube's
		t.Errorf("variance %.5f, want %.5f", v, want)
	}
}

// The selected quantile is the one found by sorting.
func TestQuantile(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 300 {
		v := make([]weighted, 1+rng.IntN(200))
		sum := 0.0
		for i := range v {
			v[i] = weighted{math.Round(10 * rng.NormFloat64()), rng.Float64()}
			sum += v[i].weight
		}
		sorted := slices.Clone(v)
		slices.SortStableFunc(sorted, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
		share := rng.Float64() * sum
		below, want := 0.0, sorted[len(sorted)-1].value
		for _, x := range sorted {
			if below += x.weight; below >= share {
				want = x.value
				break
			}
		}
		if got := quantile(v, share); got != want {
			t.Errorf("%d values at %.3f of %.3f: got %g, want %g", len(v), share, sum, got, want)
		}
	}
}
