package mapping

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/vacuum"
)

// snap opens the throttle from a light cruise at 2000 rpm in a tenth of a second.
func snap(t *testing.T) Snap {
	omega := advance.FourStroke.Omega(2000)
	open := func(deg float64) float64 { return deg * math.Pi / 180 }
	return Snap{
		Distributor: distributor(t), System: engine(),
		Driver: []vacuum.Moment{
			{Time: 0, Throttle: open(15), Omega: omega},
			{Time: 0.2, Throttle: open(15), Omega: omega},
			{Time: 0.3, Throttle: open(80), Omega: omega},
			{Time: 4, Throttle: open(80), Omega: omega},
		},
		Bounds: func(_, p float64) (Bound, error) {
			return Bound{MBT: 45, Limited: p > 70e3, Limit: 34}, nil
		},
		Margin:   2,
		Settings: &vacuum.Settings{Every: 2e-3},
	}
}

func tipIn(t *testing.T, change func(*Snap)) *Collapse {
	t.Helper()
	in := snap(t)
	change(&in)
	c, err := TipIn(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Before and after the snap the spark is the distributor's steady total.
func TestTipInBeginsAndEndsAtTheSteadyTotal(t *testing.T) {
	in := snap(t)
	c := tipIn(t, func(*Snap) {})
	for _, i := range []int{0, len(c.Instants) - 1} {
		a := c.Instants[i]
		want, err := in.Distributor.Total(2000, sea.Pressure-a.Pressure, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "spark", a.Spark, want, 0.02)
	}
	if first, last := c.Instants[0], c.Instants[len(c.Instants)-1]; !(first.Spark > last.Spark+5) || last.Pulled > 0.5 {
		t.Errorf("from %+v to %+v", first, last)
	}
}

// The finer the drilling the longer the spark stays forward: twice as fine, about
// twice as long, for the chamber fills behind a choked or nearly choked opening.
// With none to speak of, the unit follows the manifold.
func TestRestrictionHoldsTheSparkForward(t *testing.T) {
	back := func(restriction float64) *Collapse {
		return tipIn(t, func(in *Snap) { in.System.Line.Restriction = restriction })
	}
	wide, fine, finer := back(1e-5), back(1e-7), back(5e-8)
	if !(wide.Back < wide.Filled+0.05) {
		t.Errorf("wide hose: manifold %g s, unit %g s", wide.Filled, wide.Back)
	}
	if !(finer.Back > 1.7*fine.Back && finer.Back < 2.1*fine.Back && fine.Back > wide.Back) {
		t.Errorf("back after %g, %g, %g s", wide.Back, fine.Back, finer.Back)
	}
	if wide.Worst > finer.Worst || !strings.Contains(finer.Verdict, "too late") {
		t.Errorf("wide: %g deg over, finer: %g deg, %s", wide.Worst, finer.Worst, finer.Verdict)
	}
	near(t, "cycles", finer.Cycles, finer.Over*2000/60/2, 1e-9)
	// Time beyond the limit, counted anew.
	over := 0.0
	for _, a := range finer.Instants {
		if a.Bound.Limited && a.Spark > a.Bound.Limit-2 {
			over += 2e-3
		}
	}
	near(t, "time over", finer.Over, over, 1e-9)
}

func TestTipInVerdicts(t *testing.T) {
	if c := tipIn(t, func(in *Snap) { in.Bounds = nil }); !strings.Contains(c.Verdict, "no knock limit") || c.Worst != 0 {
		t.Errorf("%g: %s", c.Worst, c.Verdict)
	}
	c := tipIn(t, func(in *Snap) {
		in.Bounds = func(_, _ float64) (Bound, error) { return Bound{Limited: true, Limit: 60}, nil }
	})
	if !strings.Contains(c.Verdict, "soon enough") || c.Over != 0 {
		t.Errorf("%s", c.Verdict)
	}
}

func TestBadSnapsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Snap){
		"empty":         func(in *Snap) { *in = Snap{} },
		"no unit":       func(in *Snap) { d := *in.Distributor; d.Vacuum = nil; in.Distributor = &d },
		"no driver":     func(in *Snap) { in.Driver = nil },
		"nothing moves": func(in *Snap) { in.Driver = []vacuum.Moment{in.Driver[0], in.Driver[1]} },
		"margin":        func(in *Snap) { in.Margin = math.NaN() },
		"limit no number": func(in *Snap) {
			in.Bounds = func(_, _ float64) (Bound, error) { return Bound{Limit: math.Inf(1)}, nil }
		},
		"bounds out of it": func(in *Snap) { in.Bounds = func(_, _ float64) (Bound, error) { return Bound{}, ErrRange } },
	} {
		in := snap(t)
		spoil(&in)
		c, err := TipIn(context.Background(), in)
		if c != nil || !(errors.Is(err, ErrRange) || errors.Is(err, vacuum.ErrRange)) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := TipIn(ctx, snap(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
