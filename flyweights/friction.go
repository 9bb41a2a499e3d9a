package flyweights

import "math"

// Friction is the dry friction of pivots, pins and pads, brought to the swing
// coordinate. It stands against any motion, so it widens the equilibrium at one
// position into a band of speeds.
type Friction struct {
	Moment float64 // N m, >= 0: constant part
	// Proportion is the part that grows with the load, as a share of the
	// magnitude of the springs' moment, 0 to less than 1.
	Proportion float64
}

// resist adds friction, which is judged by the springs' moment, and then the
// drag of the cam.
func (m *Mechanism) resist(b *Moments, p *pose) {
	b.Friction = m.Friction.Moment + m.Friction.Proportion*math.Abs(b.Restore)
	b.DFriction = m.Friction.Proportion * math.Copysign(b.DRestore, b.Restore*b.DRestore)
	b.Restore += m.Drag * p.d1
	b.DRestore += m.Drag * p.d2
}
