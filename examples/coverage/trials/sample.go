package trials

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// Errors of the simulated builders, who in the mean square are as good as
// [readings.Settings] says; each has a factor of his own on both errors, spread
// by skill (natural logarithm).
const (
	sigmaRPM     = 25
	sigmaDegrees = 1
	skill        = 0.2
	scaleError   = 0.005 // relative, of half the tachometers
	hysteresis   = 8     // one set in so many is read up and down
)

// errorLaw is the law of a simulated error.
type errorLaw int

const (
	normal   errorLaw = iota // normal errors
	laplace                  // two-sided exponential errors
	student3                 // errors of Student's law with 3 degrees of freedom
)

// draw returns an error of mean square 1.
func (l errorLaw) draw(rng *rand.Rand) float64 {
	z := rng.NormFloat64()
	switch l {
	case laplace:
		return math.Copysign(rng.ExpFloat64()/math.Sqrt2, z)
	case student3:
		sum := 0.0
		for range 3 {
			v := rng.NormFloat64()
			sum += v * v
		}
		return z / math.Sqrt(sum) // mean square 3/(3 (3-2)) of z/sqrt(sum/3), over 3
	}
	return z
}

// sample is a set of readings and what is wrong with it.
type sample struct {
	Readings []readings.Reading
	Outliers []int // places of the slips, of 5 to 15 degrees
	Law      errorLaw
	// StartSeen and StopSeen say whether a reading lies below the true start and one
	// above true all-in.
	StartSeen, StopSeen bool
}

// counts are the numbers of readings that are drawn from where none is asked for.
var counts = []int{6, 8, 12, 20}

// take takes n readings, 0 for 6, 8, 12 or 20: spread evenly, in clusters or at
// random, over speeds from 500 to 1,100 rpm up to 2,400 to 5,000 rpm; in one set of
// four none below the start, in one of four none beyond the stop. The errors are
// normal, Laplace's or Student's; the tachometer is read to 10 rpm and has a scale
// error in half the sets; the light is read to half a degree, or to whole ones. Of
// ten sets three hold one slip and one holds two. The true advance is that at the
// true speed.
func (e *engine) take(rng *rand.Rand, n int) sample {
	if some := counts[rng.IntN(len(counts))]; n == 0 {
		n = some
	}
	s := sample{Law: errorLaw(rng.IntN(3))}
	low, high := between(rng, 500, 1100), between(rng, 2400, 5000)
	if chance(rng, 4) {
		low = e.Start + between(rng, 0.02, 0.3)*(e.AllIn-e.Start)
	}
	if chance(rng, 4) {
		high = e.AllIn - between(rng, 0.02, 0.3)*(e.AllIn-e.Start)
	}
	if high < low+600 {
		high = low + 600
	}
	factor := math.Exp(skill*rng.NormFloat64() - skill*skill) // mean square 1
	scale, step := 1.0, 0.5
	if chance(rng, 2) {
		scale += scaleError * rng.NormFloat64()
	}
	if chance(rng, 3) {
		step = 1
	}
	falling := chance(rng, hysteresis)
	for k, rpm := range speeds(rng, low, high, n) {
		d := flyweights.Rising
		if falling && k%2 == 1 {
			d = flyweights.Falling
		}
		s.StartSeen = s.StartSeen || rpm < e.Start
		s.StopSeen = s.StopSeen || rpm > e.AllIn
		shown := e.at(rpm, d) + factor*sigmaDegrees*s.Law.draw(rng)
		s.Readings = append(s.Readings, readings.Reading{
			RPM:     10 * math.Round((scale*rpm+factor*sigmaRPM*s.Law.draw(rng))/10),
			Degrees: shown, Direction: d,
		})
	}
	for range [10]int{1, 1, 1, 2}[rng.IntN(10)] {
		k := rng.IntN(n)
		if slices.Contains(s.Outliers, k) {
			continue
		}
		s.Outliers = append(s.Outliers, k)
		s.Readings[k].Degrees += math.Copysign(between(rng, 5, 15), rng.NormFloat64())
	}
	for k := range s.Readings {
		s.Readings[k].Degrees = step * math.Round(s.Readings[k].Degrees/step)
	}
	return s
}

// speeds draws n speeds, rising: even with a wandering throttle, in clusters, or at
// random.
func speeds(rng *rand.Rand, low, high float64, n int) []float64 {
	out := make([]float64, n)
	step := (high - low) / float64(n-1)
	kind := rng.IntN(3)
	centres := [3]float64{between(rng, low, high), between(rng, low, high), between(rng, low, high)}
	for k := range out {
		switch kind {
		case 0:
			out[k] = low + step*(float64(k)+between(rng, -0.25, 0.25))
		case 1:
			out[k] = centres[k%3] + 100*rng.NormFloat64()
		default:
			out[k] = between(rng, low, high)
		}
	}
	// The outermost speeds are taken in any case: nobody leaves them out.
	out[0], out[n-1] = low, high
	for k := range out {
		out[k] = math.Min(math.Max(out[k], low), high)
	}
	slices.Sort(out)
	return out
}
