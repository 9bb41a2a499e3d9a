package flyweights

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/num/hyperdual"
	"gonum.org/v1/gonum/spatial/r2"
)

// The linkages in dual numbers give the same angle and derivatives as in plain
// ones: two ways of differentiating one geometry.
func TestVaryAgreesWithCam(t *testing.T) {
	for name, link := range linkages {
		rnd := rand.New(rand.NewPCG(11, 12))
		for range 40 {
			m := randomMechanism(t, rnd, link)
			phi := m.Stop * rnd.Float64()
			theta, d1, d2 := m.Linkage.Cam(phi)
			x := newVariation(m, 1, Rising)
			got := x.cam(x.with(-1), along12(phi))
			within(t, name+" theta", got.Real, theta, 1e-11)
			within(t, name+" d1", got.E1mag, d1, 1e-10*(1+d1*d1))
			within(t, name+" d2", got.E1E2mag, d2, 1e-8*(1+math.Abs(d2)*(1+d1*d1)))
		}
	}
}

// set writes value into number i of a copy of the mechanism, through the fields.
func (m *Mechanism) set(i int, value float64) *Mechanism {
	c := *m
	c.Weights = append([]Weight(nil), m.Weights...)
	c.Springs = append([]Spring(nil), m.Springs...)
	var at []*float64
	for k := range c.Weights {
		w := &c.Weights[k]
		at = append(at, &w.Mass, &w.Pivot.X, &w.Pivot.Y, &w.Centre.X, &w.Centre.Y, &w.Slide.X, &w.Slide.Y)
	}
	for k := range c.Springs {
		s := &c.Springs[k]
		at = append(at, &s.Law.Rate, &s.Law.FreeLength, &s.Law.InitialTension, &s.Law.Slack,
			&s.A.Point.X, &s.A.Point.Y, &s.B.Point.X, &s.B.Point.Y)
	}
	put := func(l Linkage, fields ...*float64) Linkage { at = append(at, fields...); return l }
	link := func() Linkage { return c.Linkage }
	switch l := c.Linkage.(type) {
	case Ratio:
		put(l, &l.K)
		link = func() Linkage { return l }
	case PinInSlot:
		put(l, &l.Pivot.X, &l.Pivot.Y, &l.Pin.X, &l.Pin.Y, &l.Offset)
		link = func() Linkage { return l }
	case FourBar:
		put(l, &l.Pivot.X, &l.Pivot.Y, &l.Joint.X, &l.Joint.Y, &l.CamJoint.X, &l.CamJoint.Y)
		link = func() Linkage { return l }
	case Radial:
		put(l, &l.Rest, &l.Reach, &l.Crank, &l.Rod)
		link = func() Linkage { return l }
	case Rolling:
		put(l, &l.Centres, &l.Radius, &l.Growth)
		link = func() Linkage { return l }
	case Follower:
		put(l, &l.Pivot.X, &l.Pivot.Y, &l.Roller.X, &l.Roller.Y, &l.Slope, &l.Bend)
		link = func() Linkage { return l }
	}
	at = append(at, &c.Drag, &c.Friction.Moment, &c.Friction.Proportion, &c.Stop)
	*at[i] = value
	c.Linkage = link()
	return &c
}

// differences returns the central difference of the advance by number i, and how
// far it is unsure, judged from half the step.
func (m *Mechanism) differences(t *testing.T, i int, value, scale, omega float64, dir Direction) (d, unsure float64) {
	read := func(v float64) float64 {
		changed := m.set(i, v)
		c, err := changed.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		s := c.sweep(dir)
		level := s.level(omega)
		p, at, held, moving := s.on(s.find(level), level)
		if !moving {
			theta, _, _ := changed.Linkage.Cam(held.phi)
			return theta
		}
		phi := p.phi + p.h*at
		if p.h != 0 { // the table's own error would show in a difference
			phi = newVariation(changed, omega*omega, dir).polish(phi)
		}
		theta, _, _ := changed.Linkage.Cam(phi)
		return theta
	}
	central := func(h float64) float64 { return (read(value+h) - read(value-h)) / (2 * h) }
	h := 1e-5 * scale
	wide, narrow := central(h), central(h/2)
	return narrow, math.Abs(wide-narrow) + 1e-14/h
}

