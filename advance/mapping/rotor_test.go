package mapping

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance"
)

// The arcs of tip and terminal laid on the circle and counted: they face each other
// while some of both stands at the same angle.
func TestRotorPhaseByCounting(t *testing.T) {
	for _, r := range []Rotor{
		{Tip: 8e-3, Terminal: 6e-3, Radius: 24e-3, Offset: 3},
		{Tip: 3e-3, Terminal: 2e-3, Radius: 25e-3, Offset: 0},
		{Tip: 3e-3, Terminal: 2e-3, Radius: 25e-3, Offset: 5},
		{Tip: 2e-3, Terminal: 2e-3, Radius: 25e-3, Offset: 30},
	} {
		half := func(width float64) float64 { return width / r.Radius * 180 / math.Pi / 2 }
		face := func(vacuum float64) bool { // some of both arcs at one angle
			middle := r.Offset - vacuum/2
			lo, hi := math.Max(middle-half(r.Tip), -half(r.Terminal)), math.Min(middle+half(r.Tip), half(r.Terminal))
			return lo <= hi
		}
		p, err := r.Phase(advance.FourStroke, 24)
		if err != nil {
			t.Fatal(err)
		}
		leaves := 0.0
		for ; leaves < 60 && face(leaves); leaves += 1e-3 {
		}
		near(t, "leaves", p.Leaves, leaves, 2e-3)
		near(t, "shift", p.Off-p.On, 12, 1e-12)
		if faces := face(0) && face(24); faces != (p.Beyond == 0) || p.Why == "" {
			t.Errorf("%+v: %+v", r, p)
		}
		r.Offset = p.Best
		best, err := r.Phase(advance.FourStroke, 24)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "both ends alike", best.Off, -best.On, 1e-12)
	}
	p, err := Rotor{Tip: 3e-3, Terminal: 2e-3, Radius: 25e-3}.Phase(advance.FourStroke, 30)
	if err != nil || !strings.Contains(p.Why, "part at") || !(p.Beyond > 0) {
		t.Errorf("%+v, error %v", p, err)
	}
	// The distributor that turns with the crank shifts by twice as much.
	crank, err := Rotor{Tip: 3e-3, Terminal: 2e-3, Radius: 25e-3}.Phase(advance.CrankSpeed, 30)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shift at crank speed", crank.Shift, 30, 0)
	for name, r := range map[string]Rotor{"zero": {}, "tip": {Tip: math.NaN(), Radius: 0.02}, "radius": {Radius: 1}, "offset": {Radius: 0.02, Offset: 90}} {
		if p, err := r.Phase(advance.FourStroke, 10); !errors.Is(err, ErrRange) || p != nil {
			t.Errorf("%s: %+v, error %v", name, p, err)
		}
	}
	if p, err := (Rotor{Radius: 0.02}).Phase(0, 10); p != nil || !errors.Is(err, advance.ErrRange) {
		t.Errorf("no drive: error %v", err)
	}
}
