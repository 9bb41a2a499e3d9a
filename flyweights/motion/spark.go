package motion

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"example.org/bobweight/springs/valid"
)

// Scatter is how sparks differ in advance: mean, standard deviation about it,
// least and greatest, all in rad of the distributor shaft.
type Scatter struct{ Mean, Deviation, Least, Greatest float64 }

// ScatterOf returns the scatter of sparks at or after a time in s, which lets the
// start of a run die away; two or more are needed.
func ScatterOf(sparks []Spark, after float64) (Scatter, error) {
	var thetas []float64
	s := Scatter{Least: math.Inf(1), Greatest: math.Inf(-1)}
	for _, k := range sparks {
		if k.Time >= after {
			thetas = append(thetas, k.Theta)
			s.Least, s.Greatest = math.Min(s.Least, k.Theta), math.Max(s.Greatest, k.Theta)
		}
	}
	if len(thetas) < 2 {
		return Scatter{}, fmt.Errorf("%w: %d sparks at or after %.6g s, valid is 2 or more", errRange, len(thetas), after)
	}
	s.Mean, s.Deviation = stat.MeanStdDev(thetas, nil)
	if !valid.Finite(s.Mean, s.Deviation, s.Least, s.Greatest) {
		return Scatter{}, outOfRange("spark advance", s.Mean, "rad", "a finite number")
	}
	return s, nil
}

// Idle is the neighbourhood of an idling engine, all at one shaft, so that a
// product of slopes is a pure number.
type Idle struct {
	TorquePerAdvance float64 // N m per rad of spark advance, at fixed speed
	AdvancePerSpeed  float64 // rad per rad/s: slope of the advance curve, from two readings of flyweights.Curve.Theta
	LoadPerSpeed     float64 // N m per rad/s: how the load grows with speed
	TorquePerSpeed   float64 // N m per rad/s: how torque grows with speed at fixed spark
}

// LoopGain returns how much of a small rise of speed the advance that follows it
// brings back as a further rise,
//
//	(dtorque/dadvance dadvance/dspeed) / (dload/dspeed - dtorque/dspeed)
//
// The speed inertia obeys I w' = (gain - 1)(dload/dspeed - dtorque/dspeed) w, so
// idle is steady below 1 and runs away or hunts above. Errors: values that are
// not finite, and an engine that is unsteady without any advance, whose torque
// grows faster with speed than its load.
func (i Idle) LoopGain() (float64, error) {
	if err := check(valid.In("torque per advance", i.TorquePerAdvance, "N m/rad", -inf, inf), valid.In("advance per speed", i.AdvancePerSpeed, "s", -inf, inf),
		valid.In("load per speed", i.LoadPerSpeed, "N m s/rad", -inf, inf), valid.In("torque per speed", i.TorquePerSpeed, "N m s/rad", -inf, inf)); err != nil {
		return 0, err
	}
	stiff := i.LoadPerSpeed - i.TorquePerSpeed
	if !(stiff > 0) || !valid.Finite(stiff) {
		return 0, outOfRange("load per speed less torque per speed", stiff, "N m s/rad", "more than 0: else idle is unsteady without advance")
	}
	gain := i.TorquePerAdvance * i.AdvancePerSpeed / stiff
	if !valid.Finite(gain) {
		return 0, outOfRange("loop gain", gain, "", "a finite number")
	}
	return gain, nil
}
