package correlations

import (
	"errors"
	"math"
	"testing"
)

// What is not a number or out of its range is refused.
func TestRefusals(t *testing.T) {
	nan, refused := math.NaN(), map[string]error{}
	_, refused["friction"] = FrictionPressure(nan)
	_, refused["wall"] = WallCoefficient(0.1, nan, 1000, 10)
	_, refused["gas speed"] = GasSpeed(nan, 5e-4, 350, 1e5, 5e-4, 3e6, 1e6)
	_, refused["residual"] = ResidualFraction(2000, nan, 1e5, 1e5, 1, 8)
	_, refused["overlap"] = OverlapFactor(nan, 0.08, 0.008, 0.035)
	for what, err := range refused {
		if !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want a refusal", what, err)
		}
	}
}
