package recipes

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// names leaves what identifies and measures a recipe, for comparison.
var names = cmp.Options{cmpopts.IgnoreFields(Recipe{}, "Curve", "Mechanism"), cmp.AllowUnexported(Recipe{})}

func search(t *testing.T, p *Problem, s *Settings) *Result {
	t.Helper()
	r, err := Search(t.Context(), p, s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestRecipesKeepTheLimits(t *testing.T) {
	p := shop(30, 5)
	p.Mechanism.Friction = flyweights.Friction{Moment: 4e-4, Proportion: 0.02}
	p.Limits.Total = Window{30, 36}
	r := search(t, p, &Settings{Keep: 25})
	if len(r.Recipes) != 25 {
		t.Fatalf("got %d recipes, want 25", len(r.Recipes))
	}
	for i, x := range r.Recipes {
		// The trap: the total is static + travel, and since the advance begins
		// above idle, the idle reads the static timing on both sweeps.
		if x.Total != x.Static+x.Travel || x.Idle.Low != x.Static || x.Idle.High != x.Static {
			t.Errorf("recipe %d: total %v, idle %v for static %v + travel %v", i, x.Total, x.Idle, x.Static, x.Travel)
		}
		for _, c := range []struct {
			name      string
			x, lo, hi float64
		}{
			{"knock margin", x.KnockMargin, 2, math.Inf(1)},
			{"start", x.Start, 800, math.Inf(1)},
			{"return", x.Return, 750, math.Inf(1)},
			{"all in", x.AllIn, 1800, 3600},
			{"total", x.Total, 30, 36},
		} {
			if !(c.x >= c.lo-1e-9 && c.x <= c.hi+1e-9) {
				t.Errorf("recipe %d: %s is %v, limit %v to %v", i, c.name, c.x, c.lo, c.hi)
			}
		}
		if i > 0 && x.TorqueGivenUp < r.Recipes[i-1].TorqueGivenUp {
			t.Errorf("recipe %d is better than the one before", i)
		}
	}
}

func TestSameAnswerForAnyNumberOfWorkers(t *testing.T) {
	p := shop(30, 6)
	p.Present = &Choice{Springs: []int{3, 8}, Posts: []int{0, 0}, Weights: 2}
	one := search(t, p, &Settings{Workers: 1})
	for _, n := range []int{2, 3, 7} {
		if d := cmp.Diff(one, search(t, p, &Settings{Workers: n}), names); d != "" {
			t.Errorf("%d workers (-1 +%d):\n%s", n, n, d)
		}
	}
}

func TestSearchStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	p := shop(60, 40)
	told := 0.0
	r, err := Search(ctx, p, &Settings{Progress: func(done float64) {
		if done < told {
			t.Errorf("progress went back from %v to %v", told, done)
		}
		if told = done; done > 0.3 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || r == nil {
		t.Fatalf("got %v (%v), want context.Canceled and what was found", r, err)
	}
	if !(r.Done > 0.2 && r.Done < 1) || len(r.Recipes) == 0 || float64(r.Choices) > p.choicesOf() {
		t.Errorf("%v done, %d recipes of %d choices", r.Done, len(r.Recipes), r.Choices)
	}
	for i := range r.Recipes {
		if b := p.breaches(&r.Recipes[i]); len(b) > 0 {
			t.Errorf("recipe %d of those found until then breaks %v", i, b)
		}
	}
}

// The number of ways is known before the search, and one that would take hours is
// refused with it.
func TestEstimate(t *testing.T) {
	p := shop(9, 3)
	for _, change := range []func(){
		func() {},
		func() { p.Positions[1].Empty = true },
		func() { p.Positions[0].Posts = append(p.Positions[0].Posts, post(0, 1e-3)) },
		func() { p.Positions = append(p.Positions, Position{Name: "third", Posts: []Post{post(0, 2e-3)}}) },
	} {
		change()
		for i := range p.Drawer.Springs {
			p.Drawer.Springs[i].Count = 3
		}
		r, err := Search(t.Context(), p, &Settings{Keep: 1, NoReasons: true})
		if err != nil && !errors.Is(err, ErrNoRecipe) {
			t.Fatal(err)
		}
		choices, seconds, err := p.Estimate(nil)
		if err != nil || !(abs(choices-float64(r.Choices)) <= 0.5) || !(seconds > 0 && seconds < 60) {
			t.Errorf("estimate of %v choices in %v s (%v), the search tried %d", choices, seconds, err, r.Choices)
		}
	}
	big := shop(500, 100)
	big.Positions = append(big.Positions, Position{Name: "third", Posts: []Post{post(0, 2e-3)}}, Position{Name: "fourth", Posts: []Post{post(1, 2e-3)}})
	if _, err := Search(t.Context(), big, nil); !errors.Is(err, errRange) || !strings.Contains(err.Error(), "ways") {
		t.Errorf("four places of 500 springs: got %v, want ErrRange with the number of ways", err)
	}
}

func TestNothingFits(t *testing.T) {
	p := shop(6, 2)
	p.Limits.KnockMargin = 40
	if _, err := Search(t.Context(), p, nil); !errors.Is(err, ErrNoRecipe) {
		t.Errorf("got %v, want ErrNoRecipe", err)
	}
}

// Between the points of the knock limit a step in the curve does not poke
// through: read every 10 rpm, the listed recipes keep the limit, many of them
// just between two points.
func TestKnockLimitHoldsBetweenItsPoints(t *testing.T) {
	least := func(p *Problem, r *Recipe) float64 {
		margin := math.Inf(1)
		for rpm := 800.0; rpm <= 5000; rpm += 10 {
			limit, err := p.Limits.Knock.At(rpm)
			if err != nil {
				t.Fatal(err)
			}
			margin = min(margin, limit-r.at(rpm, flyweights.Falling))
		}
		return margin
	}
	p := shop(25, 4)
	between := 0
	p.Limits.KnockEvery = 100
	for i, x := range search(t, p, &Settings{Keep: 100}).Recipes {
		// Between speeds 100 rpm apart and its own bends a curve bulges by less
		// than a tenth.
		if !slices.ContainsFunc(hookKnock, func(q advance.Point) bool { return q.RPM == x.KnockRPM }) {
			between++
		}
		if m := least(p, &x); !(m >= p.Limits.KnockMargin-0.1) {
			t.Errorf("recipe %d: margin %v between the points, want %v", i, m, p.Limits.KnockMargin)
		}
	}
	if between == 0 {
		t.Error("all are nearest to the limit at its points: the test says little")
	}
}

// Weights that friction holds out at standstill are in no list, though the advance
// may reach into the idle, and the one who asks is told how far out they stay.
func TestWeightsComeBack(t *testing.T) {
	p := shop(10, 1)
	for i := range p.Drawer.Springs {
		p.Drawer.Springs[i].Spring.Slack = 0.003 + 0.001*float64(i%3) // nothing pulls near rest
	}
	p.Drawer.Springs[0].Spring.Slack = 0
	p.Mechanism.Friction.Moment = 6e-3
	p.Limits = Limits{AdvanceAtIdle: true, Snap: true}
	loose := Choice{Springs: []int{4, 6}, Posts: []int{0, 0}}
	r, breaches, err := p.Evaluate(loose, 10, 22)
	if err != nil {
		t.Fatal(err)
	}
	held := p.Drive.CrankDegrees(r.Curve.Theta(0, flyweights.Falling))
	if len(breaches) != 1 || breaches[0].Limit != weightsComeBack || !(breaches[0].By > 1) || breaches[0].By != held {
		t.Errorf("breaches %v, want the weights held out by %v crank degrees", breaches, held)
	}
	for _, o := range tolerance(t, p, r, &Scatter{Samples: 10}).Limits {
		if o.Limit == weightsComeBack && o.Nominal != -1 {
			t.Errorf("margin of a build is %v, want -1", o.Nominal)
		}
	}
	found := search(t, p, &Settings{Keep: 200})
	for i := range found.Recipes {
		if x := &found.Recipes[i]; x.at(0, flyweights.Falling) > x.Static {
			t.Errorf("%v is listed and stays out", x.SpringNames)
		}
	}
}

// Where another travel brings nothing the slot is left alone.
func TestSlotIsLeftAlone(t *testing.T) {
	p := shop(6, 1)
	now, ok := p.slotTravel()
	if !ok || !(now > p.Travel.Low+1) {
		t.Fatalf("slot gives %v", now)
	}
	p.Target.MBT = literal(hookMBT[:3]) // up to 1600 rpm, where no curve is all in
	p.Limits.AllIn = Window{2000, 5000}
	p.Limits.Knock = literal(lift(hookKnock, 15))
	p.Limits.Filing = true // on either side
	for i, x := range search(t, p, nil).Recipes {
		if !(abs(x.SlotClosing) < 1e-6) {
			t.Errorf("recipe %d: slot closed by %v mm for nothing", i, x.SlotClosing)
		}
	}
}

// Where the first list is too short and all combinations are gone through again,
// progress does not begin anew.
func TestProgressOfALongerListStaysForwards(t *testing.T) {
	p := shop(30, 2)
	p.Limits.KnockEvery = 5000 // leave as much as may be to the exact curve
	p.Limits.Knock = literal([]advance.Point{{RPM: 800, Degrees: 60}, {RPM: 1700, Degrees: 24}, {RPM: 1710, Degrees: 60}})
	told, times := 0.0, 0
	_, err := Search(t.Context(), p, &Settings{Keep: 200, Progress: func(done float64) {
		if !(done > told && done <= 1) {
			t.Errorf("progress %v after %v", done, told)
		}
		told = done
		times++
	}})
	if err != nil && !errors.Is(err, ErrNoRecipe) {
		t.Fatal(err)
	}
	if told != 1 || times == 0 {
		t.Errorf("progress ended at %v after %d reports", told, times)
	}
}

// A short list is the beginning of a long one: what the exact curve adds to the
// table never hides a better recipe behind the end of the list.
func TestShortListBeginsTheLongOne(t *testing.T) {
	for seed := range uint64(6) {
		p := shop(30, 2)
		vary(p, seed)
		p.Limits.KnockEvery = 2000 // leave as much as may be to the exact curve
		long, err := Search(t.Context(), p, &Settings{Keep: 400})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for _, n := range []int{1, 4} {
			short := search(t, p, &Settings{Keep: n})
			for i := range short.Recipes {
				x, y := &short.Recipes[i], &long.Recipes[i]
				// The travel that the table prefers may differ by its error.
				if !(x.torque() <= y.torque()*(1+slackTorque)+leastSlack) && !(x.Deviation < y.Deviation) {
					t.Errorf("seed %d: recipe %d of %d gives up %v, of 400 %v", seed, i, n, x.torque(), y.torque())
				}
			}
		}
	}
}

// Two springs on one pair of pins pull as one with the sum of their rates and
// tensions.
func TestTwoSpringsOnOnePost(t *testing.T) {
	p := shop(3, 1)
	p.Positions = append(p.Positions[:1], Position{Name: "above", Posts: p.Positions[0].Posts, Empty: true})
	p.Positions[0].Posts = p.Positions[1].Posts
	one, two := spring(700, 0.018, 0.2, 0), spring(1100, 0.018, 0.5, 0)
	p.Drawer.Springs[0].Spring, p.Drawer.Springs[1].Spring = one, two
	p.Drawer.Springs[2].Spring = spring(one.Rate+two.Rate, 0.018, one.InitialTension+two.InitialTension, 0)
	both, _, err := p.Evaluate(Choice{Springs: []int{0, 1}, Posts: []int{0, 0}}, 10, 22)
	if err != nil {
		t.Fatal(err)
	}
	sum, _, err := p.Evaluate(Choice{Springs: []int{2, -1}, Posts: []int{0, 0}}, 10, 22)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range both.points {
		if y := sum.points[i]; !(abs(x.Rising-y.Rising) <= 1e-9) || !(abs(x.Falling-y.Falling) <= 1e-9) {
			t.Errorf("at %v rpm: %v, one spring of the sum %v", x.RPM, x, y)
		}
	}
}
