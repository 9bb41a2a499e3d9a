package flyweights

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// Every field out of range is refused with ErrRange and named in the message,
// and the curve refuses it too.
func TestCheckNamesTheField(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, spoil := range map[string]func(*Mechanism){
		"number of weights":   func(m *Mechanism) { m.Weights = nil },
		"weight 1 mass":       func(m *Mechanism) { m.Weights[0].Mass = 0 },
		"weight 1 inertia":    func(m *Mechanism) { m.Weights[0].Inertia = -1 },
		"weight 1 pivot":      func(m *Mechanism) { m.Weights[0].Pivot.X = nan },
		"weight 1 centre":     func(m *Mechanism) { m.Weights[0].Centre.Y = inf },
		"weight 1 slide":      func(m *Mechanism) { m.Weights[0].Slide.Y = inf },
		"spring 1":            func(m *Mechanism) { m.Springs[0].Law.Rate = -1 },
		"spring 1 anchor A":   func(m *Mechanism) { m.Springs[0].A.Body = Body(-1) },
		"spring 1 anchor B":   func(m *Mechanism) { m.Springs[0].B.Body = OnWeight(1) },
		"spring 1 anchor B i": func(m *Mechanism) { m.Springs[0].B.Point.X = nan },
		"no linkage":          func(m *Mechanism) { m.Linkage = nil },
		"stop":                func(m *Mechanism) { m.Stop = 0 },
		"stop above":          func(m *Mechanism) { m.Stop = 4 },
		"drag":                func(m *Mechanism) { m.Drag = -1 },
		"friction moment":     func(m *Mechanism) { m.Friction.Moment = nan },
		"friction proportion": func(m *Mechanism) { m.Friction.Proportion = 1 },
		"moment of the":       func(m *Mechanism) { m.Weights[0].Clockwise = true },
		"linkage ratio":       func(m *Mechanism) { m.Linkage = Ratio{K: -1} },
	} {
		m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
		spoil(m)
		_, err := m.Curve(nil)
		for what, err := range map[string]error{"Check": m.Check(), "Curve": err} {
			if !errors.Is(err, errRange) {
				t.Errorf("%s, %s: error %v", name, what, err)
			} else if word := strings.TrimSuffix(strings.TrimSuffix(name, " i"), " above"); what == "Curve" && !strings.Contains(err.Error(), word) {
				t.Errorf("%s, %s: error does not name it: %v", name, what, err)
			}
		}
	}
	var zero Mechanism
	if err := zero.Check(); !errors.Is(err, errRange) {
		t.Errorf("zero mechanism: %v", err)
	}
}

