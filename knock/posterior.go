package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// posterior is what is held about the parameters: a normal distribution.
type posterior struct {
	mean parameters
	root []parameters // covariance = sum of root_k root_k'
}

func priorDistribution(sigma parameters) posterior {
	b := posterior{root: make([]parameters, parameterCount)}
	b.mean[octanePow], b.mean[burnSpeed] = octaneLean, speedLean
	b.mean[pressure], b.mean[arrhenius] = pressureLean, activationLean
	b.mean[octane] = -deposits
	b.mean[heatSpeed] = warmingLean
	for k := range sigma {
		b.root[k][k] = sigma[k]
	}
	return b
}

// pressureLean and activationLean move the delay from the paraffinic reference fuels
// on which it was fitted, p^-1.7 and 3800 K, to what is sold. Gasolines whose motor
// octane lies well below the research octane answer less to pressure and more to
// temperature: exponents near 1 and 5000 K and more (D. Bradley, C. Morley, H. L.
// Walmesley, SAE 2004-01-1970, from memory, low confidence). The mean stands half-way;
// both ends lie within a deviation and a half.
const pressureLean, activationLean = -0.4, 700.0

// octaneLean moves the delay's exponent against octane, 3.402, towards what engines
// show. Against the guidelines of S. Russ, SAE 960497, the published exponent counts
// spark, compression, inlet temperature and pressure all alike some tenth too much;
// the guide tables of the rating engine would rather have less than 3. It and the two
// above were set with those guidelines in view, which therefore are no independent
// check of them; the tables of rating_test.go are.
const octaneLean = 0.4

// deposits is what the deposits of a used engine take, octane numbers of the fuel: half of the
// mean rise of the requirement in 15,000 miles from a clean start, 4.1 on reference
// fuels and 5.1 on gasoline (Coordinating Research Council, Octane Requirement
// Increase of 1981 Model Cars, 1983, abstract). The deviation of octane spans none to
// all of it.
const deposits = 2.3

// warmingLean stands between what is published on how the charge warms with speed, K per
// 1000 rpm. The first law of gas_exchange.go gives 8 to 10, as time-resolved simulations
// do; a thesis model has the charge 13 cooler for each (S. Sitthiracha); no measurement was
// found. A third of the way down, with a deviation that spans both.
const warmingLean = -3.0

// speedLean takes a quarter off the cube root with which burn angles grow with speed.
// Practice has all of the mechanical advance in by some 3000 rpm and adds none beyond
// (common practice, no source); the full cube root, on top of thinner filling and more
// residual at high speed, would ask for another fifteen degrees by 6000.
const speedLean = -0.08

// widened returns the posterior with more doubt about one parameter, independent of all.
func (b posterior) widened(k int, sigma float64) posterior {
	var column parameters
	column[k] = sigma
	return posterior{mean: b.mean, root: append(append([]parameters(nil), b.root...), column)}
}

// spread returns the standard deviation of a quantity with the given slopes.
func (b *posterior) spread(slopes *parameters) float64 {
	sum := 0.0
	for k := range b.root {
		dot := 0.0
		for i, s := range slopes {
			dot += s * b.root[k][i]
		}
		sum += dot * dot
	}
	return math.Sqrt(sum)
}

// repeat is how well trace knock repeats from one try to the next, crank degrees,
// one standard deviation (experimental floor, from memory: about one degree).
const repeat = 0.7

// unnamed is what errors that no parameter stands for may do to a limit, crank degrees,
// one standard deviation: set so that the coverage test holds its 90 %.
const unnamed = 0.9

// levelSlopes returns the slopes of the logarithm of the autoignition integral at
// one spark against the parameters, about the mean.
func (p *point) levelSlopes(mean *parameters, spark float64) (slopes parameters) {
	sigma := &p.model.prior
	var c charge
	about := func(k int, size float64) float64 {
		w := *mean
		w[k] += size
		p.fill(&c, &w)
		return c.knockLevel(spark)
	}
	for _, k := range [...]int{heat, fill, burnBoth, burnDev, wall, pressure, arrhenius, residue, flame} {
		slopes[k] = (about(k, sigma[k]) - about(k, -sigma[k])) / (2 * sigma[k])
	}
	// The rest follows: the integral is inverse to the delay.
	p.fill(&c, mean)
	speed := math.Log(c.rpm / unchecked.ReferenceRPM)
	p.also(&slopes)
	slopes[delay] = -1
	slopes[delaySpeed] = -speed
	slopes[octanePow] = -math.Log(c.octane / pivotOctane)
	driftSlopes(c.rpm, &slopes)
	slopes[beyondFit] = outsideFit(&p.engine, c.octane)
	perOctane := 1 + 0.3*(c.residual-typicalResidual) // effective per fuel octane
	slopes[octane] = -(unchecked.OctaneExponent + mean[octanePow]) / c.octane * perOctane
	return slopes
}

// also fills in the slopes that follow from others: both burn angles move together or
// one by one, and the exponents turn about the reference speed and load.
func (p *point) also(slopes *parameters) {
	slopes[burnRapid] = slopes[burnBoth] - slopes[burnDev]
	slopes[burnSpeed] = slopes[burnBoth] * math.Log(p.cond.RPM/unchecked.ReferenceRPM)
	slopes[burnLoad] = slopes[burnBoth] * math.Log(p.cond.InletPressure/(fullLoadInlet*atmosphere))
	slopes[fillSpeed] = slopes[fill] * fillingOpen(p.cond.RPM)
	slopes[heatSpeed] = slopes[heat] * (p.cond.RPM - unchecked.ReferenceRPM) / 1000
}

// levelSpread returns the standard deviation of that logarithm at a spark, with the
// repeatability of the limit turned into it by its slope over spark.
func (p *point) levelSpread(spark float64) float64 {
	mean := &p.model.posterior.mean
	slopes := p.levelSlopes(mean, spark)
	var c charge
	p.fill(&c, mean)
	return math.Hypot(p.model.posterior.spread(&slopes), math.Hypot(repeat, unnamed)*c.rise(spark))
}

// rise is the slope of the level over spark, per degree.
func (c *charge) rise(spark float64) float64 {
	return math.Abs(c.knockLevel(spark+1)-c.knockLevel(spark-1)) / 2
}

// bestSlopes returns the slopes of MBT against the parameters: at the top of the torque
// curve d(MBT) = -dW'/W”, and W' is a difference over spark.
func (p *point) bestSlopes(mean *parameters, mbt, bend float64) (slopes parameters) {
	const reach = 4.0
	sigma := &p.model.prior
	var c charge
	tilt := func(w *parameters) float64 {
		p.fill(&c, w)
		return (c.brakeWork(&p.engine, mbt+reach) - c.brakeWork(&p.engine, mbt-reach)) / (2 * reach)
	}
	level := tilt(mean)
	for _, k := range [...]int{heat, fill, burnBoth, burnDev, wall, residue, flame} {
		w := *mean
		w[k] += sigma[k]
		slopes[k] = (tilt(&w) - level) / sigma[k] / (-2 * bend)
	}
	p.also(&slopes)
	slopes[phasing] = 1
	return slopes
}

func (p *point) bestSpread(mean *parameters, mbt, bend float64) float64 {
	slopes := p.bestSlopes(mean, mbt, bend)
	return p.model.torque.spread(&slopes)
}
