package springs

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/bobweight/springs/valid"
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
	Covariance       *mat.SymDense
	Residuals        []float64 // reading less line, in standard deviations of the reading
	ChiSquared       float64   // sum of their squares
	DegreesOfFreedom int       // readings less parameters: 2, or 3 in [MeasurePiecewise]
	// PValue is the probability of a larger sum of squares if the line is right
	// and the standard deviations are. Below 0.01 one of them is wrong: a coil
	// still closed at the shortest reading, set at the longest, or optimism. It
	// is 1 where nothing is left over to judge by.
	PValue float64
}

// Measure recovers rate and initial tension from readings of length and load
// beyond take-up, and the free length in m measured on the slack spring with its
// standard deviation in m. It needs two readings or more at lengths that differ.
//
// It is the best straight line by weighted least squares when both length and
// load are uncertain (D. York, N. M. Evensen, M. Lopez Martinez and J. De Basabe
// Delgado, Unified equations for the slope, intercept, and standard errors of the
// best straight line, Am. J. Phys. 72, 367, 2004, without correlation), which is
// ordinary weighted regression where the lengths are exact. The line alone says
// nothing of where the coils close; the free length does, and its error goes into
// that of the initial tension. Readings with the coils still closed belong in
// [MeasurePiecewise].
func Measure(readings []Reading, free, sigmaFree float64) (*Measured, error) {
	m, err := measure(readings, free, sigmaFree)
	if err != nil {
		return nil, err
	}
	m.judge()
	return m, nil
}

// judge sets the chance from the sum of squares.
func (m *Measured) judge() {
	m.PValue = 1
	if m.DegreesOfFreedom > 0 {
		m.PValue = distuv.ChiSquared{K: float64(m.DegreesOfFreedom)}.Survival(m.ChiSquared)
	}
}

func measure(readings []Reading, free, sigmaFree float64) (*Measured, error) {
	if err := checkReadings(readings, free, sigmaFree); err != nil {
		return nil, err
	}
	slope, err := firstSlope(readings)
	if err != nil {
		return nil, err
	}
	fit := line{slope: slope}
	settled := false
	for step := 0; !settled && step < 200; step++ {
		before := fit.slope
		if fit, err = fitLine(readings, before); err != nil {
			return nil, err
		}
		settled = math.Abs(fit.slope-before) <= 1e-13*math.Abs(fit.slope)
	}
	if !settled {
		return nil, valid.Refuse(errRange, "fitted rate", fit.slope, "N/m", "one that settles: loads that rise with length by more than their scatter")
	}
	if err := valid.Check(errRange, valid.Above("fitted rate", fit.slope, "N/m", 0, maxRate)); err != nil {
		return nil, fmt.Errorf("loads must rise with length: %w", err)
	}

	m := &Measured{Spring: Spring{Rate: fit.slope, FreeLength: free}, DegreesOfFreedom: len(readings) - 2}
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
	return m, nil
}

func checkReadings(readings []Reading, free, sigmaFree float64) error {
	if len(readings) < 2 {
		return valid.Refuse(errRange, "readings", float64(len(readings)), "", "2 or more")
	}
	if err := valid.Check(errRange,
		valid.Above("free length", free, "m", 0, maxLength),
		valid.In("standard deviation of the free length", sigmaFree, "m", 0, maxLength),
	); err != nil {
		return err
	}
	for i, r := range readings {
		if err := valid.Check(errRange,
			valid.In("length", r.Length, "m", free, maxLength),
			valid.In("load", r.Load, "N", 0, maxForce),
			valid.In("standard deviation of the length", r.SigmaLength, "m", 0, maxLength),
			valid.In("standard deviation of the load", r.SigmaLoad, "N", 0, maxForce),
			valid.In("standard deviation of length or load", max(r.SigmaLength, r.SigmaLoad), "m or N", 1e-12, maxForce),
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

// line is load = mean + slope (length - centre) about the centre at which mean and
// slope are independent.
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

// fitLine takes one step of York's iteration, Eqs. 13 of the paper, from a slope
// in N/m: each reading counts by W, and beta is how far along the line from the
// weighted mean its best point lies.
func fitLine(readings []Reading, slope float64) (line, error) {
	n := len(readings)
	x, y, w := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range readings {
		v := r.variance(slope)
		if !(v > 0) {
			return line{}, fmt.Errorf("reading %d: %w", i+1, valid.Refuse(errRange, "variance of the load", v, "N^2", "more than 0: a standard deviation of the load, or loads that rise with length"))
		}
		x[i], y[i], w[i] = r.Length, r.Load, 1/v
	}
	xMean, yMean := stat.Mean(x, w), stat.Mean(y, w)
	beta := make([]float64, n)
	var above, below float64
	for i, r := range readings {
		u, v := x[i]-xMean, y[i]-yMean
		beta[i] = w[i] * (u*r.SigmaLoad*r.SigmaLoad + slope*v*r.SigmaLength*r.SigmaLength)
		above += w[i] * beta[i] * v
		below += w[i] * beta[i] * u
	}
	l := line{slope: above / below, varMean: 1 / floats.Sum(w)}
	shift := stat.Mean(beta, w) // of the best points' mean from the readings'
	l.centre, l.mean = xMean+shift, yMean+l.slope*shift
	var spread float64
	for i := range beta {
		spread += w[i] * (beta[i] - shift) * (beta[i] - shift)
	}
	l.varSlope = 1 / spread
	if !valid.Finite(l.slope) || !valid.Finite(l.varSlope) || !valid.Finite(l.mean) {
		return line{}, valid.Refuse(errRange, "fitted rate", l.slope, "N/m", "one that the readings' weights can tell: readings and deviations of like size")
	}
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
		return 0, valid.Refuse(errRange, "spread of the lengths", hi.Length-lo.Length, "m", "readings at two lengths or more")
	}
	return (hi.Load - lo.Load) / (hi.Length - lo.Length), nil
}
