package mapping

import (
	"errors"
	"math"
	"testing"
)

// The sign of gain - 1 is the sign of growth of the linear engine
// I w' = (dT/dadvance dadvance/dspeed + dT/dspeed - dload/dspeed) w.
func TestLoopGain(t *testing.T) {
	for _, i := range []idleSlopes{
		{TorquePerAdvance: 30, AdvancePerSpeed: 0.004, LoadPerSpeed: 0.1, TorquePerSpeed: -0.05},
		{TorquePerAdvance: 30, AdvancePerSpeed: 0.006, LoadPerSpeed: 0.1, TorquePerSpeed: -0.05},
	} {
		gain, err := i.loopGain()
		if err != nil {
			t.Fatal(err)
		}
		growth := i.TorquePerAdvance*i.AdvancePerSpeed + i.TorquePerSpeed - i.LoadPerSpeed
		if (gain > 1) != (growth > 0) {
			t.Errorf("gain %g with growth %g", gain, growth)
		}
	}
	for _, bad := range []idleSlopes{{}, {LoadPerSpeed: math.NaN()}, {LoadPerSpeed: 1, TorquePerSpeed: 2}, {TorquePerAdvance: 1e300, AdvancePerSpeed: 1e300, LoadPerSpeed: 1e-300}} {
		if _, err := bad.loopGain(); !errors.Is(err, errRange) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}
