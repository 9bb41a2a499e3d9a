package knock

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"example.org/bobweight/springs/valid"
	"example.org/bobweight/springs/workers"
)

// Kind says what was observed.
type Kind int

// The kinds of observation.
const (
	TraceKnock Kind = iota // knock just audible or just indicated at Spark
	BestTorque             // Spark gave the best torque, on the road or on a dynamometer
	// NoKnock: with Spark no knock could be heard, and Spark had been chosen without
	// listening for knock (a maker's setting, a book's): the limit lies somewhere beyond.
	NoKnock
	// BackedOff: with Spark no knock could be heard, and Spark had been reached by
	// retarding from knock, by Retard: the limit lies about so far beyond, and no further.
	BackedOff
	// MakersSpark: at full load the maker's curve has Spark, on the fuel that it was made
	// for, which Fuel names. Give points at which knock and not best torque set the curve:
	// below some 2500 rpm.
	MakersSpark
	// knockBelowBest: with the fuel that Fuel names trace knock is met by Spark crank degrees
	// late of best torque, wherever that lies; see [Model.OctaneByRatio].
	knockBelowBest
)

// Observation is something heard, felt or measured on the engine itself.
type Observation struct {
	Condition Condition // where; zero fields as in [Condition]
	Fuel      *Fuel     // the fuel at the time; nil means the engine's
	Kind      Kind
	Spark     float64 // crank degrees before top centre
	// Retard is by how many crank degrees Spark was taken back from knock, for BackedOff;
	// zero means that nobody counted: 1 to 8, as an ear and a wrench do it (common practice,
	// no source).
	Retard float64
	// Sigma is how sure the observation is, crank degrees, one standard deviation; zero
	// means 1 for trace knock, 2 for best torque (its top is flat), 2 for no knock (the
	// faintest goes unheard; common practice, no source), 1.5 for a counted retard and 2.3
	// for one that was not, 4 for a maker's spark, 3.5 for knock below best torque.
	Sigma float64
}

// The middle and the deviation of 1 to 8 degrees, the latter with that of the ear.
const usualRetard, usualRetardSigma = 4.5, 2.3

// A maker sets its curve below the limit of the worst car of its line: cars of one model
// differ by some 6 octane numbers (B. Hamilton, Gasoline FAQ, 6.16), about a degree each,
// so the average car has half of that in hand, and a degree or two for age.
const makersMargin, makersSigma = 4.0, 4.0

func (o *Observation) sigma() float64 {
	if o.Sigma != 0 {
		return o.Sigma
	}
	switch o.Kind {
	case TraceKnock:
		return 1
	case BestTorque, NoKnock:
		return 2
	case BackedOff:
		if o.Retard == 0 {
			return usualRetardSigma
		}
	case MakersSpark:
		return makersSigma
	case knockBelowBest:
		return belowBestSigma
	}
	return 1.5
}

// asTraceKnock turns what says where the limit lies into a trace knock there.
func (o Observation) asTraceKnock() Observation {
	o.Sigma = o.sigma()
	switch {
	case o.Kind == BackedOff && o.Retard == 0:
		o.Kind, o.Spark = TraceKnock, o.Spark+usualRetard
	case o.Kind == BackedOff:
		o.Kind, o.Spark = TraceKnock, o.Spark+o.Retard
	case o.Kind == MakersSpark:
		o.Kind, o.Spark = TraceKnock, o.Spark+makersMargin
	}
	return o
}

const maxObservations = 1000

// Calibrate returns the model after the observations: Bayes' rule on every parameter of
// the model at once, delay, burn, speed exponents and the rest, each with its prior
// scatter. One trace knock mostly moves the delay; one at another speed fixes how
// delay and burn go with speed; a best timing moves the burn angles; no knock heard cuts
// off the limits below it, and leaves best torque where it is. The posterior is taken as normal about its maximum
// (Gauss-Newton), that of a no-knock observation with its mean and variance. Calibrating twice is the
// same as once with all observations, but for the linearisation.
//
// It takes time in proportion to the number of observations, and stops with the context.
// It refuses an observation with a field outside its range, more than
// 1000, a no-knock observation that contradicts the rest, and returns an error
// when the search does not settle.
func (m *Model) Calibrate(ctx context.Context, obs ...Observation) (*Model, error) {
	if m == nil || m.mixtures == nil {
		return nil, outOfRange("model", 0, "engines", "one made with New")
	}
	if len(obs) > maxObservations {
		return nil, outOfRange("number of observations", float64(len(obs)), "observations", fmt.Sprintf("at most %d", maxObservations))
	}
	points, err := workers.Map(ctx, workers.Pool{}, len(obs), func(i int) (*point, error) {
		p, err := m.observed(&obs[i])
		if err != nil {
			return nil, fmt.Errorf("observation %d: %w", i+1, err)
		}
		return p, nil
	})
	if err != nil {
		return nil, err
	}
	n := *m
	if len(obs) == 0 {
		return &n, nil
	}
	if n.posterior, err = m.posterior.learn(ctx, points, obs); err != nil {
		return nil, err
	}
	heard, at := obs[:0:0], points[:0:0]
	for i := range obs {
		if obs[i].Kind != NoKnock {
			heard, at = append(heard, obs[i]), append(at, points[i])
		}
	}
	n.torque, n.silent = n.posterior, m.silent || len(heard) < len(obs)
	if n.silent {
		if n.torque, err = m.torque.learn(ctx, at, heard); err != nil {
			return nil, err
		}
	}
	return &n, nil
}

