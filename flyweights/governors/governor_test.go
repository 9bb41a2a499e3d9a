package governors

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.org/bobweight/flyweights"
)

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g, difference %.3g above %.3g", what, got, want, got-want, tol)
	}
}

var arms = Arms{Upper: 0.25, Lower: 0.23, Pivot: 0.03, Link: 0.045}

func all() map[string]Governor {
	return map[string]Governor{
		"porter": {Linkage: arms, BallMass: 3, SleeveMass: 20, Friction: 8},
		"proell": {Linkage: Proell{Arms: arms, Extension: 0.08, Upright: 0.15}, BallMass: 3, SleeveMass: 20, Friction: 8},
		"hartnell": {
			Linkage:  Crank{BallArm: 0.12, SleeveArm: 0.1, Radius: 0.14},
			BallMass: 2, SleeveMass: 4, Sleeve: Spring{Force: 900, Rate: 20000}, Friction: 15,
		},
		"straight": {
			Linkage:  Crank{BallArm: 0.12, SleeveArm: 0.1, Radius: 0.14, Straight: true},
			BallMass: 2, Sleeve: Spring{Force: 900, Rate: 20000}, Ball: Spring{Force: 100, Rate: 3000, From: 0.14}, Friction: 15,
		},
	}
}

// Derivatives of every frame agree with differences.
func TestFrameDerivatives(t *testing.T) {
	for name, g := range all() {
		const q, h = 0.41, 1e-5
		at := func(x float64) [3]float64 {
			r, z, s := g.Linkage.at(constant(x))
			return [3]float64{r.v, z.v, s.v}
		}
		r, z, s := g.Linkage.at(along(q))
		below, mid, above := at(q-h), at(q), at(q+h)
		for i, x := range []jet{r, z, s} {
			within(t, fmt.Sprint(name, " value ", i), x.v, mid[i], 1e-15)
			within(t, fmt.Sprint(name, " slope ", i), x.d1, (above[i]-below[i])/(2*h), 1e-9)
			within(t, fmt.Sprint(name, " bend ", i), x.d2, (above[i]-2*mid[i]+below[i])/(h*h), 1e-5)
		}
	}
}

// Porter's balance by forces in the arms: the lower arm carries half the sleeve,
// the upper arm that and the ball; what they pull inwards is the centripetal
// force. No virtual work.
func TestPorterByForces(t *testing.T) {
	g := all()["porter"]
	for _, radius := range []float64{0.12, 0.15, 0.19} {
		alpha := math.Asin((radius - arms.Pivot) / arms.Upper)
		beta := math.Asin((radius - arms.Link) / arms.Lower)
		half := g.SleeveMass * standardGravity / 2
		inwards := half*math.Tan(beta) + (half+g.BallMass*standardGravity)*math.Tan(alpha)
		omega, err := g.SpeedAtRadius(radius, 0)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "controlling force", g.BallMass*omega*omega*radius, inwards, 1e-11*inwards)
		tension, err := g.UpperArmTension(radius)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "upper arm", tension*math.Cos(alpha), half+g.BallMass*standardGravity, 1e-11*inwards)
	}
}

// Proell's balance by moments of the lower arm with its ball about the
// instantaneous centre, where the upper arm's line meets the level of the
// sleeve's joint.
func TestProellByMoments(t *testing.T) {
	g := all()["proell"]
	f := g.Linkage.(Proell)
	for _, joint := range []float64{0.13, 0.15, 0.18} {
		q := f.coordinate(joint)
		r, z, _ := f.at(constant(q))
		alpha := q
		beta := math.Asin((joint - f.Link) / f.Lower)
		jointZ := -f.Upper * math.Cos(alpha)
		sleeveZ := jointZ - f.Lower*math.Cos(beta)
		// The upper arm's line from the joint outwards and down to the level.
		centre := joint + math.Tan(alpha)*(jointZ-sleeveZ)
		weight := g.BallMass * standardGravity
		half := g.SleeveMass * standardGravity / 2
		// About the centre: F (z - level) = weight (centre - r) + half (centre - link)
		force := (weight*(centre-r.v) + half*(centre-f.Link)) / (z.v - sleeveZ)
		omega, err := g.speed(q, 0)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "centrifugal force", g.BallMass*omega*omega*r.v, force, 1e-11*force)
		controlling, err := g.ControllingForce(joint)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "controlling force, on the ball and not at the joint", controlling, force, 1e-11*force)
	}
}

