package main

import (
	"context"
	"testing"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
)

// The promises, on few distributors; the command learnedparts counts them on 300. Of
// 24 distributors the mean error has a standard error of a tenth of itself, six times
// 24 bands one of 2 in 100 or more, as the speeds go together.
func TestPredictions(t *testing.T) {
	n := 24
	if testing.Short() {
		n = 6
	}
	for _, c := range cases() {
		if c.Name != "teeth: aa, bb -> ab" && c.Name != "slot:  slack b: aa, ab -> ab" {
			continue
		}
		s, err := predictAll(context.Background(), c, n)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %+v", c.Name, s)
		if limit := 1.3 * c.MostMean; !(s.Mean <= limit) {
			t.Errorf("%s: mean error %.2f deg, want %.2f and no more than %.2f", c.Name, s.Mean, c.MostMean, limit)
		}
		held := 0.0
		for _, h := range s.Held {
			held += h / float64(len(s.Held))
		}
		if !(held >= 0.87) {
			t.Errorf("%s: bands hold %.0f %%, want 95 and no less than 87", c.Name, 100*held)
		}
	}
}

// A wrong list: the readings overrule it; of a mixed pair both springs are named.
func TestListed(t *testing.T) {
	n := 20
	if testing.Short() {
		n = 6
	}
	alone, err := listAll(context.Background(), 1.5, []learned.Combination{simulated.Parts("aa", "")}, n)
	if err != nil {
		t.Fatal(err)
	}
	pair, err := listAll(context.Background(), 1.5, []learned.Combination{simulated.Parts("ab", "")}, n)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("alone %+v, mixed pair %+v", alone, pair)
	if !(alone.Within >= 0.65) || !(alone.Named >= 0.8) || alone.Both != 0 {
		t.Errorf("spring alone: %+v, want nine of ten within a tenth, no less than 65 of 100", alone)
	}
	if !(pair.Both > 1-1e-9) || pair.One > 0 || pair.Not > 0 {
		t.Errorf("mixed pair: %+v, want both springs printed in every case", pair)
	}
}

func TestJudge(t *testing.T) {
	n := 12
	if testing.Short() {
		n = 4
	}
	right, err := judgeAll(context.Background(), 1, false, n)
	if err != nil {
		t.Fatal(err)
	}
	off, err := judgeAll(context.Background(), 0.8, false, n)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("right %+v, off %+v", right, off)
	if right.Noticed > 0.26 || off.Noticed < 0.5 || off.Named < off.Noticed-0.01 {
		t.Errorf("right build %+v, spring a fifth off %+v; want 5 and 80 of 100 noticed, a always among the named", right, off)
	}
}
