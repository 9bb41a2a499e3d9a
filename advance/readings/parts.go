package readings

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
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

// PartsResult is what readings and parts together say of a distributor. Values are
// medians, intervals the middle 95 %, of what both allow.
type PartsResult struct {
	Static, Start, AllIn, Travel, Total Estimate   // crank degrees and rpm, as in [Result]
	Rates, Lengths                      []Estimate // per spring: N/m, and free length in m
	Outliers                            []int      // places of readings more likely an outlier than not
	// Evidence is minus twice the logarithm of the likelihood of the readings
	// averaged over what the parts may be, against a perfect fit. It stands beside the
	// criteria of [Result.Criteria], which approximate the same for the free curves:
	// where it is much larger, the distributor has other parts than measured.
	Evidence float64
	// Worth is how many equally likely draws the weighted ones are worth: 250 or more,
	// unless the readings and the parts hardly agree. Under 50 the intervals are rough.
	Worth     float64
	Mechanism flyweights.Mechanism // the parts as corrected by the readings
	Curve     advance.Curve        // of that mechanism, between the outermost readings

	fit    *assembly
	kept   [][]float64 // parameters drawn, equally likely
	static []float64   // static timing of each
}

// The draws go on until so many of them would be worth as much if they were equally
// likely, or until there are too many.
const (
	worthEnough = 250
	mostDraws   = 60000
	keptDraws   = 400
	drawBatch   = 2000
	drawSeed    = 1 // the same readings and parts always give the same result
)

// FitParts fits the static timing to the readings of one run, with the curve that
// the mechanism's own moment balance gives. Where the parts are well known this
// sees what readings alone cannot: the static timing below an advance that has
// begun at idle.
//
// Mechanisms are drawn at random about the measured one, as far off as its parts
// may be, and weighted by how likely the readings are under each (importance
// sampling: Gelman and others, Bayesian Data Analysis, third edition 2014, section
// 10.4). That follows a spring that is slack at rest in one draw and tight in the
// next, where no method of steps could. The readings' standard errors are drawn
// too, about the stated ones.
//
// Refusals are those of [Fit], and those of the mechanism's Check; parts of which no
// draw works are refused too.
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
	a := newAssembly(p, &set, obs)
	draws, tried, err := a.draw(ctx)
	if err != nil {
		return nil, err
	}
	return a.report(draws, tried, places)
}

// assembly is a mechanism that can be given other parts, and its curve.
type assembly struct {
	parts   Parts
	set     *Settings
	obs     []observed
	trial   flyweights.Mechanism
	springs []flyweights.Spring
	curve   *flyweights.Curve
	mech    []float64 // mechanical advance expected at each reading, crank degrees
	sigma   []float64 // standard error of each, crank degrees
}

func newAssembly(p Parts, set *Settings, obs []observed) *assembly {
	a := &assembly{parts: p, set: set, obs: obs, trial: *p.Mechanism, springs: slices.Clone(p.Mechanism.Springs)}
	a.trial.Springs = a.springs
	a.mech, a.sigma = make([]float64, len(obs)), make([]float64, len(obs))
	return a
}

// size is the number of parameters: of the stop, of each spring's rate and free
// length, and of the size of the readings' errors, all in standard errors.
func (a *assembly) size() int { return 2 + 2*len(a.springs) }

// place gives the trial mechanism other parts and traces its curve; false where
// they do not work together.
func (a *assembly) place(x []float64) bool {
	base := a.parts.Mechanism
	a.trial.Stop = base.Stop * math.Exp(x[1]*a.parts.Stop)
	for i := range a.springs {
		law := base.Springs[i].Law
		law.Rate *= math.Exp(x[2+2*i] * a.parts.Rate)
		law.FreeLength += x[3+2*i] * a.parts.Length
		a.springs[i].Law = law
	}
	curve, err := a.trial.Curve(a.curve)
	if err != nil {
		return false
	}
	a.curve = curve
	return true
}

// advance is the mechanical advance at an engine speed, crank degrees.
func (a *assembly) advance(rpm float64, falling bool) float64 {
	dir := flyweights.Rising
	if falling {
		dir = flyweights.Falling
	}
	d := a.parts.Drive
	return d.CrankDegrees(a.curve.Theta(d.Omega(math.Max(rpm, 0)), dir))
}

// errorSpread is how well the stated standard errors of the readings are known, as
// the standard error of their logarithm.
const errorSpread = 0.2

// fit finds the static timing that suits the readings best with the current curve,
// its standard error, and minus twice the log likelihood with the static timing
// averaged out. The curve is averaged over the tachometer's error by Gauss and
// Hermite's rule with three points.
func (a *assembly) fit(x []float64) (static, sigma, deviance float64) {
	scale := math.Exp(errorSpread * x[0])
	rest := make([]float64, 0, 64)
	for i, o := range a.obs {
		d := math.Sqrt(3) * o.sigmaRPM
		low, mid, high := a.advance(o.rpm-d, o.falling), a.advance(o.rpm, o.falling), a.advance(o.rpm+d, o.falling)
		a.mech[i] = (low + 4*mid + high) / 6
		a.sigma[i] = scale * math.Hypot(o.sigmaDeg, o.sigmaRPM*(high-low)/(2*d))
		rest = append(rest, o.deg-a.mech[i])
	}
	slices.Sort(rest)
	static = rest[len(rest)/2]
	var weight float64
	for range 4 { // reweighting settles on the mode
		sum := 0.0
		weight = 0
		for i, o := range a.obs {
			z := (o.deg - a.mech[i] - static) / a.sigma[i]
			p := outlier(z, a.set.Outliers)
			w := (1 - p + p/(outlierWidth*outlierWidth)) / (a.sigma[i] * a.sigma[i])
			weight += w
			sum += w * (o.deg - a.mech[i])
		}
		if k := a.set.KnownStatic; k != nil {
			weight += 1 / (k.Sigma * k.Sigma)
			sum += k.Value / (k.Sigma * k.Sigma)
		}
		static = sum / weight
	}
	for i, o := range a.obs {
		r, _ := contaminated((o.deg-a.mech[i]-static)/a.sigma[i], a.set.Outliers)
		deviance += r*r + 2*math.Log(a.sigma[i]/o.sigmaDeg)
	}
	if k := a.set.KnownStatic; k != nil {
		deviance += math.Pow((static-k.Value)/k.Sigma, 2)
	}
	if k := a.set.KnownTravel; k != nil {
		deviance += math.Pow((a.travel()-k.Value)/k.Sigma, 2)
	}
	return static, 1 / math.Sqrt(weight), deviance + math.Log(weight)
}

func (a *assembly) travel() float64 { return a.parts.Drive.CrankDegrees(a.curve.Travel()) }
