package design

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/bobweight/springs/valid"
)

const room = 293.15 // K

// shigley is the spring of Budynas and Nisbett, Shigley's Mechanical Engineering
// Design, Examples 10-6 and 10-7: 0.035 in hard-drawn wire, outside diameter
// 0.248 in, 12.17 body coils, 1.19 lbf wound in (from memory; the safety factors
// were read).
func shigley() Part {
	loop := Loop{Height: (0.213 - 0.035) * inch, Bend: 0.106 * inch, Twist: 0.089 * inch}
	return Part{
		Material:       hardDrawn(),
		Diameter:       0.035 * inch,
		MeanDiameter:   0.213 * inch,
		BodyCoils:      12.17,
		InitialTension: 1.19 * lbf,
		Loops:          [2]Loop{loop, loop},
	}
}

// demoPart is a light spring with unlike loops, one of them slotted.
func demoPart() Part {
	p := Part{
		Material:       MusicWire(),
		Diameter:       0.66e-3,
		MeanDiameter:   5.27e-3,
		BodyCoils:      10.25,
		InitialTension: 1.9,
		Loops:          [2]Loop{FullLoop(0.66e-3, 5.27e-3), {Height: 7.3e-3, Bend: 2.1e-3, Twist: 1.6e-3, Slot: 1.4e-3}},
	}
	return p
}

func TestExtensionSpringPublished(t *testing.T) {
	p := shigley()
	s, err := p.Spring(room)
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.Wire(room)
	if err != nil {
		t.Fatal(err)
	}
	stress, err := p.Stress(5.25 * lbf)
	if err != nil {
		t.Fatal(err)
	}
	static, err := p.Static(5.25 * lbf)
	if err != nil {
		t.Fatal(err)
	}
	fatigue, err := p.Fatigue(1.5*lbf, 5*lbf, Zimmerli(false), Gerber)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"active coils", w.ActiveCoils, 12.57, 0.005},
		// The book uses G = 11.6e6 psi, 0.03 % below the table's 80.0 GPa.
		{"rate, lbf/in", s.Rate * inch / lbf, 17.91, 0.005 + 0.0003*17.91},
		{"free length, in", s.FreeLength / inch, 0.817, 0.0005},
		{"body stress, kpsi", stress.Body / kpsi, 82.0, 0.05},
		{"hook bending, kpsi", stress.HookBending / kpsi, 156.9, 0.05},
		// The book rounds the factor to 1.18 before it multiplies: 0.3 %.
		{"hook torsion, kpsi", stress.HookTorsion / kpsi, 78.4, 0.003 * 78.4},
		// The book's A = 140 kpsi in^m is 0.1 % above its 1783 MPa mm^m.
		{"static, body", static.Body, 1.45, 0.005 + 0.001*1.45},
		{"static, hook bending", static.HookBending, 1.27, 0.005 + 0.001*1.27},
		{"static, hook torsion", static.HookTorsion, 1.35, 0.005 + 0.001*1.35},
		{"fatigue, body", fatigue.Safety.Body, 1.24, 0.005},
		{"yield, body", fatigue.Yield, 1.69, 0.005},
		{"fatigue, hook bending", fatigue.Safety.HookBending, 1.08, 0.005},
		// The same rounded factor: 1.30 against 1.292.
		{"fatigue, hook torsion", fatigue.Safety.HookTorsion, 1.30, 0.005 + 0.003*1.30},
	} {
		if !scalar.EqualWithinAbs(c.got, c.want, c.tol) {
			t.Errorf("%s: %.5g, published %v", c.name, c.got, c.want)
		}
	}
}

