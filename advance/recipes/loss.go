package recipes

import (
	"fmt"
	"sort"
)

// defaultLoss is the fraction of torque lost per square crank degree away from
// MBT. A two-zone cycle computation gives 0.7, 2.8, 6.0 and 10.2 % at 5, 10, 15
// and 20 degrees late, and published hook curves from memory about 1, 3, 6 and
// 10 %: 0.028 % per square degree follows both to 15 degrees and overstates by a
// tenth at 20. A fitted engine at part load loses less, 1.7 and 6.7 % at 10 and 20
// (P. R. Crossley, J. A. Cook, 1991, coefficients read in the Modelica library). The early side is taken alike.
const defaultLoss = 2.8e-4

// LossRow is the loss at one engine speed.
type LossRow struct {
	RPM float64
	Off []float64 // spark - MBT in crank degrees, two or more, rising
	// Lost is the fraction of MBT torque given up at each, 0 to 1; straight
	// lines between, and the slope of the last piece beyond, up to 1.
	Lost []float64
}

// losses are the rows of [Target.Loss].
type losses []LossRow

func (l losses) check() error {
	last := -1.0
	for i, r := range l {
		field := fmt.Sprintf("loss row %d", i+1)
		if err := within(field+" speed", r.RPM, "rpm crank", 0, maxSpeed); err != nil {
			return err
		}
		if r.RPM <= last {
			return outOfRange(field+" speed", r.RPM, "rpm crank", "above the row before")
		}
		last = r.RPM
		if len(r.Off) < 2 || len(r.Off) != len(r.Lost) {
			return refuse("%s has %d angles and %d losses, valid is two or more of each and as many", field, len(r.Off), len(r.Lost))
		}
		for j := range r.Off {
			if err := firstOf(within(field+" angle", r.Off[j], "deg crank", -180, 180), within(field+" loss", r.Lost[j], "of the torque", 0, 1)); err != nil {
				return err
			}
			if j > 0 && !(r.Off[j] > r.Off[j-1]) {
				return outOfRange(field+" angle", r.Off[j], "deg crank", "above the angle before")
			}
		}
	}
	return nil
}

// at is the loss without the cap of 1 on the parabola, so that sums over speeds
// stay quadratic in the static timing.
func (l losses) at(rpm, off float64) float64 {
	if len(l) == 0 {
		return defaultLoss * off * off
	}
	i := sort.Search(len(l), func(i int) bool { return l[i].RPM >= rpm })
	switch {
	case i == 0:
		return l[0].at(off)
	case i == len(l):
		return l[i-1].at(off)
	}
	f := (rpm - l[i-1].RPM) / (l[i].RPM - l[i-1].RPM)
	return (1-f)*l[i-1].at(off) + f*l[i].at(off)
}

func (r *LossRow) at(off float64) float64 {
	i, part := cellOf(r.Off, off)
	return min(1, max(0, r.Lost[i]+part*(r.Lost[i+1]-r.Lost[i])))
}
