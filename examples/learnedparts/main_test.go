package main

import (
	"context"
	"math"
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
	right, err := judgeAll(context.Background(), spring(1), befores[0], n)
	if err != nil {
		t.Fatal(err)
	}
	off, err := judgeAll(context.Background(), spring(0.8), befores[0], n)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("right %+v, off %+v", right, off)
	if right.Noticed > 0.26 || off.Noticed < 0.5 || off.Named < off.Noticed-0.01 {
		t.Errorf("right build %+v, spring a fifth off %+v; want 5 and 80 of 100 noticed, a always among the named", right, off)
	}
}

// A clamp that slipped by two degrees is noticed and named nearly always, a stop in four of
// five.
func TestEnds(t *testing.T) {
	n := 10
	if testing.Short() {
		n = 4
	}
	known := befores[0]
	known.clamp = "one"
	faults := faultsOfEnds(2)
	for i, most := range map[int]bool{1: false, 3: true} { // the stop longer, the clamp advanced
		s, err := judgeAll(context.Background(), faults[i], known, n)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %+v", faults[i].name, s)
		if least := 0.5; !(s.Named >= least) || most && s.Named < 0.75 {
			t.Errorf("%s: named in %.2f, want 80 of 100 and more", faults[i].name, s.Named)
		}
	}
}

// What no test of these readings can exceed. Where both springs were read, four of five
// springs a fifth off can be noticed; where only its list tells of one, the errors of the
// list hide more than a third. The standard error of a mean over 60 distributors is 3 and 4
// in 100.
func TestPower(t *testing.T) {
	n := 60
	if testing.Short() {
		n = 12
	}
	for _, known := range knowledges() {
		most, least := 0.97, 0.75
		if len(known.pairs) == 1 {
			most, least = 0.75, 0.5
		}
		for _, factor := range []float64{1.2, 0.8} {
			s, err := bestPower(context.Background(), factor, n, &known)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s, %g times: %+v", known.name, factor, s)
			if !(s.Together > least && s.Together < most) {
				t.Errorf("%s, %g times: %.3f of springs can be noticed, want %.2f to %.2f", known.name, factor, s.Together, least, most)
			}
			if !(s.Either < s.Known && s.Either < s.Together+1e-9) {
				t.Errorf("%s, %g times: %+v, want less where neither sense nor build is known", known.name, factor, s)
			}
		}
	}
}

// The power over builds together is that of one build where all are alike: 85 % at a
// distance of 3 standard errors (Lehmann and Romano, section 4.2: the normal's two-sided
// test, Phi(3 - 1.96) + Phi(-3 - 1.96) = 0.8508, from tables of the normal).
func TestPowerOfOne(t *testing.T) {
	if got := together([]float64{3, 3, 3}); !(math.Abs(got-0.8508) < 5e-4) {
		t.Errorf("power %.4f, want 0.8508", got)
	}
}
