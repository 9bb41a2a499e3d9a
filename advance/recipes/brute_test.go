package recipes

import (
	"errors"
	"fmt"
	"slices"
	"testing"
)

// everything evaluates every recipe of a small problem on the exact curve, one
// by one. It returns the best way to set up each choice of parts, in order.
func everything(t *testing.T, p *Problem, s *Settings) (all []Recipe) {
	t.Helper()
	q := newPlan(p, s, 0, 0)
	for _, c := range choices(p) {
		var best *Recipe
		for _, travel := range p.travels() {
			for k := range p.Static.count() {
				r, breaches, err := p.Evaluate(c, p.Static.at(k), travel)
				if err != nil {
					t.Fatal(err)
				}
				if len(breaches) == 0 && (best == nil || q.compare(*r, *best) < 0) {
					best = r
				}
			}
		}
		if best != nil {
			all = append(all, *best)
		}
	}
	slices.SortFunc(all, q.compare)
	return all
}

// differ reports whether two recipes at the same place of two lists are not equally
// good. The exact curve has its own stations for every travel and so is the same
// below the stop only to 1e-10 rad, 1e-8 crank degrees.
func differ(x, y *Recipe) bool {
	return !(abs(x.TorqueGivenUp-y.TorqueGivenUp) <= 1e-9) || !(abs(x.FromMiddle-y.FromMiddle) <= 1e-8) || !(abs(x.Deviation-y.Deviation) <= 1e-8)
}

// choices lists every way to put parts in, both ways round.
func choices(p *Problem) []Choice {
	var all []Choice
	var fill func(c Choice)
	fill = func(c Choice) {
		i := len(c.Springs)
		if i == len(p.Positions) {
			for w := range p.Drawer.Weights {
				all = append(all, Choice{slices.Clone(c.Springs), slices.Clone(c.Posts), w})
			}
			return
		}
		for s := -1; s < len(p.Drawer.Springs); s++ {
			for post := range p.Positions[i].Posts {
				if s < 0 && (post > 0 || !p.Positions[i].Empty) {
					continue
				}
				fill(Choice{append(slices.Clone(c.Springs), s), append(slices.Clone(c.Posts), post), 0})
			}
		}
	}
	fill(Choice{})
	return all
}

// No recipe that anybody could name is better than what the search returns: in small drawers all of them are computed on the exact curve.
func TestBruteForceFindsNoBetterRecipe(t *testing.T) {
	fitted, seeds := 0, uint64(18)
	if testing.Short() {
		seeds = 4
	}
	for seed := range seeds {
		p := shop(5, 2)
		vary(p, seed)
		switch seed { // other numbers of springs than two
		case 14, 15:
			p.Positions, p.Present = p.Positions[:1], nil
			p.Drawer.Weights[0].Weights = weightPair(0.008)
		case 16, 17:
			p.Drawer.Springs, p.Present = p.Drawer.Springs[:4], nil
			p.Positions = append(p.Positions, Position{Name: "extra", Posts: []Post{post(0, 2e-3)}, Empty: seed == 17})
			p.Drawer.Weights = p.Drawer.Weights[1:]
		}
		p.Travel, p.Static = Span{Low: 18, High: 26, Step: 4}, Span{Low: 6, High: 14, Step: 2}
		p.Limits.Knock, p.Limits.AllIn = literal(lift(hookKnock, 4)), Window{1500, 4200}
		s := &Settings{Keep: 1000, BandFirst: seed%3 == 1}
		want := everything(t, p, s)
		got, err := Search(t.Context(), p, s)
		if len(want) == 0 {
			if !errors.Is(err, ErrNoRecipe) {
				t.Errorf("seed %d: got %v, want ErrNoRecipe", seed, err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("seed %d: %v, brute force finds %d", seed, err, len(want))
		}
		fitted++
		if testing.Verbose() {
			t.Logf("seed %d: %d positions, %d recipes", seed, len(p.Positions), len(got.Recipes))
		}
		want = onceEach(p, want)
		if len(got.Recipes) != len(want) {
			t.Errorf("seed %d: got %d recipes, brute force finds %d", seed, len(got.Recipes), len(want))
			continue
		}
		for i := range want {
			x, y := &got.Recipes[i], &want[i]
			if differ(x, y) {
				t.Errorf("seed %d: recipe %d is %v (%v, %v), brute force finds %v (%v, %v)", seed, i,
					x.Choice, x.torque(), x.Deviation, y.Choice, y.torque(), y.Deviation)
			}
			if b := p.breaches(x); len(b) > 0 {
				t.Errorf("seed %d: recipe %d breaks %v", seed, i, b)
			}
		}
	}
	if fitted < int(seeds)/2 {
		t.Errorf("only %d of %d drawers had a recipe: the test says little", fitted, seeds)
	}
}

// onceEach leaves one of the recipes that differ only by exchanging the springs
// of mirror positions.
func onceEach(p *Problem, all []Recipe) []Recipe {
	seen := map[string]bool{}
	return slices.DeleteFunc(all, func(r Recipe) bool {
		groups := map[int][]string{}
		for i, first := range p.mirrors(r.Weights) {
			groups[first] = append(groups[first], fmt.Sprint(r.Springs[i], r.Posts[i]))
			slices.Sort(groups[first])
		}
		key := fmt.Sprint(groups, r.Weights)
		again := seen[key]
		seen[key] = true
		return again
	})
}