// Budynas and Nisbett, Example 10-4 (factors read, inputs from memory): 0.092 in
// music wire, 0.5625 in outside, 5 to 35 lbf, unpeened: Sines 1.18, Gerber 1.21,
// Goodman 1.23.
func TestFatigueCriteriaPublished(t *testing.T) {
	w := Wire{Diameter: 0.092 * inch, MeanDiameter: (0.5625 - 0.092) * inch}
	low, err := w.Torsion(5*lbf, Bergstrasser)
	if err != nil {
		t.Fatal(err)
	}
	high, err := w.Torsion(35*lbf, Bergstrasser)
	if err != nil {
		t.Fatal(err)
	}
	tensile, err := MusicWire().Tensile(w.Diameter)
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		c    Criterion
		want float64
	}{
		{Sines, 1.18}, {Gerber, 1.21}, {Goodman, 1.23},
	} {
		n, err := test.c.SafetyFactor((high-low)/2, (high+low)/2, Zimmerli(false), 0.67*tensile)
		if err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinAbs(n, test.want, 0.005) {
			t.Errorf("%v: %v, published %v", test.c, n, test.want)
		}
	}
}

// criteria are all there are.
var criteria = []Criterion{Gerber, Goodman, Sines}

// Every criterion gives 1 at the measured point, and only there along its ray;
// at n times the load the factor of safety is 1/n of it.
func TestFatiguePassesThroughData(t *testing.T) {
	for _, e := range []Endurance{Zimmerli(false), Zimmerli(true)} {
		for _, c := range criteria {
			for _, n := range []float64{0.3, 1, 2.7} {
				got, err := c.SafetyFactor(n*e.Alternating, n*e.Steady, e, 1300*mpa)
				if err != nil {
					t.Fatal(err)
				}
				if !scalar.EqualWithinRel(got, 1/n, 1e-12) {
					t.Errorf("%v at %v times the measured point: %v, want %v", c, n, got, 1/n)
				}
			}
		}
	}
}

// A spring that goes slack tires its hooks more, its coils no more, than one that
// comes back to its initial tension.
func TestFatigueOfSlackSpring(t *testing.T) {
	p := demoPart()
	slack, err := p.Fatigue(0, 6, Zimmerli(false), Gerber)
	if err != nil {
		t.Fatal(err)
	}
	closed, err := p.Fatigue(p.InitialTension, 6, Zimmerli(false), Gerber)
	if err != nil {
		t.Fatal(err)
	}
	if slack.Safety.Body != closed.Safety.Body || slack.Yield != closed.Yield {
		t.Errorf("coils: slack %+v, closed %+v", slack, closed)
	}
	if !(slack.Safety.HookBending < closed.Safety.HookBending && slack.Safety.HookTorsion < closed.Safety.HookTorsion) {
		t.Errorf("hooks: slack %+v, closed %+v", slack.Safety, closed.Safety)
	}
}

// Why a hook counts as G/(2E) of a turn: it is half a ring, bent by the pull
// through its centre with the moment F r sin t. Castigliano's theorem gives its
// stretch, the wire's twist that of a turn.
func TestHookIsPartOfATurn(t *testing.T) {
	p := demoPart()
	w, err := p.Wire(room)
	if err != nil {
		t.Fatal(err)
	}
	shear, young, err := p.Material.Elastic(p.Diameter, room)
	if err != nil {
		t.Fatal(err)
	}
	r, second := p.MeanDiameter/2, math.Pi*math.Pow(p.Diameter, 4)/64
	hook := quad.Fixed(func(angle float64) float64 {
		arm := r * math.Sin(angle)
		return arm * arm * r / (young * second)
	}, 0, math.Pi, 30, nil, 0)
	turn := 2 * math.Pi * r * r * r / (shear * 2 * second)
	if got, want := w.ActiveCoils-p.BodyCoils, 2*hook/turn; !scalar.EqualWithinRel(got, want, 1e-12) {
		t.Errorf("loops count as %v turns, by Castigliano %v", got, want)
	}
}

