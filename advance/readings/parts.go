package readings

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings/leastsquares"
	"example.org/bobweight/flyweights"
)

// Parts is a mechanism as far as it was measured: scale, calliper and spring
// tester say what it should do, each with its error, and the readings correct it.
type Parts struct {
	Mechanism *flyweights.Mechanism
	Drive     advance.Drive // 0 means [advance.FourStroke]
	// Rate is the relative standard error of the springs' rates, Length the standard
	// error of their free lengths in m, Stop the relative standard error of the
	// swing at the stop; 0 means 0.05, 0.0003 m and 0.05.
	Rate, Length, Stop float64
}

func (p Parts) resolved() (Parts, error) {
	if p.Mechanism == nil {
		return p, fmt.Errorf("%w: there is no mechanism, valid is one that its Check agrees with", ErrRange)
	}
	if err := p.Mechanism.Check(); err != nil {
		return p, fmt.Errorf("readings: parts: %w", err)
	}
	fill := func(v *float64, std float64) {
		if *v == 0 {
			*v = std
		}
	}
	fill((*float64)(&p.Drive), float64(advance.FourStroke))
	fill(&p.Rate, 0.05)
	fill(&p.Length, 0.0003)
	fill(&p.Stop, 0.05)
	if err := p.Drive.Check(); err != nil {
		return p, fmt.Errorf("readings: parts: %w", err)
	}
	switch {
	case !(p.Rate > 0 && p.Rate <= 1):
		return p, outOfRange("relative error of spring rates", p.Rate, "", "more than 0 and at most 1")
	case !(p.Length > 0 && p.Length <= 0.01):
		return p, outOfRange("error of spring lengths", p.Length, "m", "more than 0 and at most 0.01")
	case !(p.Stop > 0 && p.Stop <= 1):
		return p, outOfRange("relative error of the stop", p.Stop, "", "more than 0 and at most 1")
	}
	return p, nil
}

// PartsResult is what readings and parts together say of a distributor.
type PartsResult struct {
	Static, Start, AllIn, Travel, Total Estimate   // crank degrees and rpm, as in [Result]
	Rates, Lengths                      []Estimate // per spring: N/m, and free length in m
	Blunders                            []int      // places of readings more likely a blunder than not
	// Deviance is minus twice the log likelihood with the parts' own errors, and
	// Criterion adds what Schwarz's criterion charges for the one parameter that
	// only the readings know, the static timing: compare it with those of
	// [Result.Criteria] to see whether the parts explain the readings.
	Deviance, Criterion float64
	Mechanism           flyweights.Mechanism // the parts as corrected by the readings
	Curve               advance.Curve        // between the outermost readings

	fit *mechanical
}

// mechanical is the likelihood of readings under a mechanism, as a sum of squares
// for the fitting core. The parameters are the static timing, the logarithm of the
// stop's factor, and for each spring the logarithm of its rate's factor and what
// is added to its free length.
type mechanical struct {
	parts     Parts
	set       Settings
	obs       []observed
	best      []float64
	deviance  float64
	threshold float64

	trial   flyweights.Mechanism
	springs []flyweights.Spring
	curve   *flyweights.Curve
	held    func() float64 // the quantity of a profile, of the current curve; nil for none
	at      float64        // where it is held
	sigma   float64        // how closely
	static  float64
	work    leastsquares.Work
}

// FitParts fits the static timing to the readings of one run, with the curve that
// the mechanism's own moment balance gives. Where the parts are well known this
// sees what readings alone cannot: the static timing below an advance that has
// begun at idle. Refusals are those of [Fit], and those of the mechanism's Check.
func FitParts(ctx context.Context, rs []Reading, p Parts, s *Settings) (*PartsResult, error) {
	set, err := s.resolved()
	if err != nil {
		return nil, err
	}
	run := Run{Readings: rs}
	if err := checkRuns([]Run{run}, &set); err != nil {
		return nil, err
	}
	if p, err = p.resolved(); err != nil {
		return nil, err
	}
	obs, places := observations(&run, &set)
	m := &mechanical{parts: p, set: set, obs: obs}
	m.trial = *p.Mechanism
	m.springs = slices.Clone(p.Mechanism.Springs)
	m.trial.Springs = m.springs
	if err := m.minimum(); err != nil {
		return nil, err
	}
	r := &PartsResult{Deviance: m.deviance, Criterion: m.deviance + math.Log(float64(len(obs))), fit: m}
	if err := m.report(ctx, r, places); err != nil {
		return nil, err
	}
	return r, nil
}

