package design

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs/valid"
)

var (
	wanted = Wanted{Rate: 1200, Tension: 3.2, Length: 0.021, Longest: 0.0255}
	stock  = Stock{Material: MusicWire(), Wires: MusicWireSizes()}
)

// Every choice does what is wanted, exactly, and can be made; the first has the
// most in hand.
func TestDesignDoesWhatIsWanted(t *testing.T) {
	for _, want := range []Wanted{
		wanted,
		{Rate: 640, Tension: 1.9, Length: 0.0247, Longest: 0.031, Slack: 0.0009},
		{Rate: 2600, Tension: 6.5, Length: 0.0212, Longest: 0.0243},
	} {
		choices, err := Springs(want, stock)
		if err != nil {
			t.Fatal(err)
		}
		last := math.Inf(1)
		for _, c := range choices {
			s, err := c.Part.Spring(room)
			if err != nil {
				t.Fatal(err)
			}
			if s != c.Spring {
				t.Errorf("law %+v of the part is not the choice's %+v", s, c.Spring)
			}
			if !scalar.EqualWithinRel(s.Rate, want.Rate, 1e-12) || !scalar.EqualWithinRel(s.Tension(want.Length), want.Tension, 1e-11) {
				t.Errorf("rate %v N/m and %v N, wanted %v and %v", s.Rate, s.Tension(want.Length), want.Rate, want.Tension)
			}
			if s.Slack != want.Slack {
				t.Errorf("slack %v m, wanted %v m", s.Slack, want.Slack)
			}
			index := c.Part.MeanDiameter / c.Part.Diameter
			low, _, high, err := InitialStress(index)
			if err != nil {
				t.Fatal(err)
			}
			wound := 8 * c.Part.InitialTension * c.Part.MeanDiameter / (math.Pi * math.Pow(c.Part.Diameter, 3))
			if !(wound >= low*(1-1e-12) && wound <= high*(1+1e-12)) {
				t.Errorf("wound to %v Pa, holds %v to %v", wound, low, high)
			}
			if q := c.Part.BodyCoils / 0.25; q != math.Trunc(q) {
				t.Errorf("%v turns, wanted in quarters", c.Part.BodyCoils)
			}
			static, err := c.Part.Static(s.Tension(want.Longest))
			if err != nil || static != c.Static || !(static.least() > 1) {
				t.Errorf("static factor of safety %+v (%v), choice says %+v", static, err, c.Static)
			}
			if !(c.Safety <= last) {
				t.Errorf("factor of safety %v after %v", c.Safety, last)
			}
			last = c.Safety
		}
	}
}

func TestDesignKeepsToTheRoom(t *testing.T) {
	tight := stock
	tight.LoopMost = 0.008
	all, err := Springs(wanted, tight)
	if err != nil {
		t.Fatal(err)
	}
	tight.OutsideMost = 0.0065
	tight.TurnStep = 0.5
	tight.IndexMost = 9
	tight.StretchLeast = 0.4e-3
	some, err := Springs(wanted, tight)
	if err != nil {
		t.Fatal(err)
	}
	if !(len(some) < len(all)) {
		t.Errorf("%d choices in little room, %d in plenty", len(some), len(all))
	}
	for _, c := range some {
		if outside := c.Part.MeanDiameter + c.Part.Diameter; outside > 0.0065 {
			t.Errorf("outside diameter %v m", outside)
		}
		if got := wanted.Length - c.Spring.TakeUp(); !(got >= 0.4e-3-1e-12) || got != c.Stretch {
			t.Errorf("stretched by %v m at the wanted length, choice says %v m", got, c.Stretch)
		}
		if h := c.Part.Loops[0].Height; h > 0.008 {
			t.Errorf("loop of %v m", h)
		}
		if q := c.Part.BodyCoils / 0.5; q != math.Trunc(q) {
			t.Errorf("%v turns, wanted in halves", c.Part.BodyCoils)
		}
	}
}

func TestRefusedDesigns(t *testing.T) {
	nan := math.NaN()
	for name, change := range map[string]func(*Wanted, *Stock){
		"nothing wanted":      func(w *Wanted, _ *Stock) { *w = Wanted{} },
		"rate not a number":   func(w *Wanted, _ *Stock) { w.Rate = nan },
		"no travel":           func(w *Wanted, _ *Stock) { w.Longest = w.Length },
		"slack not a number":  func(w *Wanted, _ *Stock) { w.Slack = nan },
		"no wires":            func(_ *Wanted, s *Stock) { s.Wires = nil },
		"no material":         func(_ *Wanted, s *Stock) { s.Material = Material{} },
		"wire off the table":  func(_ *Wanted, s *Stock) { s.Wires = []float64{0.02} },
		"wire not a number":   func(_ *Wanted, s *Stock) { s.Wires = []float64{nan} },
		"turns of a thousand": func(_ *Wanted, s *Stock) { s.TurnStep = 1e-3 },
		"stretch not a sum":   func(_ *Wanted, s *Stock) { s.StretchLeast = nan },
		"loops not a number":  func(_ *Wanted, s *Stock) { s.LoopMost = nan },
		"index of 3":          func(_ *Wanted, s *Stock) { s.IndexLeast = 3 },
		"index range upset":   func(_ *Wanted, s *Stock) { s.IndexLeast, s.IndexMost = 9, 8 },
		"endurance of half":   func(_ *Wanted, s *Stock) { s.Endurance = Endurance{Steady: 1e8} },
	} {
		w, s := wanted, stock
		change(&w, &s)
		if _, err := Springs(w, s); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
	none := wanted
	none.Tension = 300
	if _, err := Springs(none, stock); !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), "cannot be wound") {
		t.Errorf("300 N at 21 mm gave %v", err)
	}
}