// A linkage that states pivot or sense otherwise than the weights do is refused by
// Check and by Curve: with the weight's sense turned round, a slot of 8 degrees
// of travel drew a curve of 24.
func TestLinkageFitsTheWeights(t *testing.T) {
	pivot := r2.Vec{X: 0.025}
	slot := PinInSlot{Pivot: pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}}
	bar := linkages.FourBar{Pivot: pivot, Joint: r2.Vec{X: 0.002, Y: -0.014}, CamJoint: r2.Vec{X: -0.006, Y: -0.009}}
	flank := flank.Follower{Pivot: pivot, Roller: slot.Pin, Slope: 35}
	rolls := linkages.RollingCams{Centres: 0.025, Radius: 0.0155}
	crank := linkages.SliderCrank{Rest: 0.018, Slide: 0.04, Crank: 0.011, Rod: 0.016}
	fair := func(l Linkage, camClockwise bool) *Mechanism {
		m := simple(springs.Spring{Rate: 1500, FreeLength: 0.03})
		m.Weights[0].Pivot, m.Weights[0].Centre = pivot, r2.Vec{X: 0.008, Y: -0.016}
		m.Springs[0].B.Point, m.Springs[0].A.Point = r2.Vec{Y: -0.018}, r2.Vec{X: -0.032, Y: -0.003}
		m.Linkage, m.CamClockwise, m.Stop = l, camClockwise, 0.1
		return m
	}
	away := r2.Vec{X: 0.0251}
	for name, c := range map[string]struct {
		m     *Mechanism
		spoil func(m *Mechanism)
		word  string // none where the mechanism is fair
	}{
		"slot": {fair(slot, slot.TurnsClockwise()), nil, ""}, "four-bar": {fair(bar, bar.TurnsClockwise()), nil, ""},
		"follower": {fair(flank, flank.TurnsClockwise()), nil, ""}, "rolling cams": {fair(rolls, true), nil, ""},
		"slot's pivot":    {fair(slot, slot.TurnsClockwise()), func(m *Mechanism) { m.Weights[0].Pivot = away }, "slot linkage pivot"},
		"slot's weight":   {fair(slot, slot.TurnsClockwise()), func(m *Mechanism) { m.Weights[0].Clockwise = true }, "weight clockwise"},
		"slot's cam":      {fair(slot, !slot.TurnsClockwise()), nil, "cam clockwise"},
		"bar's pivot":     {fair(bar, bar.TurnsClockwise()), func(m *Mechanism) { m.Weights[0].Pivot = away }, "four-bar pivot"},
		"flank's weight":  {fair(flank, flank.TurnsClockwise()), func(m *Mechanism) { m.Weights[0].Clockwise = true }, "weight clockwise"},
		"rolling centres": {fair(rolls, true), func(m *Mechanism) { m.Weights[0].Pivot = away }, "rolling cams centre distance"},
		"rolling cam":     {fair(rolls, false), nil, "cam clockwise"},
		"crank's slider":  {fair(crank, false), nil, "slider-crank slide"},
		"second weight": {fair(slot, slot.TurnsClockwise()), func(m *Mechanism) {
			m.Weights = append([]Weight{{Mass: 0.01, Pivot: away, Centre: r2.Vec{X: 0.008, Y: -0.016}}}, m.Weights...)
			m.Springs[0].B.Body = OnWeight(1)
		}, ""},
	} {
		if c.spoil != nil {
			c.spoil(c.m)
		}
		_, err := c.m.Curve(nil)
		for what, err := range map[string]error{"Check": c.m.Check(), "Curve": err} {
			switch {
			case c.word == "" && err != nil:
				t.Errorf("%s, %s: %v", name, what, err)
			case c.word != "" && (!errors.Is(err, errRange) || !strings.Contains(err.Error(), c.word)):
				t.Errorf("%s, %s: %v, want %q", name, what, err, c.word)
			}
		}
	}
}

// Linkages refuse what cannot turn a cam, and a stop beyond their reach.
func TestLinkageChecks(t *testing.T) {
	pivot, pin := r2.Vec{X: 0.025}, r2.Vec{X: -0.004, Y: -0.008}
	for name, l := range map[string]Linkage{
		"zero ratio":            Ratio{},
		"zero slot":             PinInSlot{},
		"pin on its pivot":      PinInSlot{Pivot: pivot, Pin: pivot},
		"slot beyond its pin":   PinInSlot{Pivot: pivot, Pin: pin, Offset: 0.009},
		"pin moving radially":   PinInSlot{Pivot: r2.Vec{X: 0.01, Y: 0.01}, Pin: r2.Vec{Y: 0.01}},
		"slot not finite":       PinInSlot{Pivot: r2.Vec{X: math.NaN()}, Pin: pin},
		"zero four-bar":         linkages.FourBar{},
		"four-bar without link": linkages.FourBar{Pivot: pivot, Joint: pin, CamJoint: pin},
		"four-bar stretched":    linkages.FourBar{Pivot: pivot, Joint: r2.Vec{X: 0.01}, CamJoint: r2.Vec{X: 0.005}},
		"four-bar not finite":   linkages.FourBar{Pivot: pivot, Joint: pin, CamJoint: r2.Vec{X: math.Inf(1)}},
		"zero radial":           linkages.SliderCrank{},
		"short rod":             linkages.SliderCrank{Rest: 0.02, Slide: 0.001, Crank: 0.008, Rod: 0.01},
		"zero rolling":          linkages.RollingCams{},
		"rolling too large":     linkages.RollingCams{Centres: 0.02, Radius: 0.03},
		"rolling not finite":    linkages.RollingCams{Centres: 0.02, Radius: 0.01, Growth: math.NaN()},
		"zero follower":         flank.Follower{},
		"follower not finite":   flank.Follower{Pivot: pivot, Roller: pin, Slope: math.Inf(1)},
		"bend not finite":       flank.Follower{Pivot: pivot, Roller: pin, Bend: math.NaN()},
		"short reach":           linkages.FourBar{Pivot: pivot, Joint: r2.Vec{X: 0.002, Y: -0.02}, CamJoint: r2.Vec{X: 0.0083, Y: -0.0002}},
	} {
		m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
		m.Linkage = l
		m.Stop = 1.2
		if err := m.Check(); !errors.Is(err, errRange) {
			t.Errorf("%s: error %v", name, err)
		}
		for _, phi := range []float64{0, 0.1, 1.2} {
			if theta, d1, d2 := l.Cam(phi); !valid.Finite(theta, d1, d2) && !strings.Contains(name, "finite") {
				t.Errorf("%s: not finite at %g: %g %g %g", name, phi, theta, d1, d2)
			}
		}
	}
}