// Size is part of the fitting core's Problem.
func (m *mechanical) Size() (residuals, parameters int) {
	params := 2 + 2*len(m.springs)
	rows := len(m.obs) + 1 + params // the readings, their variances, the parts and facts
	if m.held != nil {
		rows++
	}
	return rows, params
}

// Evaluate is part of the fitting core's Problem. The derivatives are forward
// differences: a curve costs microseconds, and the parameters are of order one.
func (m *mechanical) Evaluate(x, r, jac []float64) {
	m.residuals(x, r)
	rows, n := m.Size()
	other := make([]float64, rows)
	for j := range n {
		h := 1e-6
		if j == 0 {
			h = 1e-4 // crank degrees
		}
		v := x[j]
		x[j] = v + h
		m.residuals(x, other)
		x[j] = v
		for i := range rows {
			jac[i*n+j] = (other[i] - r[i]) / h
		}
	}
}

// place sets the trial mechanism to parameters and traces its curve.
func (m *mechanical) place(x []float64) bool {
	base := m.parts.Mechanism
	m.static = x[0]
	m.trial.Stop = base.Stop * math.Exp(x[1]*m.parts.Stop)
	for i := range m.springs {
		law := base.Springs[i].Law
		law.Rate *= math.Exp(x[2+2*i] * m.parts.Rate)
		law.FreeLength += x[3+2*i] * m.parts.Length
		m.springs[i].Law = law
	}
	curve, err := m.trial.Curve(m.curve)
	if err != nil {
		return false
	}
	m.curve = curve
	return true
}

// degrees is the curve at an engine speed.
func (m *mechanical) degrees(rpm float64, falling bool) float64 {
	dir := flyweights.Rising
	if falling {
		dir = flyweights.Falling
	}
	d := m.parts.Drive
	return m.static + d.CrankDegrees(m.curve.Theta(d.Omega(math.Max(rpm, 0)), dir))
}

// residuals writes those at x; NaN where the parts do not work together. The
// curve is averaged over the tachometer's error by Gauss and Hermite's rule with
// three points.
func (m *mechanical) residuals(x, r []float64) {
	if !m.place(x) {
		for i := range r {
			r[i] = math.NaN()
		}
		return
	}
	spread := 0.0
	for i, o := range m.obs {
		d := math.Sqrt(3) * o.sigmaRPM
		low, mid, high := m.degrees(o.rpm-d, o.falling), m.degrees(o.rpm, o.falling), m.degrees(o.rpm+d, o.falling)
		mean := (low + 4*mid + high) / 6
		slope := (high - low) / (2 * d)
		v := o.sigmaDeg*o.sigmaDeg + o.sigmaRPM*o.sigmaRPM*slope*slope
		r[i], _ = contaminated((o.deg-mean)/math.Sqrt(v), m.set.Blunders)
		spread += math.Log(v / (o.sigmaDeg * o.sigmaDeg))
	}
	row := len(m.obs)
	r[row] = math.Sqrt(math.Max(spread, 0))
	row++
	copy(r[row:], x[1:]) // the parts' errors are the units of these parameters
	row += len(x) - 1
	r[row] = 0
	if k := m.set.KnownStatic; k != nil {
		r[row] = (m.static - k.Value) / k.Sigma
	}
	if k := m.set.KnownTravel; k != nil {
		// The slot as measured replaces the parts' own stop in the same residual.
		r[len(m.obs)+1] = (m.travel() - k.Value) / k.Sigma
	}
	row++
	if m.held != nil {
		r[row] = (m.held() - m.at) / m.sigma
	}
}

func (m *mechanical) travel() float64 { return m.parts.Drive.CrankDegrees(m.curve.Travel()) }

// minimum finds the best parameters, starting at the parts as measured and a
// static timing from each of the readings.
func (m *mechanical) minimum() error {
	_, n := m.Size()
	m.deviance = math.Inf(1)
	var failed error
	for _, o := range m.obs[:min(len(m.obs), 8)] {
		x := make([]float64, n)
		if !m.place(x) {
			return fmt.Errorf("%w: the mechanism has no curve, valid is one that its Check agrees with", ErrRange)
		}
		x[0] = o.deg - (m.degrees(o.rpm, o.falling) - m.static)
		d, err := m.minimise(x)
		if err != nil {
			failed = err
			continue
		}
		if d < m.deviance {
			m.deviance, m.best = d, x
		}
	}
	if m.best == nil {
		return failed
	}
	return nil
}

func (m *mechanical) minimise(x []float64) (float64, error) {
	rep, err := leastsquares.Minimize(m, x, &leastsquares.Settings{StepTol: 1e-6, ValueTol: 1e-5, MaxSteps: 80}, &m.work)
	return rep.Sum, err
}
