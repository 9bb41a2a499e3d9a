package correlations

import (
	"math"
	"testing"
)

// report logs a published and a computed number side by side and fails outside a
// tolerance; NaN fails.
func report(t *testing.T, what string, published, got, tol float64) {
	t.Helper()
	t.Logf("%-58s published %10.5g computed %10.5g", what, published, got)
	if !(math.Abs(got-published) <= tol) {
		t.Errorf("%s: got %.7g, want %.7g within %.3g", what, got, published, tol)
	}
}
