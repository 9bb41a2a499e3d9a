package mapping

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// idleSlopes is the neighbourhood of an idling engine, all at one shaft, so that a
// product of slopes is a pure number.
type idleSlopes struct {
	TorquePerAdvance float64 // N m per rad of spark advance, at fixed speed
	AdvancePerSpeed  float64 // rad per rad/s: slope of the advance curve, from two readings of the total
	LoadPerSpeed     float64 // N m per rad/s: how the load grows with speed
	TorquePerSpeed   float64 // N m per rad/s: how torque grows with speed at fixed spark
}

// loopGain returns how much of a small rise of speed the advance that follows it
// brings back as a further rise,
//
//	(dtorque/dadvance dadvance/dspeed) / (dload/dspeed - dtorque/dspeed)
//
// The speed inertia obeys I w' = (gain - 1)(dload/dspeed - dtorque/dspeed) w, so
// idle is steady below 1 and runs away or hunts above. Errors: values that are
// not finite, and an engine that is unsteady without any advance, whose torque
// grows faster with speed than its load.
func (i idleSlopes) loopGain() (float64, error) {
	inf := math.Inf(1)
	err := check(
		within("torque per advance", i.TorquePerAdvance, "N m/rad", -inf, inf), within("advance per speed", i.AdvancePerSpeed, "s", -inf, inf),
		within("load per speed", i.LoadPerSpeed, "N m s/rad", -inf, inf), within("torque per speed", i.TorquePerSpeed, "N m s/rad", -inf, inf),
	)
	if err != nil {
		return 0, err
	}
	stiff := i.LoadPerSpeed - i.TorquePerSpeed
	if !(stiff > 0) || !valid.Finite(stiff) {
		return 0, valid.Refuse(errRange, "load per speed less torque per speed", stiff, "N m s/rad", "more than 0: else idle is unsteady without advance")
	}
	gain := i.TorquePerAdvance * i.AdvancePerSpeed / stiff
	if !valid.Finite(gain) {
		return 0, valid.Refuse(errRange, "loop gain", gain, "", "a finite number")
	}
	return gain, nil
}
