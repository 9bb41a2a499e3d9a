package flyweights

import (
	"math"
	"math/rand/v2"
	"testing"
)

// EveryLinkage makes one random linkage of every kind, and RandomMechanism a whole
// mechanism with one. Their maker imports this package, so kinds_test.go sets
// them from outside.
var (
	EveryLinkage    map[string]func(*rand.Rand) Linkage
	RandomMechanism func(rnd *rand.Rand, kind string) (*Mechanism, error)
)

// randomMechanism returns a mechanism with no symmetry and nothing at a nice
// value, with a linkage of the kind.
func randomMechanism(t *testing.T, rnd *rand.Rand, kind string) *Mechanism {
	t.Helper()
	m, err := RandomMechanism(rnd, kind)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// within reports !(|got-want| <= tol), so that NaN fails.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g, difference %.3g above %.3g", what, got, want, got-want, tol)
	}
}

// springsHold reports whether the springs together press the weights to rest.
func (m *Mechanism) springsHold() bool {
	u, err := m.SpeedSquared(0)
	return err == nil && u > 0
}
