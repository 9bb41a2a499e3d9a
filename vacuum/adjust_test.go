package vacuum

import (
	"errors"
	"math"
	"testing"
)

func TestAdjustAndBack(t *testing.T) {
	screw := Adjuster{Pitch: 0.5e-3, Out: 20, In: 20}
	for _, u := range randomUnits(100) {
		wantOnset, wantMost := 5*InchOfMercury, 0.7*u.Most()
		set, turns, err := u.Adjust(wantOnset, wantMost, screw)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "onset", set.Onset(), wantOnset, 1e-8)
		near(t, "maximum", set.Most(), wantMost, 1e-12)
		near(t, "full pull", set.Full(), wantOnset+u.Rate*set.Travel/u.Area, 1e-8)
		// A turn shortens the spring by its pitch: the force follows the rate.
		near(t, "preload", set.Preload-u.Preload, turns*screw.Pitch*u.Rate, 1e-9)
		// Setting back what there was takes the turns back.
		again, back, err := set.Adjust(u.Onset(), u.Most(), screw)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "turns back", back, -turns, 1e-9)
		near(t, "limiter back", again.Travel, u.Travel, 1e-12)
	}
}

func TestAdjustRefusesWhatCannotBeSet(t *testing.T) {
	u := plain()
	u.Stroke, u.Friction = 1.2*u.Travel, 1
	screw := Adjuster{Pitch: 0.5e-3, Out: 4, In: 4}
	for name, c := range map[string]struct {
		onset, most float64
		screw       Adjuster
	}{
		"beyond the stroke":    {u.Onset(), 1.5 * u.Most(), screw},
		"beyond the arm":       {u.Onset(), 2, screw},
		"not a number":         {u.Onset(), math.NaN(), screw},
		"nothing":              {u.Onset(), 0, screw},
		"below friction":       {0.5 * u.Friction / u.Area, u.Most(), Adjuster{Pitch: 1, Out: 1e9, In: 1e9}},
		"too many turns":       {3 * u.Onset(), u.Most(), screw},
		"too many turns out":   {u.Onset() / 3, u.Most(), screw},
		"no screw":             {u.Onset(), u.Most(), Adjuster{}},
		"deeper than the air":  {2 * MostVacuum, u.Most(), screw},
		"onset without number": {math.Inf(1), u.Most(), screw},
	} {
		if set, turns, err := u.Adjust(c.onset, c.most, c.screw); !errors.Is(err, errRange) || set != (Unit{}) || turns != 0 {
			t.Errorf("%s: %+v, %v turns, error %v", name, set, turns, err)
		}
	}
	if _, err := (Unit{}).Limited(0.1); !errors.Is(err, errRange) {
		t.Errorf("zero unit: error %v", err)
	}
}
