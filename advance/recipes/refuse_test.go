package recipes

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// manyTakeUps fills the drawer with springs that are all taken up elsewhere, each
// adding two points to the row of every other.
func manyTakeUps(p *Problem) {
	for i := range 4200 {
		s := p.Drawer.Springs[0]
		s.Spring.Slack = 0.002 + 0.006*float64(i)/4200
		p.Drawer.Springs = append(p.Drawer.Springs, s)
	}
}

// Every bad field is refused by name, by the package that owns it.
func TestProblemRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		spoil func(p *Problem)
		err   error
		says  string
	}{
		"drive":           {func(p *Problem) { p.Drive = 0 }, valid.ErrRange, "drive ratio"},
		"no positions":    {func(p *Problem) { p.Positions = nil }, errRange, "positions"},
		"seven positions": {func(p *Problem) { p.Positions = make([]Position, 7) }, errRange, "positions"},
		"no posts":        {func(p *Problem) { p.Positions[1].Posts = nil }, errRange, "posts"},
		"no springs":      {func(p *Problem) { p.Drawer.Springs = nil }, errRange, "drawer"},
		"no weights":      {func(p *Problem) { p.Drawer.Weights = nil }, errRange, "drawer"},
		"empty set":       {func(p *Problem) { p.Drawer.Weights[0].Weights = nil }, errRange, "set is empty"},
		"spring":          {func(p *Problem) { p.Drawer.Springs[2].Spring.Rate = nan }, valid.ErrRange, "spring 3 (coil 3)"},
		"count":           {func(p *Problem) { p.Drawer.Springs[0].Count = 0 }, errRange, "count"},
		"largest tension": {func(p *Problem) { p.Drawer.Springs[0].MaxTension = -1 }, errRange, "largest tension"},
		"rate sigma":      {func(p *Problem) { p.Drawer.Springs[0].RateSigma = nan }, errRange, "rate sigma"},
		"mass sigma":      {func(p *Problem) { p.Drawer.Weights[0].MassSigma = 2 }, errRange, "mass sigma"},
		"travel":          {func(p *Problem) { p.Travel.Low = 0 }, errRange, "travel low"},
		"travel order":    {func(p *Problem) { p.Travel.High = 10 }, errRange, "travel high"},
		"travel step":     {func(p *Problem) { p.Travel.Step = nan }, errRange, "travel step"},
		"settings":        {func(p *Problem) { p.Static.Step = 1e-7 }, errRange, "static timing settings"},
		"pairs":           {func(p *Problem) { p.Static.Step, p.Travel.Step = 1e-3, 1e-3 }, errRange, "travel times static settings"},
		"take-ups":        {manyTakeUps, errRange, "places of take-up"},
		"static":          {func(p *Problem) { p.Static.Low = -inf }, errRange, "static timing low"},
		"idle":            {func(p *Problem) { p.Idle = nan }, errRange, "idle speed"},
		"no target":       {func(p *Problem) { p.Target = Target{} }, errRange, "neither MBT nor a band"},
		"band":            {func(p *Problem) { p.Target.Band = []BandPoint{{1000, 20, 10}} }, errRange, "band point 1 high"},
		"loss":            {func(p *Problem) { p.Target.Loss = []LossRow{{RPM: nan}} }, errRange, "loss row 1 speed"},
		"knock margin":    {func(p *Problem) { p.Limits.KnockMargin = nan }, errRange, "knock margin"},
		"knock speed": {func(p *Problem) {
			p.Limits.Knock = literal([]advance.Point{{RPM: 1, Degrees: 9}, {RPM: 1e12, Degrees: 9}})
		}, errRange, "knock limit point 2 speed"},
		"MBT degrees":      {func(p *Problem) { p.Target.MBT = literal([]advance.Point{{RPM: 1, Degrees: 1e300}}) }, errRange, "MBT point 1"},
		"knock spacing":    {func(p *Problem) { p.Limits.KnockEvery = 1 }, errRange, "knock limit spacing"},
		"start margin":     {func(p *Problem) { p.Limits.StartMargin = -5 }, errRange, "start margin"},
		"all-in":           {func(p *Problem) { p.Limits.AllIn = Window{3000, 2000} }, errRange, "all-in window high"},
		"total":            {func(p *Problem) { p.Limits.Total = Window{nan, 0} }, errRange, "total window"},
		"driving":          {func(p *Problem) { p.Limits.Driving = Window{0, inf} }, errRange, "driving range"},
		"present":          {func(p *Problem) { p.Present = &Choice{} }, errRange, "present parts"},
		"present spring":   {func(p *Problem) { p.Present = &Choice{[]int{0, 99}, []int{0, 0}, 0} }, errRange, "spring 99"},
		"stop":             {func(p *Problem) { p.Mechanism.Stop = 0 }, errRange, "stop"},
		"stop too short":   {func(p *Problem) { p.Mechanism.Stop = 0.2 }, errRange, "what Stop allows"},
		"linkage":          {func(p *Problem) { p.Mechanism.Linkage = nil }, errRange, "linkage"},
		"friction":         {func(p *Problem) { p.Mechanism.Friction.Proportion = 2 }, valid.ErrRange, "friction"},
		"weights inwards":  {func(p *Problem) { p.Drawer.Weights[1].Weights[0].Mass = -1 }, nil, "weight"},
		"anchor":           {func(p *Problem) { p.Positions[0].Posts[0].A.Point.X = nan }, valid.ErrRange, "anchor"},
		"hooks at one pin": {func(p *Problem) { p.Positions[0].Posts[0].B = p.Positions[0].Posts[0].A }, nil, "position 1 (left)"},
		"all needs a file": {func(p *Problem) { p.Slot.Length = 0.007 }, errRange, "filing"},
	} {
		p := shop(6, 2)
		c.spoil(p)
		_, err := Search(t.Context(), p, nil)
		if err == nil || c.err != nil && !errors.Is(err, c.err) || !strings.Contains(fmt.Sprint(err), c.says) {
			t.Errorf("%s: got %v, want %v with %q", name, err, c.err, c.says)
		}
	}
	if _, err := Search(t.Context(), nil, nil); !errors.Is(err, errRange) {
		t.Errorf("nil problem: got %v, want ErrRange", err)
	}
	for name, s := range map[string]*Settings{"keep": {Keep: -1}, "grid": {Grid: 3}, "workers": {Workers: -1}} {
		if _, err := Search(t.Context(), shop(6, 2), s); !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
}

