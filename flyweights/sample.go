package flyweights

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Moments is the state of balance at one swing phi, with the derivatives by
// phi (names beginning with D).
type Moments struct {
	Weights, DWeights   float64 // kg m^2: moment per unit of omega^2, > 0
	Restore, DRestore   float64 // N m: springs, gravity and drag, positive inwards
	Friction, DFriction float64 // N m, >= 0: half-width of the friction band
	Theta, DTheta       float64 // output: rad of cam, or m of lift for a governor
}

// sample is one position of a curve's table: the squared speeds (rad^2/s^2) at
// which the mechanism begins to move outwards (rise) and inwards (fall), and
// the output, with derivatives by phi.
type sample struct {
	phi          float64
	rise, drise  float64
	fall, dfall  float64
	theta, slope float64
	// spring is the one, counted from 1, that is taken up here as the weights move
	// outwards, negative if it goes slack; 0 for none.
	spring int
}

// steps is the number of equal steps from rest to the stop. Each is halved at
// least once.
const steps = 16

// Table error allowed between samples, by cubic Hermite interpolation: as a
// share of the squared speed there, and of the whole output.
const (
	speedError  = 2e-9
	outputError = 2e-9
	maxHalvings = 10
)

// source gives the sample at a swing; mark is noted in it.
type source interface {
	sampleAt(c *Curve, phi float64, mark int) (sample, error)
}

// refine appends the samples after a up to and with b. The middle shows how far
// the cubic between a and b is off; its error falls by 16 when the step is
// halved (h^4/384 times the fourth derivative), so the halves are good enough if
// a sixteenth of it is.
func (c *Curve) refine(src source, a, b sample, halvings int) error {
	h := b.phi - a.phi
	if h == 0 {
		c.samples = append(c.samples, b)
		return nil
	}
	mid, err := src.sampleAt(c, a.phi+h/2, 0)
	if err != nil {
		return err
	}
	off := func(y0, y1, m0, m1, middle float64) float64 {
		return math.Abs((y0+y1)/2+(m0-m1)*h/8-middle) / 16
	}
	good := off(a.rise, b.rise, a.drise, b.drise, mid.rise) <= speedError*math.Abs(mid.rise) &&
		off(a.fall, b.fall, a.dfall, b.dfall, mid.fall) <= speedError*math.Abs(mid.fall) &&
		off(a.theta, b.theta, a.slope, b.slope, mid.theta) <= outputError*c.output
	if good || halvings == maxHalvings {
		c.samples = append(c.samples, mid, b)
		return nil
	}
	if err := c.refine(src, a, mid, halvings+1); err != nil {
		return err
	}
	return c.refine(src, mid, b, halvings+1)
}

// sampleOf divides the moments into speeds, or refuses what has none.
func sampleOf(phi float64, m Moments) (sample, error) {
	if !(m.Weights > 0) {
		return sample{}, pullsInwards(m.Weights, phi)
	}
	rise := (m.Restore + m.Friction) / m.Weights
	fall := (m.Restore - m.Friction) / m.Weights
	s := sample{
		phi:   phi,
		rise:  rise,
		drise: (m.DRestore + m.DFriction - rise*m.DWeights) / m.Weights,
		fall:  fall,
		dfall: (m.DRestore - m.DFriction - fall*m.DWeights) / m.Weights,
		theta: m.Theta, slope: m.DTheta,
	}
	if size := math.Abs(s.rise) + math.Abs(s.drise) + math.Abs(s.fall) + math.Abs(s.dfall) + math.Abs(s.theta) + math.Abs(s.slope); !valid.Finite(size) {
		return sample{}, plane.Refuse(fmt.Sprintf("balance at a swing of %.6g rad", phi), rise, "rad^2/s^2",
			"finite: no spring's ends may meet and the linkage must reach")
	}
	return s, nil
}

// Trace returns the curve of anything whose speed of equilibrium is a function of
// one coordinate phi from 0 to stop in rad, omega^2 = (Restore ± Friction)/Weights:
// the governors, say. moments returns the balance at phi.
// A nil dst is allocated; a curve handed in is overwritten and keeps its memory.
// Errors wrap [valid.ErrRange]: a stop that is not positive, a balance that is not
// finite or whose weights pull inwards, an output that does not rise from 0.
func Trace(dst *Curve, stop float64, moments func(phi float64) Moments) (*Curve, error) {
	if moments == nil {
		return nil, fmt.Errorf("%w: no moments, valid is a function of the swing", errRange)
	}
	if !(stop > 0) || !valid.Finite(stop) {
		return nil, plane.Refuse("stop", stop, "rad", "a finite number above 0")
	}
	if dst == nil {
		dst = new(Curve)
	}
	dst.begin(0)
	src := balance(moments)
	last, err := src.sampleAt(dst, 0, 0)
	if err != nil {
		return nil, err
	}
	dst.output = math.Abs(moments(stop).Theta)
	dst.samples = append(dst.samples, last)
	for i := range steps {
		next, err := src.sampleAt(dst, stop*float64(i+1)/steps, 0)
		if err != nil {
			return nil, err
		}
		if err := dst.refine(src, last, next, 0); err != nil {
			return nil, err
		}
		last = next
	}
	return dst, dst.finish()
}

// balance is a source of samples without springs.
type balance func(phi float64) Moments

func (b balance) sampleAt(_ *Curve, phi float64, _ int) (sample, error) {
	return sampleOf(phi, b(phi))
}

