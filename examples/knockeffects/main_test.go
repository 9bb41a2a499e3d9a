package main

import (
	"context"
	"math"
	"strings"
	"sync"
	"testing"
)

// studied is the study, made once.
var studied = sync.OnceValues(func() ([]effect, error) { return study(context.Background()) })

// Every effect lies inside what is published, to the source's rounding or spread, or says
// why it does not; at least two of the inside ones come from sources that set nothing; and
// none is off by more than two thirds of the published value.
func TestEffects(t *testing.T) {
	effects, err := studied()
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

// Half has burned at best torque where engines have it, in every chamber at every speed.
func TestPhasing(t *testing.T) {
	chambers, err := phasing(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(chambers) != 20 {
		t.Errorf("%d points", len(chambers))
	}
	const digit = 0.5
	for _, p := range chambers {
		if !(p.half >= leastHalf-digit && p.half < mostHalf+digit) {
			t.Errorf("%v, %g rpm: half burned at %.2f deg, want %g to %g", p.chamber, p.rpm, p.half, leastHalf, mostHalf)
		}
		if !(p.low < p.best && p.best < p.high) {
			t.Errorf("%v, %g rpm: best torque %g, band %g to %g", p.chamber, p.rpm, p.best, p.low, p.high)
		}
	}
}

// What a denser charge does to the burn counts as spark: without it the three effects that
// are too strong are weaker, and the published number lies between.
func TestTakenApart(t *testing.T) {
	effects, err := studied()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, e := range effects {
		if e.inside() || math.IsNaN(e.burnHeld) {
			continue
		}
		n++
		lo, hi := math.Min(e.burnHeld, math.Min(e.offBest, e.computed)), math.Max(e.burnHeld, math.Max(e.offBest, e.computed))
		if !(lo <= e.to+e.half && hi >= e.from-e.half) {
			t.Errorf("%s: published %s, computed %.3g to %.3g", e.name, e.published(), lo, hi)
		}
	}
	if n == 0 {
		t.Error("no row is taken apart")
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
