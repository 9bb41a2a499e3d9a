package recipes

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// The scenario is a drawer and a distributor of our own: two weights on pins
// 20 mm from the shaft, springs from a pin on each weight to posts on the plate,
// a linkage of constant ratio. All sizes are invented; they give starts from
// about 600 to 1800 rpm and stops from about 1500 to 5000 rpm.

// opposite returns a point turned by half a turn about the shaft.
func opposite(v r2.Vec) r2.Vec { return r2.Scale(-1, v) }

// weightPair is two equal weights, half a turn apart.
func weightPair(mass float64) []flyweights.Weight {
	w := flyweights.Weight{Mass: mass, Pivot: r2.Vec{X: 0.020}, Centre: r2.Vec{X: 0.014, Y: 0.013}, Inertia: mass * 6e-5, Clockwise: true}
	o := w
	o.Pivot, o.Centre = opposite(w.Pivot), opposite(w.Centre)
	return []flyweights.Weight{w, o}
}

// post is a spring between weight i and a post on the plate, out by a few mm.
func post(i int, out float64) Post {
	a, b := r2.Vec{X: 0.008, Y: 0.015}, r2.Vec{X: -0.010 - out, Y: 0.006}
	if i == 1 {
		a, b = opposite(a), opposite(b)
	}
	return Post{Name: fmt.Sprintf("out %.1f mm", out*1e3), A: flyweights.Anchor{Body: flyweights.OnWeight(i), Point: a}, B: flyweights.Anchor{Point: b}}
}

// spring is a coil of a rate (N/m) whose coils are taken up at a length (m).
func spring(rate, free, initial, slack float64) springs.Spring {
	return springs.Spring{Rate: rate, FreeLength: free, InitialTension: initial, Slack: slack}
}

// shop returns the scenario with n springs and w sets of weights.
func shop(n, w int) *Problem {
	p := &Problem{
		Mechanism: flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.6}, Stop: 0.45, Drag: 2e-3},
		Drive:     advance.FourStroke,
		Positions: []Position{{Name: "left", Posts: []Post{post(0, 0)}}, {Name: "right", Posts: []Post{post(1, 0)}}},
		Travel:    Span{Low: 18, High: 28, Step: 1},
		Static:    Span{Low: 4, High: 16, Step: 0.5},
		Idle:      700,
		Slot:      flyweights.Slot{Length: 0.0115, Pin: 0.0055, Radius: 0.0265},
	}
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	for i := range n {
		f := float64(i) / float64(max(n-1, 1))
		s := spring(400*math.Pow(8, f), 0.0165+0.0025*rng.Float64(), 0.3*rng.Float64(), 0)
		if i%5 == 4 {
			s.Slack = 0.0025 + 0.0015*rng.Float64()
		}
		p.Drawer.Springs = append(p.Drawer.Springs, SpringPart{Name: fmt.Sprintf("coil %d", i+1), Spring: s, Count: 2, RateSigma: 0.03, TensionSigma: 0.03, LengthSigma: 5e-5})
	}
	for i := range w {
		m := 0.018 + 0.012*float64(i)/float64(max(w-1, 1))
		p.Drawer.Weights = append(p.Drawer.Weights, WeightPart{Name: fmt.Sprintf("%.1f g", m*1e3), Weights: weightPair(m), MassSigma: 0.005})
	}
	p.Target.MBT = literal(hookMBT)
	p.Limits.Knock, p.Limits.KnockMargin = literal(hookKnock), 2
	p.Limits.StartMargin, p.Limits.ReturnMargin = 100, 50
	p.Limits.AllIn = Window{1800, 3600}
	return p
}

// An engine of our own: what it wants and tolerates at full load.
var (
	hookMBT = []advance.Point{{RPM: 800, Degrees: 14}, {RPM: 1200, Degrees: 20}, {RPM: 1600, Degrees: 25}, {RPM: 2000, Degrees: 29},
		{RPM: 2500, Degrees: 32}, {RPM: 3000, Degrees: 34}, {RPM: 3600, Degrees: 35}, {RPM: 4300, Degrees: 36}, {RPM: 5000, Degrees: 36}}
	hookKnock = []advance.Point{{RPM: 800, Degrees: 16}, {RPM: 1200, Degrees: 21}, {RPM: 1600, Degrees: 25}, {RPM: 2000, Degrees: 29},
		{RPM: 2500, Degrees: 33}, {RPM: 3000, Degrees: 36}, {RPM: 3600, Degrees: 38}, {RPM: 4300, Degrees: 41}, {RPM: 5000, Degrees: 43}}
)

// literal is the curve of a literal of this file. One that is no curve comes out
// empty, which the test below does not let pass.
func literal(points []advance.Point) advance.Curve {
	c, err := advance.NewCurve(points)
	if err != nil {
		return advance.Curve{}
	}
	return c
}

func abs(x float64) float64 { return math.Abs(x) }

func TestScenarioHasItsCurves(t *testing.T) {
	for name, points := range map[string][]advance.Point{"MBT": hookMBT, "knock": hookKnock} {
		if got := literal(points).Points(); len(got) != len(points) {
			t.Errorf("%s: %d points of %d", name, len(got), len(points))
		}
	}
}

// vary changes the scenario: friction, band, present parts, a stress
// limit, empty positions, single pieces, a second post, allowed snaps.
func vary(p *Problem, seed uint64) {
	rng := rand.New(rand.NewPCG(7, seed))
	chance := func() bool { return rng.IntN(2) == 0 }
	if chance() {
		p.Mechanism.Friction = flyweights.Friction{Moment: 1e-3 * rng.Float64(), Proportion: 0.04 * rng.Float64()}
	}
	if chance() || seed%3 == 1 {
		p.Target.Band = []BandPoint{{RPM: 1000, Low: 12, High: 18}, {RPM: 2000, Low: 24, High: 28}, {RPM: 4000, Low: 32, High: 35}}
	}
	if chance() {
		p.Present = &Choice{Springs: []int{1, 3}, Posts: []int{0, 0}, Weights: 0}
	}
	if chance() {
		p.Positions[1].Posts = append(p.Positions[1].Posts, post(1, 1e-3))
	}
	p.Positions[1].Empty = chance()
	p.Limits.Snap, p.Limits.AdvanceAtIdle = chance(), chance()
	if p.Limits.AdvanceAtIdle {
		p.Limits.IdleReading = Window{6, 15}
	}
	p.Limits.Filing = chance()
	for i := range p.Drawer.Springs {
		if chance() {
			p.Drawer.Springs[i].Count = 1
		}
		if rng.IntN(4) == 0 {
			p.Drawer.Springs[i].MaxTension = 2 + 10*rng.Float64()
		}
	}
}

// lift raises all points by some crank degrees.
func lift(points []advance.Point, degrees float64) []advance.Point {
	up := append([]advance.Point(nil), points...)
	for i := range up {
		up[i].Degrees += degrees
	}
	return up
}
