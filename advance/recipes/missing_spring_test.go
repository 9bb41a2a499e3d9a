package recipes

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/springs/design"
)

// Where the target is a curve that a known pair of springs draws, the search for
// free springs finds a pair that draws it too.
func TestSetOfSpringsFindsAKnownPair(t *testing.T) {
	p := shop(6, 1)
	for i := range p.Drawer.Springs {
		p.Drawer.Springs[i].Spring.Slack = 0
	}
	p.Limits = Limits{AdvanceAtIdle: true, Snap: true}
	r, _, err := p.Evaluate(Choice{Springs: []int{2, 2}, Posts: []int{0, 0}}, 10, 24)
	if err != nil {
		t.Fatal(err)
	}
	points := slices.Clone(hookMBT)
	for i := range points {
		points[i].Degrees = r.points[i].Rising
	}
	p.Target.MBT = literal(points)
	found, err := p.missingSet(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	// 0.05 crank degrees everywhere lose 7e-7 of the torque.
	if !(found.Recipe.TorqueGivenUp <= defaultLoss*0.05*0.05) {
		t.Errorf("torque given up %v against a curve that a pair of springs draws", found.Recipe.TorqueGivenUp)
	}
}

// Of a drawer without the right spring, the nearest recipe and the spring to buy
// are named; with that spring in the drawer the search finds a recipe.
func TestMissingSpringWouldHaveFitted(t *testing.T) {
	p := shop(4, 1)
	p.Drawer.Springs = p.Drawer.Springs[2:]
	p.Limits.AllIn, p.Limits.StartMargin = Window{3200, 3500}, 500
	r, err := Search(t.Context(), p, nil)
	if !errors.Is(err, ErrNoRecipe) {
		t.Fatalf("got %v, want ErrNoRecipe", err)
	}
	if r.Nearest == nil || len(r.Breaches) == 0 || r.Missing == nil {
		t.Fatalf("nearest %v, breaches %v, missing %v: not all are named", r.Nearest, r.Breaches, r.Missing)
	}
	bare, err := Search(t.Context(), p, &Settings{NoReasons: true})
	if !errors.Is(err, ErrNoRecipe) || bare.Nearest != nil || bare.Missing != nil || bare.Combinations != r.Combinations {
		t.Errorf("without reasons: %v, nearest %v, missing %v, %g combinations, with them %g", err, bare.Nearest, bare.Missing, bare.Combinations, r.Combinations)
	}
	if len(r.Missing.Breaches) > 0 {
		t.Fatalf("with the missing spring it still breaks %v", r.Missing.Breaches)
	}
	f := r.Missing.Springs[0]
	t.Logf("breaches %v; missing %+v", r.Breaches, f)
	p.Drawer.Springs = append(p.Drawer.Springs, SpringPart{Name: "bought", Spring: f.Law, Count: 1})
	again, err := Search(t.Context(), p, nil)
	if err != nil {
		t.Fatalf("with the missing spring in the drawer: %v", err)
	}
	if !strings.Contains(strings.Join(again.Recipes[0].SpringNames, " "), "bought") {
		t.Errorf("best recipe %v does without the bought spring", again.Recipes[0].SpringNames)
	}
	if _, err := design.Springs(f.Wanted, design.Stock{Material: design.MusicWire(), Wires: design.MusicWireSizes(), LoopMost: 0.006}); err != nil {
		t.Errorf("no wire for it: %v", err)
	}
}

// The nearest recipe is the nearest: no other misses the limits by less.
func TestNearestMissesByLeast(t *testing.T) {
	p := shop(5, 2)
	p.Travel, p.Static = Span{Low: 18, High: 24, Step: 3}, Span{Low: 6, High: 14, Step: 2}
	p.Limits.AllIn, p.Limits.Total = Window{1500, 1600}, Window{33, 34}
	r, err := Search(t.Context(), p, nil)
	if !errors.Is(err, ErrNoRecipe) {
		t.Fatalf("got %v, want ErrNoRecipe", err)
	}
	size := func(all []Breach) (sum float64) {
		for _, b := range all {
			sum += b.size()
		}
		return sum
	}
	least := math.Inf(1)
	for _, c := range choices(p) {
		for _, travel := range p.travels() {
			for k := range p.Static.count() {
				_, b, err := p.Evaluate(c, p.Static.at(k), travel)
				if err != nil {
					t.Fatal(err)
				}
				least = min(least, size(b))
			}
		}
	}
	if got := size(r.Breaches); !(abs(got-least) <= 1e-3) {
		t.Errorf("nearest misses by %v (%v), another by %v", got, r.Breaches, least)
	}
}

func TestWishesStopWithTheirContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p := shop(4, 1)
	if _, err := p.missingSet(ctx, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("set of springs: got %v, want context.Canceled", err)
	}
}