// Every sensitivity agrees with differences of whole curves, for each linkage,
// with friction, drag and slack, away from nice points, both directions.
func TestSensitivitiesAgreeWithDifferences(t *testing.T) {
	for name, link := range linkages {
		rnd := rand.New(rand.NewPCG(13, 14))
		for tried := 0; tried < 6; {
			m := randomMechanism(t, rnd, link)
			m.Friction = Friction{Moment: 0.005 * rnd.Float64(), Proportion: 0.05}
			m.Springs[1].Law.Slack = 0.002 * rnd.Float64()
			c, err := m.Curve(nil)
			if err != nil {
				t.Fatal(err)
			}
			dir := Direction(tried % 2)
			omega := c.Start(dir) + (0.1+0.8*rnd.Float64())*(c.AllIn(dir)-c.Start(dir))
			if c.Slope(omega, dir) == 0 || c.Slope(omega, dir) > 20*c.Travel()/c.AllIn(dir) {
				continue // a hold has its own test, and next to a snap differences jump
			}
			got, err := m.Sensitivities(omega, dir)
			if err != nil {
				t.Fatal(name, err)
			}
			tried++
			for i, s := range got {
				scale := map[string]float64{"m": 0.02, "m/rad": 0.005, "rad/m": 50, "rad/m^2": 3000, "N m": 0.1, "1": 0.1}[s.Unit]
				scale = math.Max(scale, math.Abs(s.Value))
				if strings.HasSuffix(s.Name, "tension") || s.Value == 0 && !strings.HasSuffix(s.Name, "x") && !strings.HasSuffix(s.Name, "y") {
					scale = math.Max(scale, 1e-3)
				}
				if strings.HasPrefix(s.Name, "weight") && strings.Contains(s.Name, "slide") && s.Value == 0 {
					within(t, s.Name, s.PerUnit, 0, 0)
					continue // a swinging weight does not slide
				}
				if s.Value == 0 && (strings.HasSuffix(s.Name, "slack") || s.Name == "linkage offset") {
					continue // cannot be made negative for a central difference
				}
				want, unsure := m.differences(t, i, s.Value, scale, omega, dir)
				within(t, name+" "+s.Name, s.PerUnit, want, 10*unsure+1e-6*math.Abs(want))
				within(t, name+" 1 %", s.Percent, 0.01*s.Value*s.PerUnit, 0)
			}
		}
	}
}

// A mass and all springs' forces scaled alike change nothing: the sensitivities
// by mass and by rate and initial tension, each times its value, add up to 0.
func TestSensitivitiesSimilarity(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	omega := (c.Start(Rising) + c.AllIn(Rising)) / 2
	got, err := m.Sensitivities(omega, Rising)
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
	within(t, "similarity", sum, 0, 1e-13*size)
	if !(size > 0) {
		t.Error("nothing answers")
	}
}

// At rest nothing answers; at the stop only the stop and the linkage; in a hold
// the swing follows the take-up length: L(phi) = free length + slack.
func TestSensitivitiesAtEndsAndHold(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	m.Springs = append(m.Springs, Spring{
		Law: springs.Spring{Rate: 3000, FreeLength: 0.029, InitialTension: 2, Slack: 0.0022},
		A:   m.Springs[0].A, B: m.Springs[0].B,
	})
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	find := func(omega float64) map[string]float64 {
		got, err := m.Sensitivities(omega, Rising)
		if err != nil {
			t.Fatal(err)
		}
		by := map[string]float64{}
		for _, s := range got {
			by[s.Name] = s.PerUnit
		}
		return by
	}
	for name, d := range find(c.Start(Rising) / 2) {
		within(t, "at rest: "+name, d, 0, 0)
	}
	for name, d := range find(c.AllIn(Rising) * 2) {
		want := map[string]float64{"stop": 1.5, "linkage ratio": m.Stop}[name]
		within(t, "at the stop: "+name, d, want, 1e-15)
	}
	h := c.Events(Rising)[1]
	by := find((h.Omega + h.ToOmega) / 2)
	p := m.pose(h.Phi)
	within(t, "in the hold: slack", by["spring 2 slack"], 1.5/m.stretch(1, &p).d1, 1e-9)
	within(t, "in the hold: mass", by["weight 1 mass"], 0, 0)

	for _, omega := range []float64{math.NaN(), math.Inf(1)} {
		if _, err := m.Sensitivities(omega, Rising); !errors.Is(err, ErrRange) {
			t.Errorf("speed %g: %v", omega, err)
		}
	}
}

// The angle of dual points is the plain one.
func TestPointAngle(t *testing.T) {
	a, b := r2.Vec{X: 0.3, Y: 0.1}, r2.Vec{X: -0.2, Y: 0.4}
	p := point2{number(a.X), number(a.Y)}
	q := point2{number(b.X), number(b.Y)}
	within(t, "angle", p.angle(q).Real, math.Atan2(r2.Cross(a, b), r2.Dot(a, b)), 1e-15)
	mixed := hyper{E1mag: 2, E2mag: 3, E1E2mag: 5}
	for _, f := range []func(hyper) hyper{hyperdual.Sin, hyperdual.Asin, hyperdual.Atan} {
		if got := straight(f, mixed); got != mixed {
			t.Errorf("at 0 the mixed derivative is %v, want %v", got, mixed)
		}
	}
	if got := hyperdual.Sub(p.norm(), number(r2.Norm(a))).Real; !(math.Abs(got) <= 1e-16) {
		t.Errorf("norm off by %g", got)
	}
}
