package recipes

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
)

// hostile is a float that nobody should hand over, or one next to what is there.
func hostile(rng *rand.Rand, x float64) float64 {
	list := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), 5e-324, 1e-300, 1e-12, 1, -1, 1e9, 1e300, math.MaxFloat64, -math.MaxFloat64,
		x * (1 + 1e-15), x * 1e3, x * 1e-3, -x, x + 1}
	return list[rng.IntN(len(list))]
}

// spoil changes about one number in rare of a value, wherever it stands.
func spoil(rng *rand.Rand, v reflect.Value, rare int) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			spoil(rng, v.Elem(), rare)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				spoil(rng, v.Field(i), rare)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			spoil(rng, v.Index(i), rare)
		}
		if v.Kind() == reflect.Slice && v.Len() > 0 && rng.IntN(4*rare) == 0 {
			v.Set(v.Slice(0, rng.IntN(v.Len())))
		}
	case reflect.Float64:
		if rng.IntN(rare) == 0 {
			v.SetFloat(hostile(rng, v.Float()))
		}
	case reflect.Int:
		if rng.IntN(rare) == 0 {
			v.SetInt([]int64{-1, 0, 1, 2, 7, math.MaxInt64, math.MinInt64}[rng.IntN(7)])
		}
	case reflect.Bool:
		if rng.IntN(rare) == 0 {
			v.SetBool(!v.Bool())
		}
	}
}

// spoiled is a small problem with some of its numbers spoiled.
func spoiled(t *testing.T, seed uint64, rare int) *Problem {
	rng := rand.New(rand.NewPCG(seed, 99))
	p := shop(4, 2)
	vary(p, seed%32)
	p.SlotStep, p.LeastClosing = 2e-4, 3e-4
	if rng.IntN(4) == 0 {
		plain := shop(4, 2)
		p = asShares(t, plain)
		for range rng.IntN(3) {
			p.ShareDraws = append(p.ShareDraws, *p.Shares)
		}
	}
	spoil(rng, reflect.ValueOf(p), rare)
	curve := func(c *advance.Curve) {
		points := c.Points()
		spoil(rng, reflect.ValueOf(&points), rare)
		if made, err := advance.NewCurve(points); err == nil {
			*c = made
		}
	}
	curve(&p.Target.MBT)
	curve(&p.Limits.Knock)
	if rng.IntN(rare) == 0 {
		p.Mechanism.Linkage = []flyweights.Linkage{nil, flyweights.Ratio{K: hostile(rng, 0.6)}}[rng.IntN(2)]
	}
	if rng.IntN(rare) == 0 {
		p.Target.Loss = table()
		spoil(rng, reflect.ValueOf(&p.Target.Loss), rare)
	}
	return p
}

// sound refuses a result that holds NaN or an infinity, or does not encode.
func sound(t *testing.T, name string, result any, err error) {
	t.Helper()
	if err != nil {
		if strings.Contains(err.Error(), "%!") {
			t.Fatalf("%s: %v", name, err)
		}
		if !errors.Is(err, ErrNoRecipe) {
			return
		}
	}
	if _, bad := json.Marshal(result); bad != nil {
		t.Fatalf("%s: %v", name, bad)
	}
	_ = fmt.Sprint(result)
}

// exercise drives the package's exported functions with one problem.
func exercise(t *testing.T, p *Problem, seed uint64) {
	rng := rand.New(rand.NewPCG(seed, 7))
	if p.check() == nil && float64(len(p.travels()))*float64(p.Static.count()) > 20_000 {
		return // right, but slow
	}
	ctx := context.Background()
	s := &Settings{Keep: 3, Workers: 1, BandFirst: rng.IntN(4) == 0, NoReasons: rng.IntN(8) > 0}
	found, err := Search(ctx, p, s)
	sound(t, "Search", found, err)
	choice := Choice{Springs: make([]int, len(p.Positions)), Posts: make([]int, len(p.Positions))}
	for i := range choice.Springs {
		choice.Springs[i] = rng.IntN(6) - 1
	}
	static, travel := 10.0, 20.0
	if rng.IntN(3) == 0 {
		static, travel = hostile(rng, static), hostile(rng, travel)
	}
	r, breaches, err := p.Evaluate(choice, static, travel)
	sound(t, "Evaluate", r, err)
	for _, b := range breaches {
		_ = b.String()
	}
	if found != nil && len(found.Recipes) > 0 {
		r = &found.Recipes[0]
	}
	limits := p.Limits
	spoil(rng, reflect.ValueOf(&limits), 8)
	breaches, err = p.Judge(r, &limits)
	sound(t, "Judge", breaches, err)
	scatter := DefaultScatter()
	scatter.Samples, scatter.Workers = 40, 1
	if rng.IntN(3) == 0 {
		spoil(rng, reflect.ValueOf(scatter), 4)
		scatter.Samples, scatter.Workers = min(scatter.Samples, 100), 1
	}
	tol, err := p.Tolerance(ctx, r, scatter)
	sound(t, "Tolerance", tol, err)
	probability, err := p.JointProbability(ctx, r, scatter)
	sound(t, "JointProbability", probability, err)
	if r != nil {
		margin, rpm, err := r.MarginTo(limits.Knock)
		sound(t, "MarginTo", []float64{margin, rpm}, err)
		at, err := r.At(hostile(rng, 2000), flyweights.Direction(rng.IntN(4)-1))
		sound(t, "At", at, err)
	}
	ladder, err := NewLadder(ctx, p, s, func(context.Context, *Recipe) (float64, error) { return 0.5, nil })
	sound(t, "NewLadder", ladder, err)
	first, _, err := p.Reconsider(ctx, r, s)
	sound(t, "Reconsider", first, err)
	_ = Effort{Springs: rng.IntN(2) == 0, Slot: rng.IntN(2) == 0, Weights: rng.IntN(2) == 0}.String()
}

