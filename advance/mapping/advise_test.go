package mapping

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/vacuum"

	"example.org/bobweight/springs/valid"
)

const inHg = vacuum.InchOfMercury

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %.3g", what, got, want, tol)
	}
}

func unit() vacuum.Unit {
	return vacuum.Unit{Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3, ArmRadius: 32e-3, Friction: 0.3}
}

func situation() Situation {
	return Situation{
		Unit: unit(), Drive: advance.FourStroke,
		IdleVacuum: 17 * inHg, CruiseVacuum: 15 * inHg,
		Static: 12, MechanicalCruise: 22, WantedCruise: 46, WantedIdle: 22,
	}
}

func advise(t *testing.T, change func(*Situation)) *Advice {
	t.Helper()
	s := situation()
	change(&s)
	a, err := Advise(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []Window{a.Idle, a.Cruise} {
		if !(w.Low < w.Degrees && w.Degrees < w.High) {
			t.Errorf("window %+v", w)
		}
	}
	return a
}

// The idle is steady where the unit is fully pulled with margin or not at all.
func TestSourceFollowsTheIdle(t *testing.T) {
	for _, c := range []struct {
		idle   float64 // inHg
		wish   float64
		source vacuum.Source
		pull   string
	}{
		{17, 22, vacuum.FromManifold, pulledFully},
		{17, 12, vacuum.FromPort, pulledFully},
		{17, 0, vacuum.FromPort, pulledFully},
		{12.5, 22, vacuum.FromManifold, pulledFully},
		{12, 22, vacuum.FromPort, pulledPartly}, // full at 10.6 inHg, but not with 1.5 to spare
		{9, 22, vacuum.FromPort, pulledPartly},
		{4, 22, vacuum.FromPort, pulledNot},
	} {
		a := advise(t, func(s *Situation) { s.IdleVacuum, s.WantedIdle = c.idle*inHg, c.wish })
		if a.Source != c.source || a.AtIdle != c.pull || a.Why == "" {
			t.Errorf("idle %g inHg, wish %g: %v, %v (%s)", c.idle, c.wish, a.Source, a.AtIdle, a.Why)
		}
		if a.Source == vacuum.FromPort {
			near(t, "idle on the ported source", a.Idle.Degrees, 12, 0)
		} else {
			near(t, "idle on the manifold", a.Idle.Degrees, 24, 1e-9)
		}
	}
}

func TestLimiterMakesTheCruiseTotal(t *testing.T) {
	a := advise(t, func(*Situation) {})
	near(t, "limiter", a.Degrees, 46-12-22, 1e-9)
	near(t, "limited unit", advance.FourStroke.CrankDegrees(a.Unit.Most()), a.Degrees, 1e-9)
	near(t, "cruise", a.Cruise.Degrees, 46, 1e-9)
	near(t, "short", a.Deficit, 0, 1e-9)

	a = advise(t, func(s *Situation) { s.WantedCruise = 80 }) // more than stroke and arm give
	stroke := unit()
	stroke.Travel = stroke.Stroke
	near(t, "limiter at the stroke", a.Degrees, advance.FourStroke.CrankDegrees(stroke.Most()), 1e-9)
	if !(a.Deficit > 0) || len(a.Notes) == 0 {
		t.Errorf("short by %g deg, notes %q", a.Deficit, a.Notes)
	}

	a = advise(t, func(s *Situation) { s.WantedCruise = 30 }) // none wanted
	if a.Degrees != 0 || a.Source != vacuum.FromPort || !strings.Contains(strings.Join(a.Sentences(), "\n"), "plugged") {
		t.Errorf("%+v", a)
	}
	near(t, "cruise without vacuum", a.Cruise.Degrees, 34, 0)

	a = advise(t, func(s *Situation) { s.CruiseVacuum = 9 * inHg })
	if a.AtDrive != pulledPartly || !strings.Contains(strings.Join(a.Notes, "\n"), "Slacken the spring until") {
		t.Errorf("%v, notes %q", a.AtDrive, a.Notes)
	}
	// The same with an adjuster: the full pull has to come down to 7.5 inHg, by so
	// much preload over rate and pitch.
	turns := (a.Unit.Full() - 7.5*inHg) * a.Unit.Area / (a.Unit.Rate * 0.5e-3)
	a = advise(t, func(s *Situation) {
		s.CruiseVacuum, s.Screw = 9*inHg, vacuum.Adjuster{Pitch: 0.5e-3, Out: 6, In: 6}
	})
	if want := fmt.Sprintf("7.5 inHg, %.1f turns", turns); !strings.Contains(strings.Join(a.Notes, "\n"), want) {
		t.Errorf("notes %q, want %q", a.Notes, want)
	}
	a = advise(t, func(s *Situation) {
		s.CruiseVacuum, s.Screw = 9*inHg, vacuum.Adjuster{Pitch: 0.5e-3, Out: 1, In: 6}
	})
	if !strings.Contains(strings.Join(a.Notes, "\n"), "does not reach") {
		t.Errorf("notes %q", a.Notes)
	}
	a = advise(t, func(s *Situation) { s.CruiseVacuum = 3 * inHg })
	if a.AtDrive != pulledNot || len(a.Notes) == 0 {
		t.Errorf("%v, notes %q", a.AtDrive, a.Notes)
	}
	a = advise(t, func(s *Situation) { s.CruiseVacuum, s.Unit.Rate = 9*inHg, 40000 })
	if a.AtDrive != pulledPartly || !strings.Contains(strings.Join(a.Notes, "\n"), "softer") {
		t.Errorf("%v, notes %q", a.AtDrive, a.Notes)
	}
	a = advise(t, func(s *Situation) { s.Unit.Friction = 25 })
	if !strings.Contains(strings.Join(a.Notes, "\n"), "friction holds") {
		t.Errorf("notes %q", a.Notes)
	}
}

func TestBadSituationsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Situation){
		"empty":                  func(s *Situation) { *s = Situation{} },
		"no drive":               func(s *Situation) { s.Drive = 0 },
		"idle above atmosphere":  func(s *Situation) { s.IdleVacuum = -1 },
		"cruise not a number":    func(s *Situation) { s.CruiseVacuum = math.NaN() },
		"endless scatter":        func(s *Situation) { s.Scatter = math.Inf(1) },
		"static out of range":    func(s *Situation) { s.Static = 100 },
		"mechanical negative":    func(s *Situation) { s.MechanicalIdle = -40 },
		"wanted out of range":    func(s *Situation) { s.WantedCruise = 500 },
		"limiter beyond stroke":  func(s *Situation) { s.Unit.Travel = 7e-3 },
		"margin":                 func(s *Situation) { s.Margin = 50 },
		"speed of light load":    func(s *Situation) { s.Light = []LightLoad{{}} },
		"MBT not a number":       func(s *Situation) { s.Light = []LightLoad{{RPM: 2000, Requirement: Requirement{MBT: math.NaN()}}} },
		"vacuum deeper than air": func(s *Situation) { s.IdleVacuum = 40 * inHg },
	} {
		s := situation()
		spoil(&s)
		a, err := Advise(s)
		if a != nil || !(errors.Is(err, errRange) || errors.Is(err, valid.ErrRange) || errors.Is(err, valid.ErrRange)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The largest total at any light-load speed, and a limiter that follows the worst: a
// unit that is right at the cruise is not good at a speed where the weights are out.
func TestLimiterFollowsTheWorstSpeed(t *testing.T) {
	light := func(mbt, klsa float64) []LightLoad {
		out := []LightLoad{{RPM: 1500, Mechanical: 10, Requirement: Requirement{MBT: 38}}}
		return append(out, LightLoad{RPM: 3000, Mechanical: 30, Requirement: Requirement{MBT: mbt, KnockLimited: klsa != 0, KLSA: klsa}})
	}
	a := advise(t, func(s *Situation) { s.Light = light(44, 0) })
	near(t, "limiter", a.Degrees, 44+4-12-30, 1e-9) // the flat top of best torque
	near(t, "deficit at cruise", a.Deficit, 46-12-22-6, 1e-9)
	if a.SizedBy != 3000 || !strings.Contains(strings.Join(a.Notes, "\n"), "follows the worst speed") || !strings.Contains(strings.Join(a.Notes, "\n"), "6.0 deg below the 46.0 deg wanted") {
		t.Errorf("%+v", a)
	}
	near(t, "largest", a.Largest, 48, 1e-9)
	a = advise(t, func(s *Situation) { s.Light, s.Margin = light(44, 46), 2 })
	near(t, "limiter by knock", a.Degrees, 46-2-12-30, 1e-9)
	// No room at all: the hose stays off, and that is said.
	a = advise(t, func(s *Situation) { s.Light = light(38, 0) })
	if a.Degrees != 0 || !strings.Contains(strings.Join(a.Notes, "\n"), "leave the hose off") {
		t.Errorf("%+v", a)
	}
	// Without a requirement the speed still counts for the largest total: 12 + 30 + 12.
	a = advise(t, func(s *Situation) { s.Light = light(0, 0)[1:] })
	near(t, "largest", a.Largest, 54, 1e-9)
	if a.LargestRPM != 3000 || a.SizedBy != 0 || len(a.Warnings) != 1 || !strings.Contains(a.Warnings[0], "54.0 deg at 3000 rpm") {
		t.Errorf("%+v", a)
	}
	a = advise(t, func(s *Situation) { s.Light = []LightLoad{{RPM: 3200, Mechanical: 35}} })
	if len(a.Warnings) != 1 || !strings.Contains(a.Warnings[0], "above the usual 50 to 54") {
		t.Errorf("%q", a.Warnings)
	}
	if a = advise(t, func(*Situation) {}); len(a.Warnings) != 0 || a.LargestRPM != 0 {
		t.Errorf("%+v", a)
	}
}

// No spring setting begins its ramp at heavy load.
func TestNoRampAtHeavyLoad(t *testing.T) {
	for heavy := 1.0; heavy <= 6; heavy += 0.25 {
		for cruise := 6.0; cruise <= 14; cruise += 0.25 {
			a := advise(t, func(s *Situation) { s.HeavyVacuum, s.CruiseVacuum = heavy*inHg, cruise*inHg })
			onset := cruise*inHg - 1.5*inHg - (a.Unit.Full() - a.Unit.Onset())
			slacken := strings.Contains(strings.Join(a.Notes, "\n"), "Slacken the spring")
			if a.AtDrive != pulledFully && slacken != (onset >= heavy*inHg-1) {
				t.Errorf("heavy load %g, cruise %g inHg, begins at %g: %q", heavy, cruise, onset/inHg, a.Notes)
			}
		}
	}
	// A unit that pulls there as it is: warned of, with its friction against it.
	a := advise(t, func(s *Situation) { s.Unit.Preload, s.Unit.Friction = 4, 0 })
	want, err := a.Unit.Advance(2.5 * inHg)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "advance at heavy load", a.Heavy, advance.FourStroke.CrankDegrees(want), 1e-9)
	if len(a.Warnings) != 1 || !strings.Contains(a.Warnings[0], "heavy load") {
		t.Errorf("%q", a.Warnings)
	}
}

// A wish for idle is answered whatever becomes of it.
func TestIdleWishIsAnswered(t *testing.T) {
	for wish := 4.0; wish <= 40; wish++ {
		for idle := 2.0; idle <= 20; idle++ {
			for _, cruise := range []float64{30, 46, 80} {
				a := advise(t, func(s *Situation) { s.WantedIdle, s.IdleVacuum, s.WantedCruise = wish, idle*inHg, cruise })
				near(t, "deficit", a.IdleDeficit, wish-a.Idle.Degrees, 1e-12)
				said := strings.Contains(strings.Join(a.Notes, "\n"), "are wanted:")
				if said != (math.Abs(a.IdleDeficit) > 2) {
					t.Errorf("wish %g at %g inHg: deficit %g, notes %q", wish, idle, a.IdleDeficit, a.Notes)
				}
			}
		}
	}
}

// A unit known by a hand pump: no millimetres, and margins as wide as its intervals.
func TestAdviceOnAPumpedUnit(t *testing.T) {
	u, err := (&vacuum.Identification{
		Onset: vacuum.PumpEstimate{Value: 6 * inHg}, Full: vacuum.PumpEstimate{Value: 10.6 * inHg},
		Most: vacuum.PumpEstimate{Value: 8 * math.Pi / 180},
	}).Unit(0)
	if err != nil {
		t.Fatal(err)
	}
	a := advise(t, func(s *Situation) { s.Unit = u })
	if text := strings.Join(a.Sentences(), "\n"); strings.Contains(text, "mm") || !strings.Contains(text, "12.0 deg crank;") {
		t.Errorf("%s", text)
	}
	sure := advise(t, func(s *Situation) { s.Unit, s.IdleVacuum = u, a.Unit.Full()+1.6*inHg })
	unsure := advise(t, func(s *Situation) { s.Unit, s.IdleVacuum, s.Uncertain = u, a.Unit.Full()+1.6*inHg, inHg })
	if sure.AtIdle != pulledFully || unsure.AtIdle != pulledPartly {
		t.Errorf("%v, with 1 inHg of doubt %v", sure.AtIdle, unsure.AtIdle)
	}
}
