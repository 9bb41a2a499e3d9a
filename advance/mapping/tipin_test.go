package mapping

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/vacuum"
)

// snap opens the throttle from a light cruise at 2000 rpm in a tenth of a second.
func snap(t *testing.T) TipIn {
	open := func(deg float64) float64 { return deg * math.Pi / 180 }
	return TipIn{
		Distributor: distributor(t), System: engine(),
		Inputs: []vacuum.Input{
			{Time: 0, Throttle: open(15), RPM: 2000},
			{Time: 0.2, Throttle: open(15), RPM: 2000},
			{Time: 0.3, Throttle: open(80), RPM: 2000},
			{Time: 4, Throttle: open(80), RPM: 2000},
		},
		Requirements: func(_, p float64) (Requirement, error) {
			return Requirement{MBT: 45, KnockLimited: p > 70e3, KLSA: 34}, nil
		},
		Margin:   2,
		Settings: &vacuum.RunSettings{Every: 2e-3},
	}
}

func tipIn(t *testing.T, change func(*TipIn)) *Transient {
	t.Helper()
	in := snap(t)
	change(&in)
	c, err := TipInTransient(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Before and after the snap the spark is the distributor's steady total.
func TestTipInBeginsAndEndsAtTheSteadyTotal(t *testing.T) {
	in := snap(t)
	c := tipIn(t, func(*TipIn) {})
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
	back := func(restriction float64) *Transient {
		return tipIn(t, func(in *TipIn) { in.System.Hose.Restriction = restriction })
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
		if a.Requirement.KnockLimited && a.Spark > a.Requirement.KLSA-2 {
			over += 2e-3
		}
	}
	near(t, "time over", finer.Over, over, 1e-9)
}

func TestTipInVerdicts(t *testing.T) {
	if c := tipIn(t, func(in *TipIn) { in.Requirements = nil }); !strings.Contains(c.Verdict, "no knock limit") || c.Worst != 0 {
		t.Errorf("%g: %s", c.Worst, c.Verdict)
	}
	c := tipIn(t, func(in *TipIn) {
		in.Requirements = func(_, _ float64) (Requirement, error) { return Requirement{KnockLimited: true, KLSA: 60}, nil }
	})
	if !strings.Contains(c.Verdict, "soon enough") || c.Over != 0 {
		t.Errorf("%s", c.Verdict)
	}
}

func TestBadSnapsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*TipIn){
		"empty":         func(in *TipIn) { *in = TipIn{} },
		"no unit":       func(in *TipIn) { d := *in.Distributor; d.Vacuum = nil; in.Distributor = &d },
		"no driver":     func(in *TipIn) { in.Inputs = nil },
		"nothing moves": func(in *TipIn) { in.Inputs = []vacuum.Input{in.Inputs[0], in.Inputs[1]} },
		"margin":        func(in *TipIn) { in.Margin = math.NaN() },
		"limit no number": func(in *TipIn) {
			in.Requirements = func(_, _ float64) (Requirement, error) { return Requirement{KLSA: math.Inf(1)}, nil }
		},
		"bounds out of it": func(in *TipIn) {
			in.Requirements = func(_, _ float64) (Requirement, error) { return Requirement{}, errRange }
		},
	} {
		in := snap(t)
		spoil(&in)
		c, err := TipInTransient(context.Background(), in)
		if c != nil || !refused(err) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := TipInTransient(ctx, snap(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