func TestRecipesRefuse(t *testing.T) {
	p := shop(6, 2)
	good := Choice{Springs: []int{0, 1}, Posts: []int{0, 0}}
	for name, f := range map[string]func() error{
		"Evaluate NaN static": func() error { _, _, err := p.Evaluate(good, math.NaN(), 20); return err },
		"Evaluate travel":     func() error { _, _, err := p.Evaluate(good, 10, 99); return err },
		"Evaluate NaN travel": func() error { _, _, err := p.Evaluate(good, 10, math.NaN()); return err },
		"Evaluate parts":      func() error { _, _, err := p.Evaluate(Choice{}, 10, 20); return err },
		"Evaluate post":       func() error { _, _, err := p.Evaluate(Choice{[]int{0, 1}, []int{0, 7}, 0}, 10, 20); return err },
		"Evaluate weights":    func() error { _, _, err := p.Evaluate(Choice{[]int{0, 1}, []int{0, 0}, 9}, 10, 20); return err },
		"empty At":            func() error { _, err := new(Recipe).At(1000, flyweights.Rising); return err },
		"empty Tolerance":     func() error { _, err := p.Tolerance(t.Context(), new(Recipe), nil); return err },
		"empty Judge":         func() error { _, err := p.Judge(new(Recipe), &Limits{}); return err },
		"empty MarginTo":      func() error { _, _, err := new(Recipe).MarginTo(p.Limits.Knock); return err },
	} {
		if err := f(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	p = shop(12, 2)
	r := named(t, p, 10, 20)
	if _, err := r.At(math.NaN(), flyweights.Rising); !errors.Is(err, errRange) {
		t.Errorf("At NaN: got %v, want ErrRange", err)
	}
	for name, s := range map[string]*Scatter{
		"static": {Static: -1}, "light": {Light: math.NaN()}, "slot": {Slot: 1}, "friction": {Friction: 2},
		"samples": {Samples: -1}, "speeds": {RPM: []float64{2000, 1000}}, "speed": {RPM: []float64{math.NaN()}},
	} {
		if _, err := p.Tolerance(t.Context(), r, s); !errors.Is(err, errRange) {
			t.Errorf("scatter %s: got %v, want ErrRange", name, err)
		}
	}
}

// Whatever stands in the fields, a search ends with recipes of finite numbers or
// with an error.
func FuzzSearch(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.4, 0.002, 1200.0, 0.018, 0.3, 0.0, 0.02, 20.0, 10.0, 700.0, 1e-3)
	f.Add(0.1, 0.0, 1e9, 1e-6, 100.0, 0.01, -0.02, 3.0, -20.0, 0.0, 0.0)
	f.Add(3.0, 10.0, 1e-9, 1.0, 0.0, 0.0, 0.0, 100.0, 60.0, 29000.0, 100.0)
	f.Fuzz(func(t *testing.T, stop, drag, rate, free, initial, slack, pivot, travel, static, idle, friction float64) {
		p := shop(4, 2)
		p.Mechanism.Stop, p.Mechanism.Drag, p.Mechanism.Friction.Moment = stop, drag, friction
		p.Drawer.Springs[1].Spring = spring(rate, free, initial, slack)
		p.Drawer.Weights[1].Weights[0].Pivot = r2.Vec{X: pivot}
		p.Travel, p.Static, p.Idle = Span{travel, travel + 2, 1}, Span{static, static + 3, 1}, idle
		p.Slot = flyweights.Slot{}
		p.Limits = Limits{Snap: true, AdvanceAtIdle: true}
		r, err := Search(t.Context(), p, &Settings{Keep: 3, Workers: 1})
		if err != nil {
			return
		}
		for _, x := range r.Recipes {
			for _, v := range []float64{x.Static, x.Travel, x.Total, x.Start, x.Return, x.AllIn, x.TorqueGivenUp, x.Deviation, x.points[0].Rising, x.points[0].Falling} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("recipe %+v holds %v", x.Choice, v)
				}
			}
		}
	})
}
