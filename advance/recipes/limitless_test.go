package recipes

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

//go:embed testdata/bound.txt
var boundBySciPy string

// The dynamic programme agrees with the same problem solved as a quadratic
// programme by SciPy (testdata/bound.py). It eases every distance and limit by up
// to 0.02 crank degrees, so it stays below, and in the root of the mean square
// by no more than twice that.
func TestBoundIsTheQuadraticProgrammes(t *testing.T) {
	var want float64
	for line := range strings.Lines(boundBySciPy) {
		if strings.HasPrefix(line, "least") {
			if _, err := fmt.Sscanf(line, "least_torque_given_up %g", &want); err != nil {
				t.Fatal(err)
			}
		}
	}
	p := shop(4, 1)
	got, err := Bound(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	root := func(loss float64) float64 { return math.Sqrt(loss / defaultLoss) }
	t.Logf("bound %v, quadratic programme %v", got, want)
	if !(got <= want) || !(root(want)-root(got) <= 2*boundSlack) {
		t.Errorf("bound %v (%v degrees), quadratic programme %v (%v degrees)", got, root(got), want, root(want))
	}
}

func TestBoundWithoutAnyCurve(t *testing.T) {
	p := shop(4, 1)
	p.Limits.KnockMargin = 40
	if got, err := Bound(t.Context(), p); err != nil || !math.IsInf(got, 1) {
		t.Errorf("got %v (%v), want +Inf: nothing keeps a margin of 40 degrees", got, err)
	}
	p.Target.Loss = table()
	if _, err := Bound(t.Context(), p); !errors.Is(err, errRange) {
		t.Errorf("with a table of losses: got %v, want ErrRange", err)
	}
}
