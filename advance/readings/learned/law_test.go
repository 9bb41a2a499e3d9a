package learned

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/balance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// Within the travel the shape of a share is the family of package balance.
func TestBentIsTheBalance(t *testing.T) {
	for _, bend := range []float64{-3, -1.07, -0.33, -2e-3, -1e-4, 0, 1e-9, 9e-4, 0.49, 1.5, 4} {
		for x := 0.0; x <= 1; x += 0.05 {
			n, _ := balance.Curve{Start: 1, AllIn: 2, Shape: bend}.Speeds(x)
			want := (n*n - 1) / 3
			if got := bent(x, bend); !(math.Abs(got-want) <= 1e-6) {
				t.Errorf("bent(%g, %g) = %g, family %g", x, bend, got, want)
			}
		}
	}
}

// random returns a mechanism with two springs, the second slack half of the time.
func random(rng *rand.Rand) (Listed, Run) {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	weight := flyweights.Weight{
		Mass: between(0.015, 0.05), Pivot: r2.Vec{X: between(0.02, 0.03)},
		Centre: r2.Vec{X: between(0.004, 0.012), Y: between(-0.02, -0.012)},
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: between(-0.015, -0.009), Y: -0.003}, r2.Vec{Y: between(-0.021, -0.015)}
	length := r2.Norm(r2.Sub(post, hook))
	law := func() springs.Spring {
		return springs.Spring{Rate: between(500, 4000), FreeLength: length * between(0.88, 0.98), InitialTension: between(0, 1)}
	}
	soft, stage := law(), law()
	if rng.IntN(2) == 0 {
		stage.Slack = length - stage.FreeLength + between(0.0005, 0.0015)
	}
	m := flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{Law: soft, A: flyweights.Anchor{Body: flyweights.Plate, Point: post}, B: flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook}},
			{Law: stage, A: flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)}, B: flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)}},
		},
		Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: between(-0.006, -0.002), Y: between(-0.011, -0.006)}},
		Stop:    between(0.1, 0.25), Drag: between(0.0003, 0.002),
		Friction: flyweights.Friction{Moment: between(0.0001, 0.0005), Proportion: between(0, 0.1)},
	}
	return Listed{
			Mechanism: m, Drive: advance.FourStroke,
			Springs: map[string]ListedSpring{"soft": {Law: soft}, "stage": {Law: stage}},
			Weights: map[string]ListedWeights{"": {Weights: m.Weights}},
		}, Run{Combination: Combination{Springs: []string{"soft", "stage"}}, Readings: []readings.Reading{
			{RPM: 900, Degrees: 10}, {RPM: 2000, Degrees: 20}, {RPM: 3000, Degrees: 30},
			{RPM: 1500, Degrees: 15, Direction: flyweights.Falling},
		}}
}

// The listed law is the exact curve of package flyweights, in both directions, and
// the rows of its table add up to it.
func TestListedLawIsTheMechanism(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	for k := range 40 {
		listed, run := random(rng)
		exact, err := listed.Mechanism.Curve(nil)
		if err != nil {
			continue // a layout that cannot work
		}
		set, err := (*Settings)(nil).resolved()
		if err != nil {
			t.Fatal(err)
		}
		l, mech, err := listedLayout([]Run{run}, listed, &set)
		if err != nil {
			t.Fatal(err)
		}
		m := newListedModel(l, mech, noDoubt)
		par := make([]float64, m.size)
		drive := listed.Drive
		travel := drive.CrankDegrees(exact.Travel())
		par[m.stop0] = math.Log(travel)
		law := m.law()
		law.lay(par)
		for _, falling := range []bool{false, true} {
			dir := flyweights.Rising
			if falling {
				dir = flyweights.Falling
			}
			x, v := law.curve(&l.runs[0], falling)
			for rpm := 200.0; rpm < 6000; rpm += 50 {
				if exact.Theta(drive.Omega(rpm+1), dir)-exact.Theta(drive.Omega(rpm-1), dir) > 0.005 {
					continue // at a snap, where a table cannot follow
				}
				want := drive.CrankDegrees(exact.Theta(drive.Omega(rpm), dir))
				if got := invert(x, v, rpm*rpm); !(math.Abs(got-want) <= 0.02) {
					t.Errorf("mechanism %d at %g rpm, %v: %.4f deg, exact %.4f", k, rpm, dir, got, want)
				}
			}
		}
		x, v := law.curve(&l.runs[0], false)
		drag, factor := law.drag(x), law.factor(0, x)
		shares := [2][]float64{}
		for i, c := range l.columns {
			if c == (column{"soft", 0}) || c == (column{"stage", 1}) {
				shares[c.place] = law.share(i, x)
			}
		}
		most := 0.0
		for j := range x {
			most = math.Max(most, (shares[0][j]+shares[1][j]+drag[j])/factor[j])
			if j > 0 && j < len(x)-1 && !(math.Abs(most/v[j]-1) <= 2e-3) {
				t.Errorf("mechanism %d at %g deg: rows give %g rpm^2, the law %g", k, x[j], most, v[j])
			}
		}
	}
}

