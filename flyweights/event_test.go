package flyweights

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs"
)

func kinds(es []Event) (ks []string) {
	for _, e := range es {
		ks = append(ks, e.Kind.String())
	}
	return ks
}

// A long loop with initial tension holds the weights while the speed runs from
// the balance of the slack spring to that of the pulled one, both closed forms.
func TestHold(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	late := springs.Spring{Rate: 3000, FreeLength: 0.029, InitialTension: 2, Slack: 0.0022}
	m.Springs = append(m.Springs, Spring{Law: late, A: m.Springs[0].A, B: m.Springs[0].B})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	up, down := c.Events(Rising), c.Events(Falling)
	if diff := cmp.Diff([]string{"start", "hold", "stop"}, kinds(up)); diff != "" {
		t.Fatal(diff)
	}
	if diff := cmp.Diff([]string{"stop", "hold", "return"}, kinds(down)); diff != "" {
		t.Fatal(diff)
	}
	h := up[1]
	within(t, "length at take-up", m.SpringLength(1, h.Phi), late.TakeUp(), 1e-15)
	w := m.WeightMoment(0, h.Phi)
	slack := m.SpringMoment(0, h.Phi)
	m.Springs[1].Law.FreeLength -= 1e-15 // the far side of the jump
	within(t, "hold begins", h.Omega, math.Sqrt(slack/w), 1e-9*h.Omega)
	within(t, "hold ends", h.ToOmega, math.Sqrt((slack+m.SpringMoment(1, h.Phi))/w), 1e-9*h.ToOmega)
	for _, omega := range []float64{h.Omega, (h.Omega + h.ToOmega) / 2, h.ToOmega} {
		within(t, "held", c.Phi(omega, Rising), h.Phi, 1e-12)
		within(t, "held", c.Phi(omega, Falling), h.Phi, 1e-12)
	}
	within(t, "falling hold", down[1].Omega, h.ToOmega, 1e-9*h.ToOmega)
	within(t, "falling hold", down[1].ToOmega, h.Omega, 1e-9*h.Omega)
}

// Two equal springs on two equal weights are taken up at one swing: one knee
// each, no position between.
func TestEqualSpringsTakenUpTogether(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
	for range 2 {
		m.Springs = append(m.Springs, Spring{Law: springs.Spring{Rate: 3000, FreeLength: 0.031}, A: m.Springs[0].A, B: m.Springs[0].B})
	}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	es := c.Events(Rising)
	if diff := cmp.Diff([]string{"start", "knee", "stop"}, kinds(es)); diff != "" {
		t.Fatal(diff)
	}
	if want := "springs 2 and 3 are taken up"; es[1].Cause != want {
		t.Errorf("cause %q, want %q", es[1].Cause, want)
	}
	within(t, "length at the knee", m.SpringLength(1, es[1].Phi), 0.031, 1e-14)
	marked := 0
	for _, s := range c.samples {
		if s.spring != 0 {
			marked++
			within(t, "place of the marked samples", s.phi, es[1].Phi, 1e-14)
		}
	}
	if marked != 4 {
		t.Errorf("%d marked samples, want two for each spring taken up", marked)
	}
}

// A centre of mass nearly on the pivot radius gains moment faster than a weak
// preloaded spring: omega^2 = S/W falls, and the weights snap. For a constant
// restoring moment M and W = w sin(phi0 + phi) that happens at the very start.
func TestSnap(t *testing.T) {
	l := Lumped{
		WeightMass: 0.05, PivotRadius: 0.02, CentreDistance: 0.015, CentreAngle: math.Pi - 0.15,
		SpringMomentRest: 0.05, SpringMomentStop: 0.15, Travel: 0.6, Ratio: 1,
	}
	c, err := l.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	u := func(phi float64) float64 {
		return (0.05 + 0.1*phi/0.6) / (0.05 * 0.02 * 0.015 * math.Sin(math.Pi-0.15-phi))
	}
	up := c.Events(Rising)
	if diff := cmp.Diff([]string{"start", "snap", "stop"}, kinds(up)); diff != "" {
		t.Fatal(diff, up)
	}
	within(t, "snaps from rest at its balance", up[1].Omega, math.Sqrt(u(0)), 1e-9*up[1].Omega)
	within(t, "snaps to the stop", up[1].ToPhi, 0.6, 1e-15)

	down := c.Events(Falling)
	if diff := cmp.Diff([]string{"stop", "snap", "return"}, kinds(down)); diff != "" {
		t.Fatal(diff, down)
	}
	low := down[1].Phi // du/dphi = 0: k tan(0.15 + phi) = 0.05 + k phi with k = 0.1/0.6
	within(t, "minimum of the balance", 0.1/0.6*math.Tan(0.15+low), 0.05+0.1*low/0.6, 1e-6)
	within(t, "back to rest", down[1].ToPhi, 0, 0)
	if !(c.Start(Falling) < c.Start(Rising)) {
		t.Errorf("no hysteresis: returns at %g, starts at %g", c.Start(Falling), c.Start(Rising))
	}
}

