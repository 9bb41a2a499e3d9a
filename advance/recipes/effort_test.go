package recipes

import (
	"context"
	"math"
	"testing"

	"example.org/bobweight/advance"
	"github.com/google/go-cmp/cmp"
)

// withParts is the scenario with parts in it and a slot cut in tenths of a millimetre.
func withParts(springs int) *Problem {
	p := shop(springs, 2)
	p.Present = &Choice{Springs: []int{1, 3}, Posts: []int{0, 0}, Weights: 1}
	p.SlotStep, p.LeastClosing = 1e-4, 3e-4
	p.Slot.Length = 0.01137 // no whole step: left alone all the same
	p.Limits.Knock = literal(lift(hookKnock, 3))
	return p
}

// open reports whether a recipe is open to an effort.
func open(p *Problem, r *Recipe, e Effort) bool {
	now, _ := p.slotTravel()
	springs := diff(r.Springs, p.Present.Springs) || diff(r.Posts, p.Present.Posts)
	slot, weights := !kept(now, r.Travel), r.Weights != p.Present.Weights
	switch e {
	case clampOnly:
		return !springs && !slot && !weights
	case springsOnly:
		return !slot && !weights
	case slotOnly:
		return !springs && !weights
	case springsAndSlot:
		return !weights
	}
	return true
}

func diff(a, b []int) bool { return !cmp.Equal(a, b) }