// Slack of the loops is the sum of their slots, and the body with its loops makes the free length.
func TestPartGeometry(t *testing.T) {
	p := demoPart()
	s, err := p.Spring(room)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinRel(s.Slack, 1.4e-3, 1e-14) {
		t.Errorf("slack %v m, want 1.4 mm", s.Slack)
	}
	if want := 11.25*0.66e-3 + (5.27e-3 - 0.66e-3) + 7.3e-3; !scalar.EqualWithinRel(s.FreeLength, want, 1e-14) {
		t.Errorf("free length %v m, want %v m", s.FreeLength, want)
	}
	// Shigley's Eq. 10-39: full loops at both ends, (2C - 1 + N) d.
	full := shigley()
	c := full.MeanDiameter / full.Diameter
	if got, want := full.freeLength(), (2*c-1+full.BodyCoils)*full.Diameter; !scalar.EqualWithinRel(got, want, 1e-13) {
		t.Errorf("free length with full loops %v m, want %v m", got, want)
	}
}

func TestModification(t *testing.T) {
	p := demoPart()
	before, err := p.Spring(room)
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.Wire(room)
	if err != nil {
		t.Fatal(err)
	}

	// Cutting coils: the part made anew and the law changed by hand agree.
	cut := p
	cut.BodyCoils -= 1.75
	made, err := cut.Spring(room)
	if err != nil {
		t.Fatal(err)
	}
	byLaw, err := before.CutCoils(w.ActiveCoils, 1.75, p.Diameter)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"rate", byLaw.Rate, made.Rate},
		{"free length", byLaw.FreeLength, made.FreeLength},
		{"initial tension", byLaw.InitialTension, made.InitialTension},
		{"rate times active coils", made.Rate * (w.ActiveCoils - 1.75), before.Rate * w.ActiveCoils},
	} {
		if !scalar.EqualWithinRel(v.got, v.want, 1e-13) {
			t.Errorf("coils cut off, %s: %v, want %v", v.name, v.got, v.want)
		}
	}

	// A loop bent 0.3 mm longer pulls as if the posts stood 0.3 mm closer.
	bent := before
	bent.FreeLength += 0.3e-3
	const length = 0.0265
	if got, want := bent.Tension(length), before.Tension(length-0.3e-3); !scalar.EqualWithinRel(got, want, 1e-12) {
		t.Errorf("loop bent: %v N, want %v N", got, want)
	}
}

func TestToleranceTables(t *testing.T) {
	for _, test := range []struct {
		mean, index, want float64 // mm
	}{
		{0.63, 4, 0.07}, {6.3, 8, 0.20}, {6.31, 8.01, 0.30}, {12, 15, 0.40}, {25, 20, 0.50},
	} {
		got, err := diameterTolerance(test.mean*1e-3, test.index)
		if err != nil || !scalar.EqualWithinRel(got, test.want*1e-3, 1e-12) {
			t.Errorf("mean %v mm, index %v: %v m (%v), table %v mm", test.mean, test.index, got, err, test.want)
		}
	}
	for _, test := range []struct {
		free, index, want float64 // mm
	}{
		{9, 5, 0.40}, {10, 5, 0.40}, {18, 9, 0.70}, {160, 8, 2.00},
	} {
		got, err := lengthTolerance(test.free*1e-3, test.index)
		if err != nil || !scalar.EqualWithinRel(got, test.want*1e-3, 1e-12) {
			t.Errorf("free length %v mm, index %v: %v m (%v), table %v mm", test.free, test.index, got, err, test.want)
		}
	}
	for _, test := range []struct {
		index, ratio, wire, want float64 // wire in, per cent
	}{
		{4, 12, 0.022, 18.5}, {4, 4.5, 0.032, 14.1}, {6, 6, 0.032, 12.9}, {8, 2.5, 0.044, 8.8}, {8, 12, 0.092, 12.0}, {10, 8, 0.015, 14.2},
		{5, 12, 0.022, (18.5 + 15.5) / 2}, {4, 5.25, 0.032, (14.1 + 15.5) / 2},
	} {
		got, err := LoadTolerance(test.index, test.ratio, test.wire*inch)
		if err != nil || !scalar.EqualWithinRel(got, test.want/100, 1e-12) {
			t.Errorf("index %v, ratio %v, wire %v in: %v (%v), table %v %%", test.index, test.ratio, test.wire, got, err, test.want)
		}
	}
}

