package flyweights

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Lumped is the mechanism for someone with a scale and a degree wheel only: the
// weights as one, and the springs as a moment measured at rest and at the stop.
// Its curve is read like that of a [Mechanism].
type Lumped struct {
	WeightMass     float64 // kg, > 0: all weights together
	PivotRadius    float64 // m, > 0: shaft axis to weight pivot
	CentreDistance float64 // m, > 0: pivot to the weight's centre of mass
	// CentreAngle is the angle in rad at the pivot, at rest, from the radius
	// outwards to the centre of mass; more than the swing and less than pi, for
	// the weight swings towards the radius.
	CentreAngle      float64
	SpringMomentRest float64 // N m on all weights together, >= 0
	SpringMomentStop float64 // N m, >= 0; linear in between
	Travel           float64 // rad of the cam, > 0
	Ratio            float64 // rad of cam per rad of swing, > 0
	Friction         float64 // N m, >= 0: half-width of the band at the pivots
}

// check refuses values out of range.
func (l Lumped) check() error {
	if err := valid.Check(errRange, valid.Above("weight mass", l.WeightMass, "kg", 0, maxMass),
		valid.Above("pivot radius", l.PivotRadius, "m", 0, plane.MaxLength), valid.Above("centre distance", l.CentreDistance, "m", 0, plane.MaxLength),
		valid.In("spring moment at rest", l.SpringMomentRest, "N m", 0, maxMoment), valid.In("spring moment at the stop", l.SpringMomentStop, "N m", 0, maxMoment),
		valid.Above("travel", l.Travel, "rad", 0, 100), valid.Above("ratio", l.Ratio, "rad/rad", 0, 100),
		valid.In("friction", l.Friction, "N m", 0, maxMoment)); err != nil {
		return err
	}
	if stop := l.stop(); !(l.CentreAngle > stop && l.CentreAngle < math.Pi) {
		return plane.Refuse("centre angle", l.CentreAngle, "rad", fmt.Sprintf("more than the swing of %.6g rad and less than half a turn", stop))
	}
	return nil
}

// stop returns the swing in rad at the stop, Travel/Ratio.
func (l Lumped) stop() float64 { return l.Travel / l.Ratio }

// moments returns the balance at a swing phi in rad. With the centre of mass at
// the angle a = CentreAngle - phi from the radius, 1/2 dR^2/dphi is
// PivotRadius CentreDistance sin a.
func (l Lumped) moments(phi float64) Moments {
	sin, cos := math.Sincos(l.CentreAngle - phi)
	arm := l.WeightMass * l.PivotRadius * l.CentreDistance
	rate := (l.SpringMomentStop - l.SpringMomentRest) / l.stop()
	return Moments{
		Weights: arm * sin, DWeights: -arm * cos,
		Restore: l.SpringMomentRest + rate*phi, DRestore: rate,
		Friction: l.Friction,
		Theta:    l.Ratio * phi, DTheta: l.Ratio,
	}
}

// Curve returns the advance curve in the manner of [Mechanism.Curve]. Errors are
// values out of range; they wrap [valid.ErrRange].
func (l Lumped) Curve(dst *Curve) (*Curve, error) {
	if err := l.check(); err != nil {
		return nil, err
	}
	return Trace(dst, l.stop(), l.moments)
}
