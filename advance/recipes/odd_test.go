package recipes

import (
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// A long run: go test -run Odd -problems 20000 -timeout 2h
var problems = flag.Int("problems", 120, "odd problems to draw at random")

// oddities draws problems that nobody would bring, and some that somebody might:
// losses in rows of any shape, knock limits with notches, retarded static timing,
// windows without width, identical parts, slots all but closed, friction that
// holds the weights out, springs that snap.
type oddities struct{ *rand.Rand }

func (o oddities) chance(n int) bool              { return o.IntN(n) == 0 }
func (o oddities) between(lo, hi float64) float64 { return lo + (hi-lo)*o.Float64() }

func (o oddities) problem(springs, weights int) *Problem {
	p := shop(springs, weights)
	o.parts(p)
	o.settings(p)
	o.target(p)
	o.limits(p)
	return p
}

func (o oddities) parts(p *Problem) {
	if o.chance(2) {
		p.Mechanism.Friction = flyweights.Friction{Moment: o.between(0, 4e-3), Proportion: o.between(0, 0.2)}
	}
	p.Mechanism.Drag = o.between(0, 4e-3)
	all := p.Drawer.Springs
	same, loops := o.chance(4), o.chance(3)
	for i := range all {
		s := &all[i]
		switch {
		case same && i > 0 && !o.chance(4):
			s.Spring = all[i-1].Spring // the same again under another name
		case loops && o.chance(2):
			s.Spring.Slack = o.between(0, 0.008)
			s.Spring.InitialTension = o.between(0, 8)
		case o.chance(6): // taut but weak: it all but snaps, or does
			s.Spring = spring(o.between(20, 150), 0.012, o.between(0, 6), 0)
		}
		s.Count = 1 + o.IntN(2)
		if o.chance(6) {
			s.MaxTension = o.between(0.5, 15)
		}
	}
	switch o.IntN(5) {
	case 0:
		p.Positions = p.Positions[:1]
	case 1:
		if len(all) <= 24 {
			p.Positions = append(p.Positions, Position{Name: "extra", Posts: []Post{post(0, 2e-3)}, Empty: true})
		}
	case 2:
		p.Positions[0].Posts = append(p.Positions[0].Posts, post(0, o.between(-3e-3, 3e-3)))
	case 3: // beyond the pivot, where a spring pushes the weight out
		p.Positions[0].Posts = append(p.Positions[0].Posts, post(0, o.between(-0.05, -0.035)))
	}
	for i := range p.Positions {
		p.Positions[i].Empty = p.Positions[i].Empty || o.chance(3)
	}
	if o.chance(2) {
		c := Choice{Weights: o.IntN(len(p.Drawer.Weights))}
		for range p.Positions {
			c.Springs, c.Posts = append(c.Springs, o.IntN(len(all))), append(c.Posts, 0)
		}
		p.Present = &c
	}
}

func (o oddities) settings(p *Problem) {
	low := o.between(2, 26)
	if o.chance(5) {
		low = o.between(0.01, 1) // a slot all but closed
	}
	p.Travel = Span{Low: low, High: low, Step: o.between(0.2, 3)}
	if !o.chance(4) {
		p.Travel.High = o.between(low, 30)
	}
	at := o.between(-25, 25)
	p.Static = Span{Low: at, High: at, Step: o.between(0.1, 2)}
	if !o.chance(5) {
		p.Static.High += o.between(0, 20)
	}
	p.Idle = o.between(0, 1000)
	if o.chance(3) {
		p.Slot = flyweights.Slot{}
	}
}

// curve rises on the whole, with notches.
func (o oddities) curve(from, notch float64) advance.Curve {
	var points []advance.Point
	rpm := o.between(0, 1200)
	for range 1 + o.IntN(8) {
		points = append(points, advance.Point{RPM: rpm, Degrees: from + 22*(1-math.Exp(-rpm/1500)) + notch*o.NormFloat64()})
		rpm += o.between(20, 1500)
	}
	return literal(points)
}

func (o oddities) target(p *Problem) {
	at := (p.Static.Low + p.Static.High) / 2
	t := &p.Target
	t.MBT = advance.Curve{}
	kind := o.IntN(4)
	if kind < 3 {
		t.MBT = o.curve(at+o.between(-8, 8), 3)
	}
	if kind > 1 {
		for range 1 + o.IntN(4) {
			rpm := o.between(500, 5000)
			low := at + 20*(1-math.Exp(-rpm/1500)) + o.between(-6, 4)
			high := low
			if !o.chance(3) { // else a band without width
				high += o.between(0, 6)
			}
			t.Band = append(t.Band, BandPoint{rpm, low, high})
		}
	}
	if o.chance(3) {
		t.Loss = o.rows()
	}
}

// rows are losses convex, concave, flat or of any shape.
func (o oddities) rows() []LossRow {
	var all []LossRow
	rpm := o.between(0, 2000)
	for range 1 + o.IntN(3) {
		r := LossRow{RPM: rpm}
		off, kind := o.between(-40, -5), o.IntN(4)
		for range 2 + o.IntN(7) {
			lost := o.Float64()
			switch kind {
			case 0:
				lost = min(1, 3e-4*off*off)
			case 1:
				lost = min(1, 0.03*math.Sqrt(abs(off)))
			case 2:
				lost = 0.01 * math.Floor(4*o.Float64())
			}
			r.Off, r.Lost = append(r.Off, off), append(r.Lost, lost)
			off += o.between(0.01, 15)
		}
		all = append(all, r)
		rpm += o.between(1, 2500)
	}
	return all
}

func (o oddities) limits(p *Problem) {
	l := Limits{Snap: o.chance(2), AdvanceAtIdle: o.chance(2), Filing: o.chance(2)}
	middle := (p.Static.Low + p.Static.High) / 2
	if !o.chance(3) {
		l.Knock, l.KnockMargin = o.curve(middle+o.between(0, 15), 4), o.between(0, 3)
		l.KnockEvery = []float64{0, 100, 5000}[o.IntN(3)]
	}
	l.StartMargin, l.ReturnMargin = o.between(0, 300), o.between(0, 200)
	if o.chance(2) {
		low := o.between(500, 3000)
		l.AllIn = Window{low, low + o.between(50, 4000)}
	}
	window := func(at float64) Window {
		w := Window{at, at} // without width
		if !o.chance(3) {
			w = Window{at - o.between(0, 5), at + o.between(0, 5)}
		}
		return w
	}
	if o.chance(3) { // on a setting, so that no width can be met
		l.Total = window(p.Static.at(o.IntN(p.Static.count())) + p.Travel.at(o.IntN(p.Travel.count())))
	}
	if o.chance(3) {
		l.IdleReading = window(p.Static.at(o.IntN(p.Static.count())))
	}
	if o.chance(4) {
		l.Driving = Window{o.between(0, 1500), o.between(1500, 6000)}
	}
	p.Limits = l
}

// few leaves a problem so few settings that all can be tried.
func few(p *Problem) {
	p.Travel.Step = max(p.Travel.Step, (p.Travel.High-p.Travel.Low)/3)
	p.Static.Step = max(p.Static.Step, (p.Static.High-p.Static.Low)/5)
}

// fewer is how many times fewer of the problems are tried one by one.
const fewer = 10

// oddCount is how many are tried one by one, a third of them in a short run.
func oddCount() int {
	n := (*problems + fewer - 1) / fewer
	if testing.Short() {
		n = (n + 4) / 5
	}
	return n
}

// Every recipe of a small odd problem, judged one by one on the exact curve: no
// other belongs in the list.
func TestSearchOfOddProblemsIsExhaustive(t *testing.T) {
	fitted, count := 0, oddCount()
	for seed := range count {
		o := oddities{rand.New(rand.NewPCG(12, uint64(seed)))}
		p := o.problem(1+o.IntN(4), 1+o.IntN(2))
		few(p)
		s := &Settings{Keep: 1 + o.IntN(8), BandFirst: o.chance(3)}
		want := everything(t, p, s)
		want = onceEach(p, want)
		got, err := Search(t.Context(), p, s)
		if err != nil && !errors.Is(err, ErrNoRecipe) {
			if len(want) > 0 {
				t.Errorf("problem %d: %v, one by one there are %d", seed, err, len(want))
			}
			continue
		}
		if len(want) > 0 {
			fitted++
		}
		if n := min(s.Keep, len(want)); len(got.Recipes) != n {
			t.Errorf("problem %d: %d recipes, one by one %d", seed, len(got.Recipes), n)
			continue
		}
		for i := range got.Recipes {
			x, y := &got.Recipes[i], &want[i]
			if b := p.breaches(x); len(b) > 0 {
				t.Errorf("problem %d: recipe %d breaks %v", seed, i, b)
			}
			if differ(x, y) {
				t.Errorf("problem %d: recipe %d is %v %v %v (%v, %v), one by one %v %v %v (%v, %v)", seed, i,
					x.Choice, x.Travel, x.Static, x.torque(), x.Deviation, y.Choice, y.Travel, y.Static, y.torque(), y.Deviation)
				break
			}
		}
	}
	t.Logf("%d of %d problems have recipes", fitted, count)
	if fitted < count/4 {
		t.Errorf("only %d of %d problems have a recipe: the test says little", fitted, count)
	}
}

// Where nothing fits, no other choice or setting misses the limits by less, all
// breaches in one measure, than the one that is named as nearest.
func TestNearestOfOddProblemsMissesByLeast(t *testing.T) {
	size := func(all []Breach) (sum float64) {
		for _, b := range all {
			sum += b.size()
		}
		return sum
	}
	missed, count := 0, 2*oddCount()
	for seed := range count {
		o := oddities{rand.New(rand.NewPCG(14, uint64(seed)))}
		p := o.problem(1+o.IntN(3), 1+o.IntN(2))
		few(p)
		got, err := Search(t.Context(), p, &Settings{Keep: 1})
		if !errors.Is(err, ErrNoRecipe) || got.Choices == 0 {
			continue
		}
		missed++
		least := math.Inf(1)
		for _, c := range choices(p) {
			for _, travel := range p.travels() {
				for k := range p.Static.count() {
					r, b, err := p.Evaluate(c, p.Static.at(k), travel)
					if err != nil {
						t.Fatal(err)
					}
					var pieces ledger
					if p.piecesLeft(&pieces, r); len(pieces) == 0 {
						least = min(least, size(b))
					}
				}
			}
		}
		// The table that finds it has straight lines.
		if d := size(got.Breaches) - least; !(d <= 0.05) {
			t.Errorf("problem %d: %v misses by %v more than another: %v", seed, got.Nearest.Choice, d, got.Breaches)
		}
	}
	t.Logf("%d of %d problems have no recipe", missed, count)
	if missed < count/5 {
		t.Errorf("only %d of %d problems have no recipe: the test says little", missed, count)
	}
}

func TestTooFewPieces(t *testing.T) {
	p := shop(1, 1)
	p.Drawer.Springs[0].Count = 1
	r, err := Search(t.Context(), p, nil)
	if !errors.Is(err, ErrNoRecipe) || !strings.Contains(err.Error(), "too few pieces for 2 places") || r.Nearest != nil {
		t.Errorf("got %v", err)
	}
}
