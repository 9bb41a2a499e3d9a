package flyweights

import (
	"fmt"
	"reflect"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Mechanism is the centrifugal advance. All weights share the swing phi. The
// zero value is refused by [Mechanism.Check].
type Mechanism struct {
	Weights []Weight
	Springs []Spring
	Linkage Linkage
	// CamClockwise is the sense in which the cam turns ahead of the plate, which
	// is the direction of rotation. It matters to springs on the cam and in
	// motion.
	CamClockwise bool
	Stop         float64 // rad, > 0: swing at which the pin meets the end of its slot
	Drag         float64 // N m, >= 0: points, rubbing block and rotor hold the cam back
	Friction     Friction
}

// Check refuses a mechanism that has no answer: it names the first field out of
// range, a linkage that fails its own check, that no weight can drive (another
// pivot or sense) or that cannot reach the stop, springs whose ends meet, and
// positions where the weights pull inwards.
func (m *Mechanism) Check() error {
	if err := m.checkFields(); err != nil {
		return err
	}
	lo, hi := m.Linkage.Travel()
	if !(lo <= 0) || !(m.Stop <= hi) {
		return plane.Refuse("stop", m.Stop, "rad", fmt.Sprintf("within the linkage's travel, %.6g to %.6g rad", lo, hi))
	}
	var c Curve
	return m.trace(&c)
}

// checkFields refuses values that are out of range by themselves.
func (m *Mechanism) checkFields() error {
	if m == nil {
		return fmt.Errorf("%w: no mechanism, valid is one with weights and a linkage", errRange)
	}
	if len(m.Weights) == 0 {
		return plane.Refuse("number of weights", 0, "", "1 or more")
	}
	for i := range m.Weights {
		if err := m.Weights[i].check(i); err != nil {
			return err
		}
	}
	for i := range m.Springs {
		if err := m.Springs[i].check(i, len(m.Weights)); err != nil {
			return err
		}
	}
	switch {
	case m.Linkage == nil:
		return fmt.Errorf("%w: no linkage, valid is any that ties the cam to the weights", errRange)
	case !(m.Stop > 0 && m.Stop <= plane.FullSwing):
		return plane.Refuse("stop", m.Stop, "rad", "more than 0 and less than half a turn")
	case !(m.Drag >= 0 && m.Drag <= maxMoment):
		return plane.Refuse("drag", m.Drag, "N m", "0 to 1e9 N m")
	case !(m.Friction.Moment >= 0 && m.Friction.Moment <= maxMoment):
		return plane.Refuse("friction moment", m.Friction.Moment, "N m", "0 to 1e9 N m")
	case !(m.Friction.Proportion >= 0 && m.Friction.Proportion < 1):
		return plane.Refuse("friction proportion", m.Friction.Proportion, "", "0 to less than 1")
	}
	return m.checkLinkage()
}

// isNil reports whether a linkage is a nil pointer.
func isNil(l Linkage) bool {
	v := reflect.ValueOf(l)
	return v.Kind() == reflect.Pointer && v.IsNil()
}

// checkLinkage asks the linkage itself, and whether any of the weights can drive
// it. A linkage that has no such methods is taken as it is.
func (m *Mechanism) checkLinkage() error {
	if isNil(m.Linkage) {
		return fmt.Errorf("%w: linkage is a nil %T, valid is any that ties the cam to the weights", errRange, m.Linkage)
	}
	if l, ok := m.Linkage.(interface{ Check() error }); ok {
		if err := l.Check(); err != nil {
			return err
		}
	}
	l, ok := m.Linkage.(interface {
		Fits(pivot, slide r2.Vec, clockwise, camClockwise bool) error
	})
	if !ok {
		return nil
	}
	var first error
	for i := range m.Weights {
		w := &m.Weights[i]
		err := l.Fits(w.Pivot, w.Slide, w.Clockwise, m.CamClockwise)
		if err == nil {
			return nil
		}
		if first == nil {
			first = err
		}
	}
	return first
}

// SpeedSquared returns the omega^2 in rad^2/s^2 at which the mechanism balances
// without friction at swing phi in rad,
//
//	omega^2 = [sum T dL/dphi + Drag dtheta/dphi] / sum 1/2 m dR^2/dphi
//
// It is negative where the springs themselves pull the weights out. phi must lie
// between 0 and Stop; where the weights together pull inwards, no speed holds
// the mechanism and the error says so.
func (m *Mechanism) SpeedSquared(phi float64) (float64, error) {
	if m == nil {
		return 0, fmt.Errorf("%w: no mechanism, valid is one with weights and a linkage", errRange)
	}
	if !(phi >= 0 && phi <= m.Stop) {
		return 0, plane.Refuse("swing", phi, "rad", fmt.Sprintf("0 to the stop at %.6g rad", m.Stop))
	}
	p := m.pose(phi)
	var weights, springs float64
	for i := range m.Weights {
		w, _ := m.Weights[i].moment(&p)
		weights += w
	}
	for i := range m.Springs {
		x := m.stretch(i, &p)
		springs += m.Springs[i].Law.Tension(x.length) * x.d1
	}
	u := (springs + m.Drag*p.d1) / weights
	if !(weights > 0) {
		return 0, pullsInwards(weights, phi)
	}
	if !valid.Finite(u) {
		return 0, plane.Refuse("balance", u, "rad^2/s^2", "a finite number: Check says what is wrong")
	}
	return u, nil
}

func pullsInwards(weights, phi float64) error {
	return plane.Refuse(fmt.Sprintf("moment of the weights at a swing of %.6g rad", phi), weights, "kg m^2",
		"more than 0: the centre of mass must move outwards")
}
