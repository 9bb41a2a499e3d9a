package main

import (
	"context"
	"strings"
	"testing"
)

// Every effect lies inside what is published, to the source's rounding or spread, or says
// why it does not; at least two of the inside ones come from sources that set nothing; and
// none is off by more than two thirds of the published value.
func TestEffects(t *testing.T) {
	effects, err := study(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	independent := map[string]bool{}
	for _, e := range effects {
		t.Logf("%-64s %14s %8.3g", e.name, e.published(), e.computed)
		if !e.inside() && e.why == "" {
			t.Errorf("%s: %.4g, published %s", e.name, e.computed, e.published())
		}
		if !(e.computed >= 0.6*e.from && e.computed <= 1.67*e.to) {
			t.Errorf("%s: %.4g is far from the published %s", e.name, e.computed, e.published())
		}
		if e.inside() && !e.used {
			independent[e.source] = true
		}
	}
	if len(independent) < 2 {
		t.Errorf("%d sources that set nothing are met", len(independent))
	}
}

func TestPrinted(t *testing.T) {
	var out strings.Builder
	if err := run(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"inlet pressure", "OUTSIDE", "inside", "Detonation"} {
		if !strings.Contains(out.String(), word) {
			t.Errorf("no %q in\n%s", word, out.String())
		}
	}
}
