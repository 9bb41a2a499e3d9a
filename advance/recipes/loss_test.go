package recipes

import (
	"errors"
	"math"
	"testing"
)

// table is a loss in rows, the second one with other corners than the first.
func table() losses {
	return losses{
		{RPM: 1000, Off: []float64{-20, -10, 0, 10}, Lost: []float64{0.11, 0.03, 0, 0.025}},
		{RPM: 3000, Off: []float64{-15, -5, 2, 8, 12}, Lost: []float64{0.05, 0.006, 0, 0.01, 0.03}},
	}
}

func TestLossGoesInStraightLines(t *testing.T) {
	l := table()
	for _, c := range []struct{ rpm, off, want float64 }{
		{1000, -10, 0.03}, {1000, -15, 0.07}, {1000, 5, 0.0125},
		{500, -10, 0.03}, {4000, 8, 0.01}, // the outer rows are held
		{2000, -10, (0.03 + 0.028) / 2},                       // half way: mean of the rows
		{1000, -30, 0.19}, {1000, -180, 1}, {1000, 180, 0.45}, // outer slopes go on, up to 1
	} {
		got := l.at(c.rpm, c.off)
		if !(abs(got-c.want) <= 1e-12) {
			t.Errorf("at %v rpm, %v degrees off: %v , want %v", c.rpm, c.off, got, c.want)
		}
	}
	var parabola losses
	// The default follows the cycle computation that it rests on: 0.7, 2.8, 6.0
	// and 10.2 % at 5 to 20 degrees late, to the tenth that its comment admits.
	for off, want := range map[float64]float64{-5: 0.007, -10: 0.028, -15: 0.060, -20: 0.102} {
		if got := parabola.at(2000, off); !(abs(got/want-1) <= 0.1) {
			t.Errorf("%v degrees off: %v , the source has %v", off, got, want)
		}
	}
}

// The corners in bins are the same function.
func TestBentLossIsTheLoss(t *testing.T) {
	l := table()
	for _, rpm := range []float64{600, 1000, 1700, 2999, 3000, 5000} {
		b := l.piecewiseAt(rpm)
		for off := -300.0; off <= 300; off += 0.37 {
			if got, want := b.at(off), l.at(rpm, off); !(abs(got-want) <= 1e-12) {
				t.Fatalf("at %v rpm, %v degrees off: %v, want %v", rpm, off, got, want)
			}
		}
	}
}

// A table that samples the parabola finely leads to the parabola's answer.
func TestTableOfTheParabolaGivesItsAnswer(t *testing.T) {
	p := shop(14, 2)
	want := search(t, p, nil)
	row := LossRow{}
	for off := -55.0; off <= 55; off += 0.25 {
		row.Off, row.Lost = append(row.Off, off), append(row.Lost, defaultLoss*off*off)
	}
	p.Target.Loss = []LossRow{row}
	got := search(t, p, nil)
	for i := range want.Recipes {
		// Straight lines lie above the parabola by at most k h^2/4 of the step h.
		x, y := &got.Recipes[i], &want.Recipes[i]
		if rise := x.TorqueGivenUp - y.TorqueGivenUp; !(rise >= -1e-12 && rise <= defaultLoss*0.25*0.25/4+1e-12) {
			t.Errorf("recipe %d: %v with the table, %v with the parabola", i, x.TorqueGivenUp, y.TorqueGivenUp)
		}
	}
}

func TestLossRefuses(t *testing.T) {
	row := func(r LossRow) losses { return losses{r} }
	for name, l := range map[string]losses{
		"NaN":           row(LossRow{RPM: 1, Off: []float64{0, 1}, Lost: []float64{0, math.NaN()}}),
		"one angle":     row(LossRow{RPM: 1, Off: []float64{0}, Lost: []float64{0}}),
		"unequal":       row(LossRow{RPM: 1, Off: []float64{0, 1}, Lost: []float64{0}}),
		"falling":       row(LossRow{RPM: 1, Off: []float64{1, 0}, Lost: []float64{0, 0}}),
		"more than all": row(LossRow{RPM: 1, Off: []float64{0, 1}, Lost: []float64{0, 2}}),
		"same speed":    append(table(), table()[1]),
	} {
		if err := l.check(); !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
}