func (m *Model) observed(o *Observation) (*point, error) {
	if o.Kind < TraceKnock || o.Kind > knockBelowBest {
		return nil, outOfRange("kind of observation", float64(o.Kind), "", "one of the named kinds")
	}
	err := valid.Check(errRange,
		valid.In("spark", o.Spark, "deg crank before top centre", -20, 70),
		valid.In("retard from knock", o.Retard, "deg crank", 0, 30),
		valid.In("sigma of the observation", o.sigma(), "deg crank", 0.05, 20))
	if err != nil {
		return nil, err
	}
	if o.Fuel != nil {
		var err error
		if m, err = m.with(func(e *Engine) { e.Fuel = *o.Fuel }); err != nil {
			return nil, err
		}
	}
	return m.at(o.Condition)
}

// deviation is how far the model with some parameters is from an observation.
type deviation struct {
	off, sigma float64 // in one unit: crank degrees, or the logarithm of the integral
	spark      float64 // looked at, crank degrees before top centre
	mbt, bend  float64 // best torque and its curvature, for the kinds that ask for them
	rise       float64 // of the level over spark, per degree
}

func (p *point) deviation(mean *parameters, o *Observation) deviation {
	var c charge
	p.fill(&c, mean)
	d := deviation{sigma: o.sigma(), spark: o.Spark}
	switch o.Kind {
	case knockBelowBest:
		// Best torque moves with the burn, and the spark looked at with it.
		d.mbt, _, d.bend = c.bestTorqueSpark(&p.engine)
		d.spark = d.mbt - o.Spark
		d.off, d.rise = c.knockLevel(d.spark), c.rise(d.spark)
		d.sigma *= math.Max(d.rise, 0.005)
	case TraceKnock, NoKnock:
		// In the logarithm of the integral, which should be zero: it is nearly linear
		// in everything, and needs no search.
		d.off = c.knockLevel(d.spark)
		if o.Kind == NoKnock {
			// Away from zero the unit counts: a search free to change it would rather make
			// the level flat than low.
			p.fill(&c, &p.model.posterior.mean)
		}
		d.rise = c.rise(d.spark)
		d.sigma *= math.Max(d.rise, 0.005)
	case BestTorque:
		d.mbt, _, d.bend = c.bestTorqueSpark(&p.engine)
		d.off = d.mbt - o.Spark
	}
	return d
}

// slopes returns the slopes of the deviation against the parameters, in its unit.
func (p *point) slopes(mean *parameters, o *Observation, d *deviation) (slopes parameters) {
	bend := math.Min(d.bend, -1e-9)
	switch o.Kind {
	case knockBelowBest:
		slopes = p.levelSlopes(mean, d.spark)
		best := p.bestSlopes(mean, d.mbt, bend)
		for k := range slopes {
			slopes[k] += d.rise * best[k]
		}
	case TraceKnock, NoKnock:
		slopes = p.levelSlopes(mean, d.spark)
	case BestTorque:
		slopes = p.bestSlopes(mean, d.mbt, bend)
	}
	return slopes
}

// over is the deviation, with its slopes, in standard deviations of the observation.
func (d *deviation) over(slopes parameters) (float64, parameters) {
	for k := range slopes {
		slopes[k] /= d.sigma
	}
	return d.off / d.sigma, slopes
}

// convergence is the step, in standard deviations of the posterior, below which the search
// for the maximum of the posterior has settled.
const convergence = 2e-3

