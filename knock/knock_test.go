package knock

import "testing"

// example is a four-cylinder engine of the period, a scenario of our own.
func example() Engine {
	return NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, Fuel{RON: 95, MON: 85})
}

func newModel(t testing.TB, e Engine) *Model {
	t.Helper()
	m, err := New(e)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