// Friction above the preload keeps the weights out at standstill; the swing at
// which they stay is where the spring equals it.
func TestStuck(t *testing.T) {
	l := Lumped{
		WeightMass: 0.05, PivotRadius: 0.02, CentreDistance: 0.015, CentreAngle: 1.6,
		SpringMomentRest: 0.01, SpringMomentStop: 0.09, Travel: 0.2, Ratio: 1, Friction: 0.02,
	}
	c, err := l.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	es := c.Events(Falling)
	if diff := cmp.Diff([]string{"stop", "stuck"}, kinds(es)); diff != "" {
		t.Fatal(diff, es)
	}
	within(t, "stays at", es[1].Phi, 0.2*(0.02-0.01)/0.08, 1e-9)
	within(t, "return speed", c.Start(Falling), 0, 0)
	within(t, "rising still starts at 0", c.Theta(1, Rising), 0, 0)
}

// A spring slack at rest leaves the weights free: they fly out to the take-up at
// the first turn, and the event says why.
func TestSlackAtRest(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.0305})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	es := c.Events(Rising)
	if diff := cmp.Diff([]string{"start", "snap", "knee", "stop"}, kinds(es)); diff != "" {
		t.Fatal(diff, es)
	}
	within(t, "standstill", es[1].Omega, 0, 0)
	within(t, "flies out to the take-up", m.SpringLength(0, es[1].ToPhi), 0.0305, 1e-14)
	within(t, "at a crawl", c.Phi(1e-3, Rising), es[1].ToPhi, 1e-9)
}

// Slack springs do not bring the weights back, with initial tension or without:
// they stay where the springs go slack. Friction is named only where there is
// some, and at standstill the curve says what the event says.
func TestSlackSpringsLeaveTheWeightsOut(t *testing.T) {
	for _, c := range []struct {
		law      springs.Spring
		friction float64
		kinds    []string
		cause    string
	}{
		{springs.Spring{Rate: 1500, FreeLength: 0.0305}, 0, []string{"stop", "stuck"}, "the springs are slack: nothing pulls the weights back to rest"},
		{springs.Spring{Rate: 1500, FreeLength: 0.0305, InitialTension: 1.5}, 0, []string{"stop", "hold", "stuck"}, "the springs are slack: nothing pulls the weights back to rest"},
		{springs.Spring{Rate: 1500, FreeLength: 0.0305, InitialTension: 1.5}, 1e-3, []string{"stop", "hold", "stuck"}, "the springs are slack near rest, and friction holds the weights"},
		{springs.Spring{Rate: 1500, FreeLength: 0.050}, 0, []string{"stuck"}, "the springs are slack: nothing pulls the weights back to rest"},
		{springs.Spring{Rate: 1500, FreeLength: 0.028}, 5e-2, []string{"stop", "stuck"}, "friction exceeds what the springs have left near rest"},
	} {
		m := simple(c.law)
		m.Friction.Moment = c.friction
		curve, err := m.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		es := curve.Events(Falling)
		if diff := cmp.Diff(c.kinds, kinds(es)); diff != "" {
			t.Fatal(c, diff)
		}
		last := es[len(es)-1]
		if last.Cause != c.cause {
			t.Errorf("%+v: %q, want %q", c.law, last.Cause, c.cause)
		}
		within(t, "at standstill", curve.Theta(0, Falling), last.Theta, 0)
		within(t, "a little above", curve.Theta(1e-9, Falling), last.Theta, 1e-9)
		within(t, "return speed", curve.Start(Falling), 0, 0)
		for _, e := range curve.Events(Rising) {
			if (c.friction > 0) != strings.Contains(e.Cause, "friction") && e.Kind == Start && e.Omega > 0 {
				t.Errorf("friction %g: %q", c.friction, e.Cause)
			}
		}
	}
}

