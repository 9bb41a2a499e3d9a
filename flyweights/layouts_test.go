package flyweights

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// one is a weight with its pivot on the x axis that swings counter-clockwise.
func one() Weight {
	return Weight{Mass: 0.03, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6}
}

// around places a weight and a point at an angle about the shaft.
func around(w Weight, angle float64) Weight {
	w.Pivot, w.Centre = r2.Rotate(w.Pivot, angle, r2.Vec{}), r2.Rotate(w.Centre, angle, r2.Vec{})
	return w
}

var law = springs.Spring{Rate: 1800, FreeLength: 0.012, InitialTension: 0.8}

// A spring may join any two of plate, weight, other weight and cam. Its moment is
// its tension times the slope of a distance between points that are placed here by
// hand.
func TestSpringBetweenAnyTwoBodies(t *testing.T) {
	w := one()
	v := around(one(), math.Pi)
	v.Mass = 0.034
	m := &Mechanism{Weights: []Weight{w, v}, Linkage: Ratio{K: 1.7}, Stop: 0.12, CamClockwise: true}
	p, q := r2.Vec{X: -0.012, Y: -0.004}, r2.Vec{X: 0.003, Y: -0.019}
	where := map[Body]func(at r2.Vec, phi float64) r2.Vec{
		Plate:       func(at r2.Vec, _ float64) r2.Vec { return at },
		Cam:         func(at r2.Vec, phi float64) r2.Vec { return r2.Rotate(at, -1.7*phi, r2.Vec{}) },
		OnWeight(0): func(at r2.Vec, phi float64) r2.Vec { return r2.Rotate(at, phi, w.Pivot) },
		OnWeight(1): func(at r2.Vec, phi float64) r2.Vec { return r2.Rotate(at, phi, v.Pivot) },
	}
	tried := 0
	for a := range where {
		for b := range where {
			if a == b {
				continue
			}
			tried++
			m.Springs = []Spring{{Law: law, A: Anchor{a, p}, B: Anchor{b, q}}}
			if err := m.Check(); err != nil {
				t.Fatal(a, b, err)
			}
			length := func(phi float64) float64 { return r2.Norm(r2.Sub(where[b](q, phi), where[a](p, phi))) }
			for _, phi := range []float64{0.01, 0.06, 0.11} {
				within(t, "length", m.SpringLength(0, phi), length(phi), 1e-15)
				slope := fd.Derivative(length, phi, &fd.Settings{Formula: fd.Central, Step: 1e-5})
				within(t, "moment", m.SpringMoment(0, phi), law.Tension(length(phi))*slope, 1e-8)
			}
		}
	}
	if tried != 12 {
		t.Errorf("%d pairs, want 12", tried)
	}
}

// One spring between two equal weights half a turn apart does what a spring of
// half the coils does from each weight to the middle between its hooks, which
// stands still.
func TestOneSpringSharedByTwoWeights(t *testing.T) {
	w, v := one(), around(one(), math.Pi)
	hook := r2.Vec{X: 0.002, Y: -0.017}
	far := r2.Scale(-1, hook)
	shared := &Mechanism{
		Weights: []Weight{w, v}, Linkage: Ratio{K: 1.5}, Stop: 0.12,
		Springs: []Spring{{springs.Spring{Rate: 900, FreeLength: 0.03}, Anchor{OnWeight(0), hook}, Anchor{OnWeight(1), far}}},
	}
	alone := &Mechanism{
		Weights: []Weight{w}, Linkage: Ratio{K: 1.5}, Stop: 0.12,
		Springs: []Spring{{springs.Spring{Rate: 1800, FreeLength: 0.015}, Anchor{Plate, r2.Vec{}}, Anchor{OnWeight(0), hook}}},
	}
	a, err := shared.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := alone.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	for omega := 0.0; omega < 200; omega += 7 {
		within(t, "advance", a.Theta(omega, Rising), b.Theta(omega, Rising), 1e-12)
	}
}

