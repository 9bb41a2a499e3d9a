package flyweights

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs"
)

// Spring is an extension spring at its place: a law of tension and the two
// points it is hooked to. Any two bodies may hold its ends: plate and weight,
// weight and cam, plate and cam, or two weights.
type Spring struct {
	Law  springs.Spring
	A, B Anchor
}

// stretch is the length of a spring (m) with its derivatives by phi.
type stretch struct{ length, d1, d2 float64 }

// stretch returns the length of spring i at a pose.
func (m *Mechanism) stretch(i int, p *pose) stretch {
	s := &m.Springs[i]
	a, a1, a2 := m.place(&s.A, p)
	b, b1, b2 := m.place(&s.B, p)
	v, v1, v2 := r2.Sub(b, a), r2.Sub(b1, a1), r2.Sub(b2, a2)
	l := math.Sqrt(v.X*v.X + v.Y*v.Y)
	d1 := r2.Dot(v, v1) / l
	return stretch{l, d1, (r2.Dot(v1, v1) + r2.Dot(v, v2) - d1*d1) / l}
}

// moment returns T dL/dphi of a spring at a stretch and its derivative by phi,
// for a spring whose coils are pulled.
func (s *Spring) moment(x stretch) (moment, slope float64) {
	t := s.Law.InitialTension + s.Law.Rate*(x.length-s.Law.TakeUp())
	return t * x.d1, s.Law.Rate*x.d1*x.d1 + t*x.d2
}

// SpringLength returns the length between the hooks of spring i in m at swing
// phi in rad, 0 for a spring the mechanism does not have, or where it is no
// number.
func (m *Mechanism) SpringLength(i int, phi float64) float64 {
	if m == nil || i < 0 || i >= len(m.Springs) {
		return 0
	}
	p := m.pose(phi)
	return number(m.stretch(i, &p).length)
}

// SpringMoment returns the moment T dL/dphi in N m of spring i on the swing at
// phi in rad, positive where it pulls the weights back. It is 0 while the spring
// is slack, where its ends meet, and for a spring the mechanism does not have.
func (m *Mechanism) SpringMoment(i int, phi float64) float64 {
	if m == nil || i < 0 || i >= len(m.Springs) {
		return 0
	}
	p := m.pose(phi)
	x := m.stretch(i, &p)
	if !(x.length > 0) {
		return 0
	}
	return number(m.Springs[i].Law.Tension(x.length) * x.d1)
}

// check refuses what is not a spring; i is its index, n the number of weights.
func (s *Spring) check(i, n int) error {
	if !ordinary(&s.Law) { // spares the ordinary spring the cost of the full check
		if err := s.Law.Check(); err != nil {
			return fmt.Errorf("%w: spring %d: %w", errRange, i+1, err)
		}
	}
	if err := s.A.check(i, n, "A"); err != nil {
		return err
	}
	return s.B.check(i, n, "B")
}

// ordinary reports whether a spring's law lies far inside every limit.
func ordinary(s *springs.Spring) bool {
	return s.Rate > 0 && s.Rate < 1e6 && s.FreeLength > 0 && s.FreeLength < 1 &&
		s.InitialTension >= 0 && s.InitialTension < 1e4 && s.Slack >= 0 && s.Slack < 1
}

// check refuses an anchor that is not a point of one of the n weights, the plate
// or the cam; spring and end say whose it is.
func (a *Anchor) check(spring, n int, end string) error {
	switch {
	case !(math.Abs(a.Point.X) <= plane.MaxLength && math.Abs(a.Point.Y) <= plane.MaxLength):
		return plane.CheckPoint(fmt.Sprintf("spring %d anchor %s", spring+1, end), a.Point)
	case a.Body < Plate || a.Body.weight() >= n:
		return plane.Refuse(fmt.Sprintf("spring %d anchor %s", spring+1, end), float64(a.Body.weight()+1), "as weight",
			fmt.Sprintf("plate, cam or weight 1 to %d", n))
	}
	return nil
}