// FuzzProblem drives every exported function with problems from valid to hostile: no
// panic, no NaN or infinity without an error, and whatever is returned encodes.
func FuzzProblem(tf *testing.F) {
	f := fuzzing.New(tf)
	for seed := range uint64(24) {
		f.Add(seed, uint8(seed*5))
	}
	f.Fuzz(func(t *testing.T, seed uint64, rare uint8) {
		exercise(t, spoiled(t, seed, 2+int(rare)), seed)
	})
}

// Numbers that once led into loops without end, or out of them with NaN, end with an
// error or an answer.
func TestHostileNumbersEnd(t *testing.T) {
	for name, change := range map[string]func(p *Problem){
		"slot of a giant radius": func(p *Problem) { p.SlotStep, p.Slot.Radius = 1e-4, 1e300 },
		"slot of no radius":      func(p *Problem) { p.Slot.Radius = 5e-324 },
		"knock points as near as rounding": func(p *Problem) {
			p.Limits.Knock = literal([]advance.Point{{RPM: 2000, Degrees: 30}, {RPM: 2000 * (1 + 2e-16), Degrees: 60}, {RPM: 4000, Degrees: 61}})
		},
	} {
		p := shop(5, 1)
		change(p)
		found, err := Search(t.Context(), p, nil)
		sound(t, name, found, err)
		r, _, err := p.Evaluate(Choice{Springs: []int{0, 1}, Posts: []int{0, 0}}, 10, 20)
		sound(t, name, r, err)
		if err != nil {
			continue
		}
		tol, err := p.Tolerance(t.Context(), r, &Scatter{Samples: 50, Slot: 0.01})
		sound(t, name, tol, err)
	}
}

// Ladder, list and tolerance are the same to the last bit whatever GOMAXPROCS is.
func TestSameBitsForAnyGOMAXPROCS(t *testing.T) {
	p := withParts(14)
	all := func() string {
		l, err := NewLadder(t.Context(), p, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		found := search(t, p, nil)
		tol := tolerance(t, p, &found.Recipes[0], &Scatter{Samples: 3000, Static: 0.5})
		text, err := json.Marshal([]any{l, found.Recipes, tol})
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	want := all()
	for _, n := range []int{2, 8} {
		runtime.GOMAXPROCS(n)
		if got := all(); got != want {
			t.Errorf("with GOMAXPROCS %d the answer is another", n)
		}
	}
}

// Nothing is refused with a sentence, not with a panic.
func TestNilIsRefused(t *testing.T) {
	ctx := t.Context()
	var p *Problem
	var r *Recipe
	for name, call := range map[string]func() error{
		"Search":           func() error { _, err := Search(ctx, p, nil); return err },
		"NewLadder":        func() error { _, err := NewLadder(ctx, p, nil, nil); return err },
		"Evaluate":         func() error { _, _, err := p.Evaluate(Choice{}, 0, 0); return err },
		"Judge":            func() error { _, err := p.Judge(r, nil); return err },
		"Tolerance":        func() error { _, err := p.Tolerance(ctx, r, nil); return err },
		"JointProbability": func() error { _, err := p.JointProbability(ctx, r, nil); return err },
		"Reconsider":       func() error { _, _, err := p.Reconsider(ctx, r, nil); return err },
		"Estimate":         func() error { _, _, err := p.Estimate(nil); return err },
		"At":               func() error { _, err := r.At(1000, flyweights.Rising); return err },
		"MarginTo":         func() error { _, _, err := r.MarginTo(advance.Curve{}); return err },
	} {
		if err := call(); !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
}