// Half the sum of squares of the least-squares problem is minus the logarithm of the
// posterior, up to a constant, while the readings' errors are frozen.
func TestResidualsAreThePosterior(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	listed, run := random(rng)
	set, err := (*Settings)(nil).resolved()
	if err != nil {
		t.Fatal(err)
	}
	l, mech, err := listedLayout([]Run{run}, listed, &set)
	if err != nil {
		t.Fatal(err)
	}
	plain := set
	plain.PlacesDiffer = false
	lp, err := newLayout([]Run{run}, &plain)
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]*model{"listed": newListedModel(l, mech, noDoubt), "family": newFamily(lp, []bool{false, true})} {
		tg := newTarget(m)
		rows, _ := tg.Size()
		r := make([]float64, rows)
		var base float64
		for k := range 20 {
			par := append([]float64(nil), m.first()[0]...)
			for j := range par[:m.size-1] {
				if k > 0 {
					par[j] += 0.1 * rng.NormFloat64()
				}
			}
			post := tg.logPosterior(par)
			for i := range tg.frozen { // as they are at this point
				tg.frozen[i] = tg.sigma(i, par)
				post += math.Log(tg.frozen[i])
			}
			tg.residuals(par, r)
			sum := 0.0
			for _, v := range r {
				sum += v * v / 2
			}
			if k == 0 {
				base = post + sum
			} else if !(math.Abs(post+sum-base) <= 1e-9*(1+math.Abs(sum))) {
				t.Errorf("%s: log posterior %g and half the squares %g do not add to %g", name, post, sum, base)
			}
		}
	}
}

// A share never falls, also where it is continued beyond the travel.
func TestShapesRise(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		s := shape{rest: 1e5 + 1e6*rng.Float64(), span: 1e7 * rng.Float64(), bend: 2 * rng.NormFloat64(), slack: rng.IntN(2) == 0}
		if s.slack {
			s.takeUp, s.jump = 0.05+0.9*rng.Float64(), 1e6*rng.Float64()
		}
		last := 0.0
		for x := 0.0; x <= 1.2; x += 0.01 {
			v := s.at(x, true)
			if !(v >= last) {
				t.Errorf("%+v falls to %g at %g", s, v, x)
			}
			last = v
		}
	}
}

// Of values that pile up at zero the interval holds 95 % all the same: nothing lies below
// zero that could be left out there.
func TestIntervalsFromZero(t *testing.T) {
	const n = 4001
	rng := rand.New(rand.NewPCG(6, 6))
	var last readings.Estimate
	for zeros := 0; zeros <= n; zeros++ {
		if zeros > n/8 && zeros < n*7/8 {
			continue
		}
		v := make([]float64, n)
		for i := range v {
			v[i] = max(0, float64(i-zeros+1)/n)
		}
		rng.Shuffle(n, func(i, j int) { v[i], v[j] = v[j], v[i] })
		e := fromZero(v)
		if zeros == 0 && e != middle(v) {
			t.Fatalf("no zeros: %v, want %v", e, middle(v))
		}
		held := 0.0
		for _, x := range v {
			if x >= e.Low && x <= e.High {
				held += 1.0 / n
			}
		}
		// Where zeros fill the tail below, up to half of it goes over to the one above.
		if want := max(0.95, float64(zeros)/n); !(held >= want-2.0/n) || zeros >= n/40+1 && !(held <= want+2.0/n) || !(held <= max(0.9625, want)+2.0/n) {
			t.Errorf("%d zeros of %d: %v holds %.4f, want %.4f", zeros, n, e, held, want)
		}
		if zeros > 0 && zeros < n/8 && !(math.Abs(e.High-last.High) < 3.0/n && math.Abs(e.Low-last.Low) < 3.0/n) {
			t.Errorf("%d zeros: a step from %v to %v", zeros, last, e)
		}
		last = e
	}
}
