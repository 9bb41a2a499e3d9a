package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// What the laws of the model leave open wanders with speed: a Brownian motion of ln N,
// pinned where the delay itself is free, at the reference speed. Its increments over
// driftSteps steps of driftStep to either side are parameters like any other, so one
// observation narrows the band near its own speed and leaves it to widen away from there.
// (A Wiener process as prior of a smooth discrepancy: G. Wahba, J. R. Stat. Soc. B 40
// (1978) 364; a discrepancy kept beside the parameters: M. C. Kennedy, A.
// O'Hagan, J. R. Stat. Soc. B 63 (2001) 425.)
const (
	driftSteps = 4
	driftStep  = 0.375 // of ln N: 446 to 8963 rpm about 2000
)

// driftSlopes fills in how much of each increment has gathered at a speed.
func driftSlopes(rpm float64, slopes *parameters) {
	x := math.Log(rpm / unchecked.ReferenceRPM)
	first, away := drift, -x
	if x > 0 {
		first, away = drift+driftSteps, x
	}
	for k := range driftSteps {
		slopes[first+k] = math.Max(0, math.Min(1, away/driftStep-float64(k)))
	}
}

// The least octane number and compression ratio for which the delay was fitted.
const leastRated, leastRatio = 90.0, 7.0

// outsideFit counts how far a running point lies outside what the delay was fitted on:
// tens of octane numbers below 90, units of compression ratio below 7.
func outsideFit(e *Engine, octane float64) float64 {
	return math.Max(0, (leastRated-octane)/10) + math.Max(0, leastRatio-e.CompressionRatio)
}

// discrepancy is the logarithm by which the autoignition rate departs from its law.
func discrepancy(e *Engine, rpm, octane float64, w *parameters) float64 {
	var slopes parameters
	driftSlopes(rpm, &slopes)
	sum := w[beyondFit] * outsideFit(e, octane)
	for k := drift; k < drift+2*driftSteps; k++ {
		sum += slopes[k] * w[k]
	}
	return sum
}
