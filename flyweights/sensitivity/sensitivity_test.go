package sensitivity

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/random"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/root"

	"example.org/bobweight/springs/valid"
)

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g, difference %.3g above %.3g", what, got, want, got-want, tol)
	}
}

// advance returns the output of a mechanism with friction at a squared speed: the
// root of its balance, sought by bracket near the curve's own reading. It is not
// the way of the package, which divides derivatives.
func advance(t *testing.T, m *flyweights.Mechanism, omega float64, dir flyweights.Direction) float64 {
	t.Helper()
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	against := 1.0
	if dir == flyweights.Falling {
		against = -1
	}
	at := c.Phi(omega, dir)
	phi, _, err := root.Brent(func(phi float64) float64 {
		s := m.State(phi, 0, nil)
		return omega*omega*s.Weights - s.Restore - against*s.Friction
	}, at-1e-6*m.Stop, at+1e-6*m.Stop, 0)
	if err != nil {
		t.Fatal(err)
	}
	theta, _, _ := m.Linkage.Cam(phi)
	return theta
}

// Every sensitivity agrees with differences of whole curves, for each linkage,
// with friction, drag and slack, away from nice points, both directions.
func TestAgreesWithDifferences(t *testing.T) {
	for _, kind := range random.Kinds {
		rnd := rand.New(rand.NewPCG(13, 14))
		for tried := 0; tried < 6; {
			m, err := random.Mechanism(rnd, kind)
			if err != nil {
				t.Fatal(err)
			}
			m.Friction = flyweights.Friction{Moment: 0.005 * rnd.Float64(), Proportion: 0.05}
			m.Springs[1].Law.Slack = 0.002 * rnd.Float64()
			c, err := m.Curve(nil)
			if err != nil {
				t.Fatal(err)
			}
			dir := flyweights.Direction(tried % 2)
			omega := c.Start(dir) + (0.1+0.8*rnd.Float64())*(c.AllIn(dir)-c.Start(dir))
			near := c.Theta(omega*1.001, dir) - c.Theta(omega*0.999, dir)
			if !(near > 0) || near > 0.04*c.Travel() {
				continue // a hold has its own test, and next to a snap differences jump
			}
			got, err := At(m, omega, dir)
			if err != nil {
				t.Fatal(kind.Name, err)
			}
			tried++
			x := newStudy(m, omega*omega, dir)
			for i, s := range got {
				within(t, kind.Name+" 1 %", s.Percent, 0.01*s.Value*s.PerUnit, 0)
				n := x.numbers[i]
				if n.name != s.Name || n.value != s.Value {
					t.Fatalf("%d: %s %g, want %s %g", i, s.Name, s.Value, n.name, n.value)
				}
				if n.at == &x.m.Stop || s.Value == 0 && (n.unit == "m" || n.unit == "N m") {
					continue // the stop moves nothing below it; slack and offset of 0 cannot be made negative
				}
				central := func(h float64) float64 {
					*n.at = n.value + h
					above := advance(t, x.m, omega, dir)
					*n.at = n.value - h
					below := advance(t, x.m, omega, dir)
					*n.at = n.value
					return (above - below) / (2 * h)
				}
				h := n.step() / 10
				wide, narrow := central(h), central(h/2)
				within(t, kind.Name+" "+s.Name, s.PerUnit, narrow, 10*math.Abs(wide-narrow)+1e-6*math.Abs(narrow)+1e-13/h)
			}
		}
	}
}

// simple is one weight that swings about a pivot, a spring from the plate to it
// and cam teeth of constant ratio.
func simple(law springs.Spring) *flyweights.Mechanism {
	return &flyweights.Mechanism{
		Weights: []flyweights.Weight{{Mass: 0.05, Pivot: r2.Vec{X: 0.02}, Centre: r2.Vec{X: 0.02, Y: -0.018}}},
		Springs: []flyweights.Spring{{
			Law: law,
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.01, Y: -0.022}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{X: 0.019, Y: -0.02}},
		}},
		Linkage: flyweights.Ratio{K: 1.5}, Stop: 0.2,
	}
}

// A mass and all springs' forces scaled alike change nothing: the sensitivities
// by mass and by rate and initial tension, each times its value, add up to 0.
func TestSimilarity(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := At(m, (c.Start(flyweights.Rising)+c.AllIn(flyweights.Rising))/2, flyweights.Rising)
	if err != nil {
		t.Fatal(err)
	}
	sum, size := 0.0, 0.0
	for _, s := range got {
		switch s.Name {
		case "weight 1 mass", "spring 1 rate", "spring 1 initial tension":
			sum += s.Percent
			size += math.Abs(s.Percent)
		}
	}
	// The balance is linear in each of them: the differences are exact but for
	// rounding over their step of 1e-4.
	within(t, "similarity", sum, 0, 1e-11*size)
	if !(size > 0) {
		t.Error("nothing answers")
	}
}

// At rest nothing answers; at the stop only the stop and the linkage; in a hold
// the swing follows the take-up length: L(phi) = free length + slack.
func TestEndsAndHold(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	m.Springs = append(m.Springs, flyweights.Spring{
		Law: springs.Spring{Rate: 3000, FreeLength: 0.029, InitialTension: 2, Slack: 0.0022},
		A:   m.Springs[0].A, B: m.Springs[0].B,
	})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	find := func(omega float64) map[string]float64 {
		got, err := At(m, omega, flyweights.Rising)
		if err != nil {
			t.Fatal(err)
		}
		by := map[string]float64{}
		for _, s := range got {
			by[s.Name] = s.PerUnit
		}
		return by
	}
	for name, d := range find(c.Start(flyweights.Rising) / 2) {
		within(t, "at rest: "+name, d, 0, 0)
	}
	for name, d := range find(c.AllIn(flyweights.Rising) * 2) {
		want := map[string]float64{"stop": 1.5, "linkage ratio": m.Stop}[name]
		within(t, "at the stop: "+name, d, want, 1e-11)
	}
	var hold flyweights.Event
	for _, e := range c.Events(flyweights.Rising) {
		if e.Kind == flyweights.Hold {
			hold = e
		}
	}
	by := find((hold.Omega + hold.ToOmega) / 2)
	const h = 1e-6
	rise := (m.SpringLength(1, hold.Phi+h) - m.SpringLength(1, hold.Phi-h)) / (2 * h)
	within(t, "in the hold: slack", by["spring 2 slack"], 1.5/rise, 1e-6/rise)
	within(t, "in the hold: mass", by["weight 1 mass"], 0, 0)
}

func TestRefusals(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	for _, omega := range []float64{math.NaN(), math.Inf(1), -1, 1e300} {
		if _, err := At(m, omega, flyweights.Rising); !errors.Is(err, valid.ErrRange) {
			t.Errorf("speed %g: %v", omega, err)
		}
	}
	for name, bad := range map[string]*flyweights.Mechanism{"nil": nil, "zero": {}} {
		if _, err := At(bad, 100, flyweights.Rising); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