func TestCamSense(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
	l := PinInSlot{Pivot: r2.Vec{X: 0.02}, Pin: r2.Vec{X: -0.004, Y: -0.008}}
	m.Linkage = l
	if l.TurnsClockwise() {
		t.Fatal("a weight swinging counter-clockwise about a pivot on the right pulls the near side of the cam downwards")
	}
	if err := m.Check(); err != nil {
		t.Error(err)
	}
	m.CamClockwise = true
	if err := m.Check(); !errors.Is(err, errRange) {
		t.Errorf("cam against its linkage: %v", err)
	}
}

func TestTabulatedRefuses(t *testing.T) {
	for name, c := range map[string][2][]float64{
		"too few":         {{0, 1}, {0, 1}},
		"unequal":         {{0, 1, 2}, {0, 1}},
		"not from rest":   {{0.1, 1, 2}, {0, 1, 2}},
		"swing repeats":   {{0, 1, 1}, {0, 1, 2}},
		"turn falls":      {{0, 1, 2}, {0, 1, 0.5}},
		"not a number":    {{0, 1, math.NaN()}, {0, 1, 2}},
		"infinite travel": {{0, 1, 2}, {0, 1, math.Inf(1)}},
	} {
		if _, err := linkages.NewTabulated(c[0], c[1]); !errors.Is(err, errRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A table of a straight line is the ratio, and its ends are held.
func TestTabulatedLine(t *testing.T) {
	l, err := linkages.NewTabulated([]float64{0, 0.1, 0.25, 0.4}, []float64{0, 0.2, 0.5, 0.8})
	if err != nil {
		t.Fatal(err)
	}
	for _, phi := range []float64{0, 0.03, 0.1, 0.33, 0.4} {
		theta, d1, d2 := l.Cam(phi)
		within(t, "line", theta, 2*phi, 1e-15)
		within(t, "slope", d1, 2, 1e-12)
		within(t, "bend", d2, 0, 1e-10)
	}
	theta, _, _ := l.Cam(0.5)
	within(t, "held", theta, 0.8, 1e-15)
}

// A round cheek rolls at the ratio of the radii, and a slowly growing one comes
// to it as the growth vanishes.
func TestRollingRatio(t *testing.T) {
	round := linkages.RollingCams{Centres: 0.025, Radius: 0.015}
	nearly := round
	nearly.Growth = 1e-12
	theta, d1, _ := round.Cam(0.3)
	within(t, "round", theta, 0.3*15/10, 1e-15)
	within(t, "round", d1, 1.5, 1e-15)
	theta, _, _ = nearly.Cam(0.3)
	within(t, "nearly round", theta, 0.45, 1e-10)
}

// A slot offset by e is the path psi = asin(e/rho): a follower with the path's
// slope and curvature at rest osculates it to third order.
func TestFollowerOsculatesSlot(t *testing.T) {
	slot := PinInSlot{Pivot: r2.Vec{X: 0.025}, Pin: r2.Vec{X: -0.004, Y: -0.008}, Offset: 0.003}
	rho, e := r2.Norm(slot.Pin), slot.Offset
	k := math.Sqrt(rho*rho - e*e)
	f := flank.Follower{
		Pivot: slot.Pivot, Roller: slot.Pin,
		Slope: e / (rho * k), // theta = angle - psi with psi = -asin(e/rho)
		Bend:  -e * (2*rho*rho - e*e) / (rho * rho * k * k * k) / 2,
	}
	_, a1, a2 := slot.Cam(0)
	_, b1, b2 := f.Cam(0)
	within(t, "d1", b1, a1, 1e-12)
	within(t, "d2", b2, a2, 1e-10)
}

// Parts the mechanism does not have weigh and pull nothing.
func TestAbsentParts(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
	for _, i := range []int{-1, 1} {
		within(t, "absent", m.WeightMoment(i, 0.1)+m.SpringMoment(i, 0.1)+m.SpringLength(i, 0.1), 0, 0)
	}
	m.Springs[0].B = m.Springs[0].A
	within(t, "ends that meet", m.SpringMoment(0, 0.1), 0, 0)
}

func TestSlot(t *testing.T) {
	s := Slot{Length: 0.0125, Pin: 0.006, Radius: 0.017}
	travel, err := s.Travel()
	if err != nil {
		t.Fatal(err)
	}
	within(t, "travel", travel, 6.5/17, 1e-15)
	for _, want := range []float64{0, 0.1, travel, 0.5} {
		closing, err := s.Closing(want)
		if err != nil {
			t.Fatal(err)
		}
		closed := s
		closed.Length -= closing
		got, err := closed.Travel()
		if err != nil {
			t.Fatal(err)
		}
		within(t, "round trip", got, want, 1e-14)
	}
	for _, bad := range []Slot{{}, {Length: 0.005, Pin: 0.006, Radius: 0.017}, {Length: 0.01, Pin: 0.006}, {Length: math.Inf(1), Pin: 0.006, Radius: 0.017}, {Length: 0.01, Radius: 1}} {
		if _, err := bad.Travel(); !errors.Is(err, errRange) {
			t.Errorf("%+v: %v", bad, err)
		}
		if _, err := bad.Closing(0.1); !errors.Is(err, errRange) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if _, err := s.Closing(math.NaN()); !errors.Is(err, errRange) {
		t.Errorf("travel NaN: %v", err)
	}
}

// The lumped mechanism is the full one with the spring moment made linear: for
// the same centre and a spring whose moment is measured at both ends they agree
// at the ends exactly, whatever happens between.
func TestLumpedAgreesAtTheEnds(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1})
	full, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	l := Lumped{
		WeightMass: 0.04, PivotRadius: 0.02, CentreDistance: 0.015, CentreAngle: math.Pi / 2,
		SpringMomentRest: m.SpringMoment(0, 0), SpringMomentStop: m.SpringMoment(0, m.Stop),
		Travel: 0.3, Ratio: 1.5,
	}
	lumped, err := l.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "start", lumped.Start(Rising), full.Start(Rising), 1e-9)
	within(t, "all in", lumped.AllIn(Rising), full.AllIn(Rising), 1e-9)
	within(t, "travel", lumped.Travel(), full.Travel(), 1e-15)
	for name, bad := range map[string]func(*Lumped){
		"mass":   func(l *Lumped) { l.WeightMass = 0 },
		"moment": func(l *Lumped) { l.SpringMomentRest = -1 },
		"travel": func(l *Lumped) { l.Travel = math.NaN() },
		"angle":  func(l *Lumped) { l.CentreAngle = 0.1 },
	} {
		b := l
		bad(&b)
		if _, err := b.Curve(nil); !errors.Is(err, errRange) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Trace(nil, 0, l.moments); !errors.Is(err, errRange) {
		t.Errorf("no stop: %v", err)
	}
}
