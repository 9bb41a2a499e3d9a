package main

import (
	"context"
	"math"
	"strings"
	"testing"
)

// The 90 % bands hold on populations that are not the model's, at every speed and after
// every telling, and no more than 5 % lie below them; both within 2.5 standard
// deviations of a share of so few engines. The command asks 500.
func TestBandsHold(t *testing.T) {
	engines := 24
	if testing.Short() {
		engines = 3
	}
	for name, draw := range populations {
		t.Run(name, func(t *testing.T) { bandsHold(t, draw, engines) })
	}
}

func bandsHold(t *testing.T, draw func(uint64) truth, engines int) {
	table, err := study(context.Background(), draw, 0, engines, nil)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	table.print(&out)
	t.Log("\n" + out.String())
	least := 0.90 - 2.5*math.Sqrt(0.9*0.1/float64(engines))
	most := 0.05 + 2.5*math.Sqrt(0.05*0.95/float64(engines))
	for k, row := range table.rows {
		for j, c := range row {
			if inside := float64(c.inside) / float64(c.n); !(inside >= least) {
				t.Errorf("%s, %g rpm: %.0f %% inside, want %.0f", tellings[k].name, speeds[j], 100*inside, 100*least)
			}
			if below := float64(c.below) / float64(c.n); !(below <= most) {
				t.Errorf("%s, %g rpm: %.0f %% below, want at most %.0f", tellings[k].name, speeds[j], 100*below, 100*most)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	var out, problems strings.Builder
	for name, err := range map[string]error{
		"no engines":    run(context.Background(), "rivals", 0, 0, &out, &problems),
		"no population": run(context.Background(), "none", 0, 1, &out, &problems),
		"no number":     run(context.Background(), "rivals", -1, 1, &out, &problems),
	} {
		if err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