// Each rung changes what its effort says and no more, and no recipe of that effort,
// all of them computed one by one, beats it by more than the equality; nor is one
// that is equal in torque and probability had with fewer changed parts.
func TestRungsAreTheBestOfTheirEffort(t *testing.T) {
	p := withParts(5)
	p.Static.Step, p.SlotStep = 1, 4e-4
	l, err := NewLadder(t.Context(), p, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	var all []Recipe
	for _, c := range choices(p) {
		for _, travel := range p.travels() {
			for k := range p.Static.count() {
				if r, b, err := p.Evaluate(c, p.Static.at(k), travel); err != nil {
					t.Fatal(err)
				} else if len(b) == 0 {
					all = append(all, *r)
				}
			}
		}
	}
	if len(l.Rungs) != 5 || l.Unknown != "" {
		t.Fatalf("%d rungs, unknown %q", len(l.Rungs), l.Unknown)
	}
	for i, rung := range l.Rungs {
		least := math.Inf(1)
		for k := range all {
			if open(p, &all[k], rung.Effort) {
				least = min(least, all[k].TorqueGivenUp)
			}
		}
		if rung.Recipe == nil || len(rung.Breaches) > 0 {
			if !math.IsInf(least, 1) {
				t.Errorf("%v: no recipe, one by one the best gives up %v", rung.Effort, least)
			}
			continue
		}
		if !open(p, rung.Recipe, rung.Effort) {
			t.Errorf("%v: changes %v", rung.Effort, rung.Recipe.Choice)
		}
		if !(rung.Recipe.TorqueGivenUp <= least+equalTorque) {
			t.Errorf("%v: gives up %v, one by one the best gives up %v", rung.Effort, rung.Recipe.TorqueGivenUp, least)
		}
		for _, o := range rung.Same {
			if !open(p, o, rung.Effort) || o.Changed != rung.Recipe.Changed || !(math.Abs(o.Static-rung.Recipe.Static) <= equalDegrees) {
				t.Errorf("%v: %v is named as the same as %v", rung.Effort, o.Choice, rung.Recipe.Choice)
			}
		}
		if rung.Better && i > l.Best {
			t.Errorf("%v is better than all below, and the best is said to be %v", rung.Effort, l.Rungs[l.Best].Effort)
		}
	}
	if l.Best < 1 {
		t.Error("nothing is worth more than turning the distributor: the test says little")
	}
}

// Turning the distributor only is judged even where it keeps no limits, set to what
// breaks them by least; and no rung stands above where none is better.
func TestTheClampIsAlwaysJudged(t *testing.T) {
	p := withParts(5)
	p.Limits.AllIn = Window{900, 950}
	l, err := NewLadder(t.Context(), p, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	first := l.Rungs[0]
	if l.Best != -1 || first.Effort != clampOnly || first.Recipe == nil || len(first.Breaches) == 0 {
		t.Fatalf("best %d, first rung %+v", l.Best, first)
	}
	size := func(list []Breach) (sum float64) {
		for _, b := range list {
			sum += b.size()
		}
		return sum
	}
	for k := range p.Static.count() {
		_, b, err := p.Evaluate(*p.Present, p.Static.at(k), first.Recipe.Travel)
		if err != nil {
			t.Fatal(err)
		}
		if size(b) < size(first.Breaches)-1e-9 {
			t.Errorf("static %v breaks the limits by %v, the rung's %v by %v", p.Static.at(k), size(b), first.Recipe.Static, size(first.Breaches))
		}
	}
}

// Where the present parts are the best there are, nothing above the clamp is better:
// fewer changed parts win.
func TestFewerChangedPartsWin(t *testing.T) {
	p := withParts(7)
	all, err := NewLadder(t.Context(), p, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	best := all.Rungs[all.Best].Recipe
	p.Present, p.Slot.Length = &best.Choice, best.SlotLength*1e-3
	l, err := NewLadder(t.Context(), p, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if l.Best != 0 || l.Rungs[0].Recipe == nil || l.Rungs[0].Recipe.Changed != 0 {
		t.Errorf("best is rung %d, with %+v", l.Best, l.Rungs[0])
	}
}

// A slot is left alone, or closed by the least that can be made or more, to whole
// steps of its length; the bush that does the same lets through the same travel.
func TestSlotsThatCanBeMade(t *testing.T) {
	p := withParts(5)
	for _, travel := range p.travels() {
		r, _, err := p.Evaluate(*p.Present, 10, travel)
		if err != nil {
			t.Fatal(err)
		}
		steps := r.SlotLength / 0.1
		whole := math.Abs(steps-math.Round(steps)) <= 1e-6
		if alone := math.Abs(r.SlotClosing) <= 1e-9; !alone && (!whole || r.SlotClosing > 0 && r.SlotClosing < 0.3-1e-6) {
			t.Errorf("travel %v: close %v mm to %v mm", travel, r.SlotClosing, r.SlotLength)
		}
		if r.Bush == 0 {
			continue
		}
		bushed := p.Slot
		bushed.Pin = r.Bush * 1e-3
		theta, err := bushed.Travel()
		if got := p.Drive.CrankDegrees(theta); err != nil || !(math.Abs(got-travel) <= 1e-9) {
			t.Errorf("a bush of %v mm gives a travel of %v (%v), want %v", r.Bush, got, err, travel)
		}
	}
	p.SlotStep = 0.01 // none of these lengths lies in the slot
	p.Slot.Length = 0
	if err := p.check(); err != nil {
		t.Errorf("steps of an unknown slot do not matter: %v", err)
	}
}

// A recipe stands where the other problem differs in nothing that matters, and falls
// where it breaks a limit or something is better.
func TestReconsider(t *testing.T) {
	p := withParts(7)
	r := &search(t, p, nil).Recipes[0]
	judge := func(change func(p *Problem)) (*Recipe, bool) {
		t.Helper()
		other := *p
		change(&other)
		best, stands, err := other.Reconsider(t.Context(), r, nil)
		if err != nil {
			t.Fatal(err)
		}
		return best, stands
	}
	if best, stands := judge(func(p *Problem) { p.Idle -= 20 }); !stands {
		t.Errorf("20 rpm less of idle: %+v", best)
	}
	if best, stands := judge(func(p *Problem) { p.Limits.Knock = literal(lift(hookKnock, -1)) }); stands {
		t.Errorf("a knock limit 4 degrees lower: %+v", best)
	}
	want := search(t, p, nil).Recipes[0].TorqueGivenUp
	best, stands := judge(func(p *Problem) { p.Target.MBT = literal(lift(hookMBT, -9)) })
	if stands || best == nil || want == best.TorqueGivenUp {
		t.Errorf("MBT 9 degrees lower: %+v", best)
	}
	if best, stands := judge(func(p *Problem) { p.Limits.AllIn = Window{800, 810} }); stands || best != nil {
		t.Errorf("nothing fits: %+v", best)
	}
	if _, _, err := p.Reconsider(context.Background(), nil, nil); err == nil {
		t.Error("no recipe is not refused")
	}
}

// A ladder of a problem that knows little has fewer rungs and says why.
func TestLadderOfLittle(t *testing.T) {
	p := withParts(5)
	p.Slot.Length = 0
	l, err := NewLadder(t.Context(), p, nil, func(context.Context, *Recipe) (float64, error) { return 1, nil })
	if err != nil || len(l.Rungs) != 2 || l.Unknown == "" {
		t.Errorf("without a slot: %v, %+v", err, l)
	}
	p.Present = nil
	if l, err = NewLadder(t.Context(), p, nil, nil); err != nil || len(l.Rungs) != 1 || l.Unknown == "" {
		t.Errorf("without present parts: %v, %+v", err, l)
	}
	if _, err := NewLadder(t.Context(), p, &Settings{Keep: -1}, nil); err == nil {
		t.Error("fewer than no recipes is not refused")
	}
	if _, err := NewLadder(t.Context(), p, nil, func(context.Context, *Recipe) (float64, error) { return math.NaN(), nil }); err == nil {
		t.Error("a probability of NaN is not refused")
	}
	p.Limits.Knock = advance.Curve{}
	if _, err := NewLadder(t.Context(), p, nil, nil); err != nil {
		t.Error(err)
	}
}