// Hartnell's balance by moments about the fulcrum with the ball's weight.
func TestHartnellByMoments(t *testing.T) {
	g := all()["hartnell"]
	f := g.Linkage.(Crank)
	for _, q := range []float64{-0.2, 0, 0.15} {
		omega, err := g.speed(q, 0)
		if err != nil {
			t.Fatal(err)
		}
		r := f.Radius + f.BallArm*math.Sin(q)
		lift := f.SleeveArm * math.Sin(q)
		thrust := (g.SleeveMass*standardGravity + 900 + 20000*lift) / 2
		moment := thrust*f.SleeveArm*math.Cos(q) - g.BallMass*standardGravity*f.BallArm*math.Sin(q)
		within(t, "moment", g.BallMass*omega*omega*r*f.BallArm*math.Cos(q), moment, 1e-11*moment)
	}
}

// A Watt governor's ball hangs at the height g/omega^2 of a conical pendulum,
// and Porter's with equal arms on the axis at (1 + M/m) times that.
func TestHeights(t *testing.T) {
	equal := Arms{Upper: 0.3, Lower: 0.3}
	for _, mass := range []float64{0, 12} {
		g := Governor{Linkage: equal, BallMass: 3, SleeveMass: mass}
		omega, err := g.SpeedAtRadius(0.2, 0)
		if err != nil {
			t.Fatal(err)
		}
		h, err := Height(omega, standardGravity)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "height", h*(1+mass/3), math.Sqrt(0.3*0.3-0.2*0.2), 1e-13)
	}
}

// The spring found for two balances gives them back; at equal speeds it is
// isochronous, and with the straight frame at every radius between.
func TestSleeveSpringRoundTrip(t *testing.T) {
	for name, g := range all() {
		g.Sleeve, g.Friction = Spring{}, 0
		if name == "straight" {
			g.Ball = Spring{}
		}
		const r1, r2 = 0.145, 0.165
		for _, omega2 := range []float64{40, 42} {
			s, err := g.SleeveSpring(r1, 40, r2, omega2)
			if err != nil {
				t.Fatal(name, err)
			}
			sprung := g
			sprung.Sleeve = s
			for radius, want := range map[float64]float64{r1: 40, r2: omega2} {
				omega, err := sprung.SpeedAtRadius(radius, 0)
				if err != nil {
					t.Fatal(name, err)
				}
				within(t, name+" speed", omega, want, 1e-10)
			}
			if name == "straight" && omega2 == 40 {
				omega, err := sprung.SpeedAtRadius(0.155, 0)
				if err != nil {
					t.Fatal(err)
				}
				within(t, "isochronous between", omega, 40, 1e-10)
			}
			if _, err := sprung.SleeveSpring(r1, 40, r2, 42); !errors.Is(err, errRange) {
				t.Errorf("%s: a spring over a spring: %v", name, err)
			}
		}
	}
}

// The curve is the inverse of the speed, with friction on either side.
func TestCurve(t *testing.T) {
	for name, g := range all() {
		const r1, r2 = 0.145, 0.165
		c, err := g.curve(r1, r2)
		if err != nil {
			t.Fatal(name, err)
		}
		total, err := g.Lift(r1, r2)
		if err != nil {
			t.Fatal(name, err)
		}
		within(t, name+" travel", c.Travel(), total, 1e-15)
		for _, radius := range []float64{0.15, 0.153, 0.16} {
			lift, err := g.Lift(r1, radius)
			if err != nil {
				t.Fatal(name, err)
			}
			for dir, share := range map[flyweights.Direction]float64{flyweights.Rising: 1, flyweights.Falling: -1} {
				omega, err := g.SpeedAtRadius(radius, share)
				if err != nil {
					t.Fatal(name, err)
				}
				within(t, name+" lift", c.Theta(omega, dir), lift, 1e-7*total)
			}
		}
	}
}

// An unstable adjustment, spring weaker than isochronous, snaps.
func TestUnstableSnaps(t *testing.T) {
	g := all()["straight"]
	g.Sleeve, g.Ball, g.Friction = Spring{}, Spring{}, 0
	s, err := g.SleeveSpring(0.14, 40, 0.16, 38)
	if err != nil {
		t.Fatal(err)
	}
	g.Sleeve = s
	c, err := g.curve(0.14, 0.16)
	if err != nil {
		t.Fatal(err)
	}
	es := c.Events(flyweights.Rising)
	if len(es) != 3 || es[1].Kind != flyweights.Snap {
		t.Fatalf("events %v", es)
	}
	within(t, "snaps at", es[1].Omega, 40, 1e-9)
	within(t, "returns at", c.Start(flyweights.Falling), 38, 1e-9)
}

