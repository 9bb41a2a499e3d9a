package knock

import (
	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/unchecked"
)

// overlapFraction is the flow back through the overlap of the engine. The correlation
// was fitted below a fifth; a long cam at idle would give more than the cylinder
// holds, so the flow saturates at backflowMost.
func overlapFraction(e *Engine, rpm, inlet, exhaust float64) float64 {
	factor, err := correlations.OverlapFactor(e.Overlap, e.Bore, e.Lift, e.ValveDiameter)
	if err != nil { // Engine.Check has been passed
		return 0
	}
	x := unchecked.Backflow(rpm, factor, inlet, exhaust)
	return x / (1 + x/backflowMost)
}

const backflowMost = 0.6