// A spring over its dead centre grows shorter as the weights swing out: rising it
// goes slack, falling it is taken up, and beyond it pushes nothing.
func TestSpringThatGoesSlackOutwards(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	a, b := r2.Vec{X: 0.03, Y: -0.022}, m.Springs[0].B.Point
	m.Springs = append(m.Springs, Spring{A: Anchor{Plate, a}, B: Anchor{OnWeight(0), b}})
	m.Springs[1].Law = springs.Spring{Rate: 500, FreeLength: 0.95 * m.SpringLength(1, 0)}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	for dir, want := range map[Direction]string{Rising: "spring 2 goes slack", Falling: "spring 2 is taken up"} {
		found := ""
		for _, e := range c.Events(dir) {
			if e.Kind == Knee {
				found = e.Cause
				within(t, "length", m.SpringLength(1, e.Phi), m.Springs[1].Law.FreeLength, 1e-14)
			}
		}
		if found != want {
			t.Errorf("%v: %q, want %q", dir, found, want)
		}
	}
}

// Springs over their dead centre hold the weights out by themselves.
func TestSpringsThatPushOut(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.010})
	m.Springs[0].A.Point = r2.Vec{X: 0.05, Y: -0.022}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	up, down := c.Events(Rising), c.Events(Falling)
	if want := "the springs themselves push the weights out"; up[0].Cause != want {
		t.Errorf("%q, want %q", up[0].Cause, want)
	}
	if want := "the springs themselves hold the weights out"; down[len(down)-1].Cause != want {
		t.Errorf("%q, want %q", down[len(down)-1].Cause, want)
	}
}

func TestEventKindString(t *testing.T) {
	if got := EventKind(99).String(); got != "event kind 99" {
		t.Error(got)
	}
	if got := Falling.String() + Rising.String(); got != "fallingrising" {
		t.Error(got)
	}
}

// A weight-to-weight spring between mirrored weights pulls twice the moment of
// one from each weight to a post in the middle.
func TestWeightToWeightSpring(t *testing.T) {
	law := springs.Spring{Rate: 1000, FreeLength: 0.03}
	half := springs.Spring{Rate: 2000, FreeLength: 0.015} // half the coils
	w := Weight{Mass: 0.04, Pivot: r2.Vec{X: 0.02}, Centre: r2.Vec{X: 0.02, Y: -0.015}}
	v := w
	v.Pivot, v.Centre = r2.Scale(-1, w.Pivot), r2.Scale(-1, w.Centre)
	hook := r2.Vec{X: 0.016, Y: -0.012}
	pair := &Mechanism{
		Weights: []Weight{w, v}, Linkage: Ratio{K: 1}, Stop: 0.3,
		Springs: []Spring{{law, Anchor{OnWeight(0), hook}, Anchor{OnWeight(1), r2.Scale(-1, hook)}}},
	}
	centre := &Mechanism{
		Weights: []Weight{w, v}, Linkage: Ratio{K: 1}, Stop: 0.3,
		Springs: []Spring{
			{half, Anchor{Plate, r2.Vec{}}, Anchor{OnWeight(0), hook}},
			{half, Anchor{Plate, r2.Vec{}}, Anchor{OnWeight(1), r2.Scale(-1, hook)}},
		},
	}
	for _, phi := range []float64{0, 0.1, 0.3} {
		a := pair.SpringMoment(0, phi)
		within(t, "moment", a, centre.SpringMoment(0, phi)+centre.SpringMoment(1, phi), 1e-15)
	}
}