func TestRefusedParts(t *testing.T) {
	nan := math.NaN()
	for name, change := range map[string]func(*Part){
		"zero value":          func(p *Part) { *p = Part{} },
		"no material":         func(p *Part) { p.Material = Material{} },
		"no wire":             func(p *Part) { p.Diameter = 0 },
		"no turns":            func(p *Part) { p.BodyCoils = 0 },
		"tension not a sum":   func(p *Part) { p.InitialTension = nan },
		"loop without height": func(p *Part) { p.Loops[1].Height = 0 },
		"loop too tight":      func(p *Part) { p.Loops[0].Bend = p.Diameter / 2 },
		"twist too tight":     func(p *Part) { p.Loops[0].Twist = nan },
		"negative slot":       func(p *Part) { p.Loops[0].Slot = -1e-3 },
		"wire off the table": func(p *Part) {
			p.Diameter, p.MeanDiameter = 0.02, 0.2
			p.Loops[0], p.Loops[1] = FullLoop(0.02, 0.2), FullLoop(0.02, 0.2)
		},
	} {
		p := demoPart()
		change(&p)
		calls := map[string]func() error{
			"Static":  func() error { _, err := p.Static(3); return err },
			"Fatigue": func() error { _, err := p.Fatigue(3, 6, Zimmerli(false), Gerber); return err },
		}
		if name != "wire off the table" {
			calls["Spring"] = func() error { _, err := p.Spring(room); return err }
			calls["Wire"] = func() error { _, err := p.Wire(room); return err }
			calls["Stress"] = func() error { _, err := p.Stress(3); return err }
		}
		for call, f := range calls {
			if err := f(); !errors.Is(err, valid.ErrRange) {
				t.Errorf("%s: %s gave %v", name, call, err)
			}
		}
	}

	p := demoPart()
	for name, f := range map[string]func() error{
		"no force":                 func() error { _, err := p.Static(0); return err },
		"negative stress force":    func() error { _, err := p.Stress(-1); return err },
		"too cold":                 func() error { _, err := p.Spring(100); return err },
		"low above high":           func() error { _, err := p.Fatigue(6, 3, Zimmerli(false), Gerber); return err },
		"high within initial":      func() error { _, err := p.Fatigue(1, 1.5, Zimmerli(false), Gerber); return err },
		"low force negative":       func() error { _, err := p.Fatigue(-1, 3, Zimmerli(false), Gerber); return err },
		"unknown criterion":        func() error { _, err := p.Fatigue(3, 6, Zimmerli(false), ""); return err },
		"no endurance":             func() error { _, err := p.Fatigue(3, 6, Endurance{}, Gerber); return err },
		"steady above strength":    func() error { _, err := Gerber.SafetyFactor(1e8, 1e8, Zimmerli(false), 3e8); return err },
		"no alternating":           func() error { _, err := Gerber.SafetyFactor(0, 1e8, Zimmerli(false), 1e9); return err },
		"diameter off the table":   func() error { _, _, err := Tolerances(0.1, 0.02, 8); return err },
		"diameter below the table": func() error { _, _, err := Tolerances(0.5e-3, 0.02, 8); return err },
		"diameter, index 3":        func() error { _, _, err := Tolerances(5e-3, 0.02, 3); return err },
		"length off the table":     func() error { _, _, err := Tolerances(5e-3, 0.2, 8); return err },
		"load, index 12":           func() error { _, err := LoadTolerance(12, 4, 1e-3); return err },
		"load, index 9 and short":  func() error { _, err := LoadTolerance(9, 2, 1e-3); return err },
		"load, long deflection":    func() error { _, err := LoadTolerance(6, 0.1, 1e-3); return err },
		"load, thick wire":         func() error { _, err := LoadTolerance(6, 4, 5e-3); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
