package springs

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Reading is one load and length of a spring on a bench, coils open.
type Reading struct {
	Length      float64 // m inside the loops
	Load        float64 // N
	SigmaLength float64 // m, standard deviation of the length reading, 0 or more
	SigmaLoad   float64 // N, standard deviation of the load reading, 0 or more; not both 0
}

// Measured is a spring's law recovered from readings.
type Measured struct {
	Spring Spring
	// Covariance is that of the rate (N/m), the load of the line at the free
	// length (N) and the free length (m), in this order. Where that load is
	// positive it is the initial tension; where it is negative the spring has
	// play, and Spring carries slack instead.
	Covariance *mat.SymDense
	Residuals  []float64 // reading less line, in standard deviations of the reading
	ChiSquared float64   // sum of their squares
	Freedom    int       // readings less 2
	// Chance is the probability of a larger sum of squares if the line is right
	// and the standard deviations are. Below 0.01 one of them is wrong: a coil
	// still closed at the shortest reading, set at the longest, or optimism. It
	// is 1 where nothing is left over to judge by.
	Chance float64
}

// Measure recovers rate and initial tension from readings of length and load
// beyond take-up, and the free length in m measured on the slack spring with its
// standard deviation in m. It needs two readings or more at lengths that differ.
//
// It is weighted least squares for a straight line. Errors of the lengths count
// with the rate, sigma^2 = sigmaLoad^2 + (rate sigmaLength)^2 (effective
// variance, J. Orear, Am. J. Phys. 50, 912, 1982, from memory), found by repeating the fit
// until the rate settles. The line alone says nothing of where the coils close;
// the free length does, and its error goes into that of the initial tension.
func Measure(readings []Reading, free, sigmaFree float64) (*Measured, error) {
	if err := checkReadings(readings, free, sigmaFree); err != nil {
		return nil, err
	}
	slope, err := firstSlope(readings)
	if err != nil {
		return nil, err
	}
	fit := line{slope: slope}
	for settled, step := false, 0; !settled && step < 50; step++ {
		before := fit.slope
		if fit, err = fitLine(readings, before); err != nil {
			return nil, err
		}
		settled = math.Abs(fit.slope-before) <= 1e-13*math.Abs(fit.slope)
	}
	if err := check(bound{"fitted rate", fit.slope, "N/m", 0, maxRate, true}); err != nil {
		return nil, fmt.Errorf("loads must rise with length: %w", err)
	}

	m := &Measured{Spring: Spring{Rate: fit.slope, FreeLength: free}, Freedom: len(readings) - 2, Chance: 1}
	initial := fit.at(free)
	if initial >= 0 {
		m.Spring.InitialTension = initial
	} else {
		m.Spring.Slack = -initial / fit.slope
	}
	if err := m.Spring.Check(); err != nil {
		return nil, err
	}
	m.Covariance = fit.covariance(free, sigmaFree)
	for _, r := range readings {
		z := (r.Load - fit.at(r.Length)) / math.Sqrt(r.variance(fit.slope))
		m.Residuals = append(m.Residuals, z)
		m.ChiSquared += z * z
	}
	if m.Freedom > 0 {
		m.Chance = distuv.ChiSquared{K: float64(m.Freedom)}.Survival(m.ChiSquared)
	}
	return m, nil
}

func checkReadings(readings []Reading, free, sigmaFree float64) error {
	if len(readings) < 2 {
		return outOfRange("readings", float64(len(readings)), "", "2 or more")
	}
	if err := check(
		bound{"free length", free, "m", 0, maxLength, true},
		bound{"standard deviation of the free length", sigmaFree, "m", 0, maxLength, false},
	); err != nil {
		return err
	}
	for i, r := range readings {
		if err := check(
			bound{"length", r.Length, "m", free, maxLength, false},
			bound{"load", r.Load, "N", 0, maxForce, false},
			bound{"standard deviation of the length", r.SigmaLength, "m", 0, maxLength, false},
			bound{"standard deviation of the load", r.SigmaLoad, "N", 0, maxForce, false},
			bound{"standard deviation of length or load", max(r.SigmaLength, r.SigmaLoad), "m or N", 1e-12, maxForce, false},
		); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	return nil
}

// variance of a load reading in N^2, that of its length included.
func (r Reading) variance(rate float64) float64 {
	s := rate * r.SigmaLength
	return r.SigmaLoad*r.SigmaLoad + s*s
}

// line is load = mean + slope (length - centre), fitted about the weighted mean
// length, where mean and slope are independent.
type line struct {
	centre, mean, slope float64
	varMean, varSlope   float64
}

func (l line) at(length float64) float64 { return l.mean + l.slope*(length-l.centre) }

// covariance of rate, load at the free length, and free length. A longer free
// length raises the load at it by slope: the two rise together.
func (l line) covariance(free, sigmaFree float64) *mat.SymDense {
	x, vf := free-l.centre, sigmaFree*sigmaFree
	return mat.NewSymDense(3, []float64{
		l.varSlope, x * l.varSlope, 0,
		0, l.varMean + x*x*l.varSlope + l.slope*l.slope*vf, l.slope * vf,
		0, 0, vf,
	})
}

// fitLine fits the readings with the weights that belong to a slope in N/m.
func fitLine(readings []Reading, slope float64) (line, error) {
	n := len(readings)
	x, y, w := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range readings {
		v := r.variance(slope)
		if !(v > 0) {
			return line{}, fmt.Errorf("reading %d: %w", i+1, outOfRange("variance of the load", v, "N^2", "more than 0: a standard deviation of the load, or loads that rise with length"))
		}
		x[i], y[i], w[i] = r.Length, r.Load, 1/v
	}
	l := line{centre: stat.Mean(x, w), mean: stat.Mean(y, w), varMean: 1 / floats.Sum(w)}
	_, l.slope = stat.LinearRegression(x, y, w, false)
	var sxx float64
	for i := range x {
		d := x[i] - l.centre
		sxx += w[i] * d * d
	}
	l.varSlope = 1 / sxx
	return l, nil
}

// firstSlope is the slope between the shortest and the longest reading, from
// which the weights start.
func firstSlope(readings []Reading) (float64, error) {
	lo, hi := readings[0], readings[0]
	for _, r := range readings {
		if r.Length < lo.Length {
			lo = r
		}
		if r.Length > hi.Length {
			hi = r
		}
	}
	if !(hi.Length-lo.Length > 1e-9*hi.Length) {
		return 0, outOfRange("spread of the lengths", hi.Length-lo.Length, "m", "readings at two lengths or more")
	}
	return (hi.Load - lo.Load) / (hi.Length - lo.Length), nil
}