// Power is the first order of the work to come: for small c it tends to half the
// stiffness of the sleeve times the lift squared.
func TestEffortAndPower(t *testing.T) {
	g := all()["porter"]
	const c = 1e-4
	effort, x, err := g.Effort(0.15, c, 0.17)
	if err != nil {
		t.Fatal(err)
	}
	omega, err := g.SpeedAtRadius(0.15, 0)
	if err != nil {
		t.Fatal(err)
	}
	f, err := g.SleeveForce(0.15, omega*(1+c))
	if err != nil {
		t.Fatal(err)
	}
	within(t, "power", effort*x, f*x/2, 1e-4*effort*x)
	if _, _, err := g.Effort(0.15, 0.5, 0.17); !errors.Is(err, errRange) {
		t.Errorf("rise beyond the largest radius: %v", err)
	}
}

func TestInsensitivenessToFirstOrder(t *testing.T) {
	g := all()["straight"]
	g.Friction = 1e-3
	force, err := g.ControllingForce(0.15)
	if err != nil {
		t.Fatal(err)
	}
	got, err := g.Insensitiveness(0.15)
	if err != nil {
		t.Fatal(err)
	}
	// friction brought to one ball over the controlling force
	want := g.Friction / 2 * 0.1 / 0.12 / force
	within(t, "insensitiveness", got, want, 1e-6*want)
}

func TestLine(t *testing.T) {
	l, err := LineThrough(0.1, 450, 0.2, 1200)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "slope", l.Slope, 7500, 1e-9)
	within(t, "intercept", l.Intercept, -300, 1e-9)
	for _, radius := range []float64{0.1, 0.15} {
		omega, err := Line{Slope: l.Slope}.Speed(9, radius)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "isochronous", omega, math.Sqrt(7500./9), 1e-12)
	}
}

func TestRefusals(t *testing.T) {
	good := all()["porter"]
	for name, spoil := range map[string]func(*Governor){
		"no linkage":     func(g *Governor) { g.Linkage = nil },
		"ball":           func(g *Governor) { g.BallMass = 0 },
		"sleeve":         func(g *Governor) { g.SleeveMass = -1 },
		"friction":       func(g *Governor) { g.Friction = math.NaN() },
		"gravity":        func(g *Governor) { g.Gravity = -1 },
		"spring":         func(g *Governor) { g.Sleeve.Rate = math.Inf(1) },
		"zero arms":      func(g *Governor) { g.Linkage = Arms{} },
		"zero proell":    func(g *Governor) { g.Linkage = Proell{} },
		"long extension": func(g *Governor) { g.Linkage = Proell{Arms: arms, Extension: math.NaN()} },
		"zero crank":     func(g *Governor) { g.Linkage = Crank{} },
	} {
		g := good
		spoil(&g)
		for what, err := range map[string]error{
			"check": g.check(),
			"speed": second(g.SpeedAtRadius(0.15, 0)), "lift": second(g.Lift(0.15, 0.16)),
			"force": second(g.SleeveForce(0.15, 40)), "tension": second(g.UpperArmTension(0.15)),
			"insensitiveness": second(g.Insensitiveness(0.15)), "effort": third(g.Effort(0.15, 0.01, 0.17)),
			"controlling force": second(g.ControllingForce(0.15)),
		} {
			if !errors.Is(err, errRange) {
				t.Errorf("%s, %s: %v", name, what, err)
			}
		}
		if _, err := g.curve(0.15, 0.16); !errors.Is(err, errRange) {
			t.Errorf("%s, curve: %v", name, err)
		}
	}
	crank := all()["hartnell"]
	for what, err := range map[string]error{
		"radius beyond the arms": second(good.SpeedAtRadius(0.5, 0)),
		"share":                  second(good.SpeedAtRadius(0.15, 2)),
		"coordinate":             second(good.speed(math.NaN(), 0)),
		"speed":                  second(good.SleeveForce(0.15, math.NaN())),
		"no rise":                third(good.Effort(0.15, 0, 0.17)),
		"fall":                   third(good.Effort(0.15, -0.1, 0.17)),
		"arms of a crank":        second(crank.UpperArmTension(0.15)),
		"height at rest":         second(Height(0, 9.81)),
		"negative balance":       second(Governor{Linkage: arms, BallMass: 1, Sleeve: Spring{Force: -100}}.SpeedAtRadius(0.15, 0)),
		"line":                   second(Line{}.Speed(0, 1)),
	} {
		if !errors.Is(err, errRange) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := good.curve(0.16, 0.15); !errors.Is(err, errRange) {
		t.Errorf("curve inwards: %v", err)
	}
	if _, err := LineThrough(0.1, 1, 0.1, 2); !errors.Is(err, errRange) {
		t.Errorf("line through one radius: %v", err)
	}
}

func second(_ float64, err error) error { return err }

func third(_, _ float64, err error) error { return err }