// Unequal weights and springs in one mechanism are one balance: moments add.
func TestUnequalWeights(t *testing.T) {
	w, v := one(), around(one(), math.Pi)
	v.Mass, v.Centre.Y = 0.041, v.Centre.Y-0.002
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	stiff := law
	stiff.Rate = 3100
	first := Spring{law, Anchor{Plate, post}, Anchor{OnWeight(0), hook}}
	second := Spring{stiff, Anchor{Plate, r2.Scale(-1, post)}, Anchor{OnWeight(1), r2.Scale(-1, hook)}}
	both := &Mechanism{Weights: []Weight{w, v}, Springs: []Spring{first, second}, Linkage: Ratio{K: 1.5}, Stop: 0.12}
	second.B.Body = OnWeight(0)
	a := &Mechanism{Weights: []Weight{w}, Springs: []Spring{first}, Linkage: Ratio{K: 1.5}, Stop: 0.12}
	b := &Mechanism{Weights: []Weight{v}, Springs: []Spring{second}, Linkage: Ratio{K: 1.5}, Stop: 0.12}
	for _, phi := range []float64{0, 0.05, 0.12} {
		u, err := both.SpeedSquared(phi)
		if err != nil {
			t.Fatal(err)
		}
		want := (a.SpringMoment(0, phi) + b.SpringMoment(0, phi)) / (a.WeightMoment(0, phi) + b.WeightMoment(0, phi))
		within(t, "speed squared", u, want, 1e-12*want)
	}
}

// Three weights a third of a turn apart, a spring each, are one weight with one
// spring; with one spring for all three they turn at the root of a third of the
// speed squared.
func TestThreeWeights(t *testing.T) {
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	single := &Mechanism{
		Weights: []Weight{one()}, Linkage: Ratio{K: 1.5}, Stop: 0.12,
		Springs: []Spring{{law, Anchor{Plate, post}, Anchor{OnWeight(0), hook}}},
	}
	three := &Mechanism{Linkage: Ratio{K: 1.5}, Stop: 0.12}
	for i := range 3 {
		turn := func(p r2.Vec) r2.Vec { return r2.Rotate(p, 2*math.Pi/3*float64(i), r2.Vec{}) }
		three.Weights = append(three.Weights, around(one(), 2*math.Pi/3*float64(i)))
		three.Springs = append(three.Springs, Spring{law, Anchor{Plate, turn(post)}, Anchor{OnWeight(i), turn(hook)}})
	}
	few := *three
	few.Springs = three.Springs[:1]
	for _, phi := range []float64{0, 0.04, 0.12} {
		want, err := single.SpeedSquared(phi)
		if err != nil {
			t.Fatal(err)
		}
		got, err := three.SpeedSquared(phi)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "a spring each", got, want, 1e-11*want)
		if got, err = few.SpeedSquared(phi); err != nil {
			t.Fatal(err)
		}
		within(t, "one spring", got, want/3, 1e-11*want)
	}
}

// Weights that slide, or roll, on a cam of which only points were measured: pairs
// of swing and turn, or the path of a roller on the cam.
// Each comes close to the curved linkage that it was measured off.
func TestMeasuredProfiles(t *testing.T) {
	w := one()
	flank := flank.Follower{Pivot: w.Pivot, Roller: r2.Vec{X: -0.004, Y: -0.008}, Slope: 35, Bend: -1500}
	var swing, turn, rho, psi []float64
	for i := range 9 {
		phi := 0.02 * float64(i)
		theta, _, _ := flank.Cam(phi)
		swing, turn = append(swing, phi), append(turn, theta)
		r := r2.Norm(r2.Rotate(flank.Roller, phi, flank.Pivot))
		x := r - r2.Norm(flank.Roller)
		rho, psi = append(rho, r), append(psi, (flank.Slope+flank.Bend*x)*x)
	}
	turn[0] = 0 // but for rounding
	pairs, err := linkages.NewTabulated(swing, turn)
	if err != nil {
		t.Fatal(err)
	}
	path, err := linkages.NewProfiled(flank.Pivot, flank.Roller, false, rho, psi)
	if err != nil {
		t.Fatal(err)
	}
	mechanism := func(l Linkage, camClockwise bool) *Curve {
		m := &Mechanism{
			Weights: []Weight{w}, Linkage: l, Stop: 0.15, CamClockwise: camClockwise,
			Springs: []Spring{{law, Anchor{Plate, r2.Vec{X: -0.012, Y: -0.003}}, Anchor{OnWeight(0), r2.Vec{Y: -0.018}}}},
		}
		c, err := m.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	made := mechanism(flank, flank.TurnsClockwise())
	for name, pair := range map[string][2]*Curve{
		"pairs": {mechanism(pairs, false), made}, "path": {mechanism(path, false), made},
	} {
		for omega := 30.0; omega < 220; omega += 10 {
			within(t, name, pair[0].Theta(omega, Rising), pair[1].Theta(omega, Rising), 2e-4)
		}
	}
}
