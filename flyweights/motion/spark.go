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
