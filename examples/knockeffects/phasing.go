package main

import (
	"context"
	"fmt"
	"io"

	"example.org/bobweight/knock"
)

// phased is one chamber at one speed, full load.
type phased struct {
	chamber                        knock.Chamber
	rpm                            float64
	best, low, high, half, highest float64 // crank degrees: best torque and its band before top centre, half burned and highest pressure after it
	lost                           float64 // torque lost 10 degrees late, % per square degree
}

// leastHalf and mostHalf are where half has burned at best torque, crank degrees after top
// centre: 8 to 10, and 2 for the width of the flat top (J. B. Heywood, 1988, ch. 9, from
// memory). They hold to half of their last digit.
const leastHalf, mostHalf = 6.0, 11.0

// phasing asks where half has burned at best torque in every class of chamber.
func phasing(ctx context.Context) ([]phased, error) {
	var out []phased
	for _, chamber := range []knock.Chamber{knock.Wedge, knock.Hemispherical, knock.SideValve, knock.Compact} {
		e := onPump()
		e.Chamber = chamber
		m, err := knock.New(e)
		if err != nil {
			return nil, err
		}
		all, err := m.Each(ctx, []knock.Condition{{RPM: 1500}, {RPM: 2000}, {RPM: 3000}, {RPM: 4000}, {RPM: 5000}}, nil)
		if err != nil {
			return nil, err
		}
		for _, w := range all {
			lost, err := m.TorqueLoss(knock.Condition{RPM: w.RPM}, w.MBT-10)
			if err != nil {
				return nil, err
			}
			out = append(out, phased{chamber: chamber, rpm: w.RPM, best: w.MBT, low: w.MBTLow, high: w.MBTHigh, half: w.HalfBurned, highest: w.PeakPressure, lost: lost})
		}
	}
	return out, nil
}

func printPhasing(out io.Writer, list []phased) {
	fmt.Fprintf(out, "\nBest torque at full load, crank degrees; half burned should lie at %g to %g\n", leastHalf, mostHalf)
	fmt.Fprintf(out, "%-18s %5s  %-22s %12s %17s  %s\n", "chamber", "rpm", "best torque (band)", "half burned", "highest pressure", "lost 10 deg late, % per square degree")
	for _, p := range list {
		fmt.Fprintf(out, "%-18s %5.0f  %4.1f (%4.1f to %4.1f) %18.1f %17.1f  %.4f\n", p.chamber, p.rpm, p.best, p.low, p.high, p.half, p.highest, p.lost)
	}
}