// Curve prepares the mechanism's advance curve: squared speed over swing in
// closed form at the ends of 32 steps or more and at every position where a
// spring is taken up, interpolated between with exact slopes to a relative error
// of 1e-8. A nil dst is allocated; a curve handed in is overwritten, and its
// memory is used again without allocating. A spring that is taken up and let go
// again within a sixteenth of the swing may be missed. Errors are those of
// [Mechanism.Check], except that the linkage's travel is tried only at the
// steps.
func (m *Mechanism) Curve(dst *Curve) (*Curve, error) {
	if err := m.checkFields(); err != nil {
		return nil, err
	}
	if dst == nil {
		dst = new(Curve)
	}
	if err := m.trace(dst); err != nil {
		return nil, err
	}
	return dst, nil
}

// trace fills the curve's samples, splitting a step where a spring goes from
// slack to pulled or back: there the slope of the speed breaks, and with
// initial tension the speed itself jumps.
func (m *Mechanism) trace(c *Curve) error {
	c.begin(len(m.Springs))
	p := m.pose(0)
	for i := range m.Springs {
		c.pulled[i] = m.pulledAtRest(i, m.stretch(i, &p))
	}
	last, err := m.sampleAt(c, 0, 0)
	if err != nil {
		return err
	}
	c.output, _, _ = m.Linkage.Cam(m.Stop)
	c.samples = append(c.samples, last)
	for k := range steps {
		phi := m.Stop * float64(k+1) / steps
		next, err := m.sampleAt(c, phi, 0)
		if err != nil {
			return err
		}
		c.taken = c.taken[:0]
		for i := range m.Springs {
			if (c.stretches[i].length > m.Springs[i].Law.TakeUp()) != c.pulled[i] {
				c.taken = append(c.taken, takeUp{m.takeUpBetween(i, last.phi, phi, c.pulled[i]), i})
			}
		}
		if len(c.taken) > 0 {
			if last, err = m.split(c, last, phi); err != nil {
				return err
			}
			if next, err = m.sampleAt(c, phi, 0); err != nil {
				return err
			}
		}
		if err := c.refine(m, last, next, 0); err != nil {
			return err
		}
		last = next
	}
	return c.finish()
}

// pulledAtRest tells a spring under tension, or just about to be, from a slack
// one. A length within rounding of the take-up length counts as just there.
func (m *Mechanism) pulledAtRest(i int, x stretch) bool {
	over := x.length - m.Springs[i].Law.TakeUp()
	if math.Abs(over) <= 1e-12*x.length {
		return x.d1 > 0 || x.d1 == 0 && x.d2 > 0
	}
	return over > 0
}

// takeUp is a spring that changes between slack and pulled at a swing.
type takeUp struct {
	phi    float64
	spring int
}

// takeUpBetween returns the swing at which a spring stops being as it was at lo:
// Newton's method on its length, inside a shrinking bracket, to the side of hi. The slope
// is at hand: three poses do where springs/root would take fifty.
func (m *Mechanism) takeUpBetween(i int, lo, hi float64, pulled bool) float64 {
	takeUp := m.Springs[i].Law.TakeUp()
	at := (lo + hi) / 2
	for range 64 {
		p := m.pose(at)
		x := m.stretch(i, &p)
		if (x.length > takeUp) == pulled {
			lo = at
		} else {
			hi = at
		}
		next := at - (x.length-takeUp)/x.d1
		if math.Abs(next-at) <= 1e-15*m.Stop || hi-lo <= 1e-16*m.Stop {
			return math.Max(lo, math.Min(next, hi))
		}
		if at = next; !(at > lo && at < hi) {
			at = lo + (hi-lo)/2
		}
	}
	return hi
}

// split appends, for each spring in c.taken, the samples up to its take-up and
// the two at it, before and after, and returns the last. Springs taken up
// together, as equal ones are, share the position.
func (m *Mechanism) split(c *Curve, last sample, end float64) (sample, error) {
	slices.SortFunc(c.taken, func(a, b takeUp) int {
		return cmp.Or(cmp.Compare(a.phi, b.phi), cmp.Compare(a.spring, b.spring))
	})
	for _, t := range c.taken {
		at := last.phi
		if t.phi-at > 1e-12*m.Stop {
			at = math.Min(t.phi, end)
		}
		mark := t.spring + 1
		if c.pulled[t.spring] {
			mark = -mark
		}
		before, err := m.sampleAt(c, at, mark)
		if err != nil {
			return sample{}, err
		}
		if err := c.refine(m, last, before, 0); err != nil {
			return sample{}, err
		}
		c.pulled[t.spring] = !c.pulled[t.spring]
		if last, err = m.sampleAt(c, at, mark); err != nil {
			return sample{}, err
		}
		c.samples = append(c.samples, last)
	}
	return last, nil
}

// sampleAt returns the balance at a swing with the springs pulled that the
// curve notes as pulled, and leaves the springs' stretches in the curve.
func (m *Mechanism) sampleAt(c *Curve, phi float64, mark int) (sample, error) {
	p := m.pose(phi)
	b := Moments{Theta: p.theta, DTheta: p.d1}
	for i := range m.Weights {
		w, dw := m.Weights[i].moment(&p)
		b.Weights += w
		b.DWeights += dw
	}
	for i := range m.Springs {
		c.stretches[i] = m.stretch(i, &p)
		if c.pulled[i] {
			s, ds := m.Springs[i].moment(c.stretches[i])
			b.Restore += s
			b.DRestore += ds
		}
	}
	m.resist(&b, &p)
	s, err := sampleOf(phi, b)
	s.spring = mark
	return s, err
}