// Slopes cost twenty cycles, the deviation itself three. On the way they are taken anew after
// renewal, and where the search settles if that lies further than sameSlopes from where they
// were taken; both in standard deviations of the prior. The limit comes out within 0.05
// degrees of a search with new slopes at every step.
const renewal, sameSlopes = 0.2, 0.004

// search is where the search for the maximum of the posterior stands, in standard
// coordinates of the prior, and where slopes were taken last; nil is nowhere yet.
type search struct{ z, since []float64 }

// stale reports whether slopes were taken further away than that.
func (s *search) stale(than float64) bool {
	return s.since == nil || floats.Distance(s.z, s.since, math.Inf(1)) > than
}

// update applies Bayes' rule for n observations, each told in its own standard
// deviations. With parameters = mean + root z and z standard normal, the maximum of the
// posterior is a damped Gauss-Newton search over z, and its covariance
// root (1 + H'H)^-1 root'. It goes on
// from where s stands, and tells miss when slopes must be new.
func (b posterior) update(ctx context.Context, s *search, n int, miss func(mean *parameters, i int, renew bool) (float64, parameters)) (posterior, error) {
	if n == 0 {
		return b, nil
	}
	size := len(b.root)
	if s.z == nil {
		s.z = make([]float64, size)
	}
	z := s.z
	h := mat.NewDense(n, size, nil)
	r := mat.NewVecDense(n, nil)
	normal := mat.NewSymDense(size, nil)
	right := mat.NewVecDense(size, nil)
	var solution mat.VecDense
	var chol mat.Cholesky
	reach := renewal
	for round := range 60 {
		mean, renew := b.at(z), s.stale(reach)
		if renew {
			s.since = append(s.since[:0], z...)
			reach = renewal
		}
		type line struct {
			off    float64
			slopes parameters
		}
		all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (d line, err error) {
			d.off, d.slopes = miss(&mean, i, renew)
			if !valid.Finite(d.off) {
				err = outOfRange("model at an observation", d.off, "standard deviations", "a finite number")
			}
			return d, err
		})
		if err != nil {
			return posterior{}, err
		}
		for i := range all {
			slopes := &all[i].slopes
			linear := -all[i].off
			for k, column := range b.root {
				dot := 0.0
				for j, s := range slopes {
					dot += s * column[j]
				}
				h.Set(i, k, dot)
				linear += dot * z[k]
			}
			r.SetVec(i, linear)
		}
		normal.SymOuterK(1, h.T())
		for k := range size {
			normal.SetSym(k, k, normal.At(k, k)+1)
		}
		if !chol.Factorize(normal) {
			return posterior{}, outOfRange("information of the observations", chol.Cond(), "", "a positive definite matrix")
		}
		right.MulVec(h.T(), r)
		if err := chol.SolveVecTo(&solution, right); err != nil {
			return posterior{}, fmt.Errorf("knock: calibration: %w", err)
		}
		largest := 0.0
		for k := range z {
			largest = math.Max(largest, math.Abs(solution.AtVec(k)-z[k]))
		}
		damp := math.Min(1, 1.5/math.Max(largest, 1e-12))
		if round >= 15 { // past best torque the level bends so much that full steps swing to and fro
			damp *= 0.4
		}
		for k := range z {
			z[k] += damp * (solution.AtVec(k) - z[k])
		}
		if largest < convergence && s.stale(sameSlopes) {
			reach = sameSlopes
			continue
		}
		if largest < convergence {
			return b.conditioned(z, &chol)
		}
	}
	return posterior{}, fmt.Errorf("%w: the observations contradict the engine: no set of departures within reason meets them all", errRange)
}

// at returns the parameters of standard coordinates.
func (b posterior) at(z []float64) parameters {
	w := b.mean
	for k, column := range b.root {
		for j := range w {
			w[j] += column[j] * z[k]
		}
	}
	return w
}

// conditioned turns the Cholesky factor C of the information, C C' = 1 + H'H, into
// the new root: root C'^-1.
func (b posterior) conditioned(z []float64, chol *mat.Cholesky) (posterior, error) {
	size := len(b.root)
	var lower mat.TriDense
	chol.LTo(&lower)
	var inverse mat.TriDense
	if err := inverse.InverseTri(&lower); err != nil {
		return posterior{}, fmt.Errorf("knock: calibration: %w", err)
	}
	out := posterior{mean: b.at(z), root: make([]parameters, size)}
	for k := range size {
		for i := range size {
			if w := inverse.At(k, i); w != 0 { // (C'^-1)_ik = (C^-1)_ki
				for j := range out.root[k] {
					out.root[k][j] += b.root[i][j] * w
				}
			}
		}
	}
	return out, nil
}
