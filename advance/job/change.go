package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/sheet"
)

// changeStage asks what clamp and slot alone can do: the readings are enough for it.
func changeStage() stage {
	return stage{
		name: "clamp and slot alone", doing: "turning the distributor", share: 0.01,
		needs:  []string{"readings"},
		buys:   "how far to turn the distributor and how much travel to take away, with no part known",
		can:    func(w *work) bool { return w.fit != nil },
		answer: func(_ context.Context, w *work, _ func(float64)) error { return w.reset() },
	}
}

// change is what clamp and slot make of the present curve. Crank degrees and engine
// rpm.
type change struct {
	fit           *readings.Result
	static, total float64 // afterwards
	turn          float64 // by the clamp, advance positive
	remove        float64 // travel taken away, negative to add
	clampOnly     bool
	stop          []string // why nothing may be set from it; empty where it may
	margin, where float64  // to the knock limit and the speed of it; +Inf without an engine
	full          float64  // the slowest engine of the band is all in from here; +Inf where that is not known
	risk          risk     // of the knock limit
	light         float64  // how far a reading may lie off what was set, 95 %
}

// reset finds the change and puts it into the report.
func (w *work) reset() error {
	j := w.job
	if falls(w.fit.Result) {
		return nil // no curve of an advance mechanism: the findings say so
	}
	c := &change{fit: w.fit.Result, margin: math.Inf(1), full: math.Inf(1)}
	// Once the total is set with the light, two readings of it differ by their errors.
	c.light = 1.96 * math.Sqrt2 * j.Settings.SigmaDegrees
	of := ""
	c.total, of = j.wantedTotal(w.wants)
	part := &ChangePart{Total: text.Round(c.total), TotalOf: of}
	c.stop = j.unseen(c.fit)
	if f := otherShaft(w); f != nil {
		c.stop = append([]string{f.Text}, c.stop...)
	}
	if c.fit.Model.Slopes == 0 {
		return nil
	}
	if err := c.settle(j, w.wants); err != nil {
		return err
	}
	if err := c.onLight(j, w.wants); err != nil {
		return err
	}
	part.Total = text.Round(c.total)
	part.Static, part.Turn, part.Remove = text.Round(c.static), text.Round(c.turn), text.Round(c.remove)
	part.ClampOnly = c.clampOnly
	if j.onMachine {
		part.Turn = 0
		part.Notes = append(part.Notes, "The readings come from a distributor machine with a zero of its own: how the distributor stands in the engine is not known. Set it on the engine, with the light.")
	}
	if !math.IsInf(c.full, 0) {
		part.AllIn = text.Round(c.full)
	}
	if j.has.slotRadius && !c.clampOnly {
		closing := text.Round(1e3 * j.arc(c.remove))
		part.SlotClosing = &closing
		if j.has.slot {
			length := text.Round(1e3*j.Slot.Length - closing)
			part.SlotLength = &length
		}
	}
	if !math.IsInf(c.margin, 0) && !c.risk.outside {
		part.Margin, part.MarginRPM = rounded(c.margin), rounded(c.where)
	}
	w.change = c
	if (w.choice == nil || w.choice.best == nil) && len(c.stop) == 0 {
		w.report.Change = part // else the ladder of efforts says it, or nothing may be done yet
	}
	return nil
}

// unseen says what the readings must show before anything is set from them.
func (j *Job) unseen(fit *readings.Result) []string {
	var out []string
	if b := fit.Total.Bound; b == readings.AtLeast || b == readings.Unknown {
		highest := 0.0
		for _, x := range fit.Readings {
			highest = max(highest, x.RPM)
		}
		out = append(out, fmt.Sprintf("The stop was not seen: the highest reading, at %.0f rpm, may lie below all-in, so the total may be more. Read on upwards, never above the engine's own limit or its red line, until two readings agree.", highest))
	}
	return out
}

// falls reports whether the readings fall as the speed rises.
func falls(fit *readings.Result) bool {
	return slices.ContainsFunc(readings.Diagnose(fit, readings.Wanted{}), func(f readings.Finding) bool { return f.Code == "falls" })
}

// smallestClosing is the least change of a slot's length worth a weld, m (common
// practice, no source); smallestTravel is the same where no radius is known, crank
// degrees.
const (
	smallestClosing = 0.3e-3
	smallestTravel  = 1.5
)

// settle chooses turn and travel. The clamp alone does where it leaves a static timing
// that starts the engine; else the slot is closed, or filed, to a static timing in the
// middle of the range, or to the one that costs the engine least torque.
func (c *change) settle(j *Job, a *requirement) error {
	span, present := j.Wish.Static, c.fit.Travel.Value
	least := smallestTravel
	if j.has.slotRadius {
		least = smallestClosing / j.arc(1)
	}
	if c.fit.Static.Bound != readings.Interval && !j.onMachine {
		least = 0 // where the static timing is only bounded, nothing is left to give away
	}
	alone := c.total - present
	if alone >= span.Low-least && alone <= span.High+least {
		c.set(alone, present)
		c.clampOnly = true
		if err := c.judge(j, a); err != nil || c.margin >= j.Wish.KnockMargin {
			return err
		}
	}
	if a == nil {
		c.clampOnly = false
		middle := (span.Low + span.High) / 2
		if alone > span.High {
			middle = span.High // travel is short: the nearest that starts the engine
		}
		c.set(middle, present)
		return nil
	}
	return c.leastLoss(j, a, least)
}

// leastLoss tries every half degree of static timing, with a change of the slot worth its
// weld: the most margin up to the one wished for, then the most static timing, which gives
// the most torque low down.
func (c *change) leastLoss(j *Job, a *requirement, least float64) error {
	span, present, wish := j.Wish.Static, c.fit.Travel.Value, j.Wish.KnockMargin
	best, found := *c, c.clampOnly
	for static := span.Low; static <= span.High; static += 0.5 {
		if travel := c.total - static; travel < j.Wish.Travel || math.Abs(present-travel) < max(least, 1e-9) {
			continue
		}
		try := *c
		try.clampOnly = false
		try.set(static, present)
		if err := try.judge(j, a); err != nil {
			return err
		}
		if !found || min(try.margin, wish) > min(best.margin, wish)-1e-9 && !(best.clampOnly && try.margin <= best.margin) {
			best, found = try, true
		}
	}
	if !found {
		best.set((span.Low+span.High)/2, present)
		if err := best.judge(j, a); err != nil {
			return err
		}
	}
	*c = best
	return nil
}

// onLight rounds the slot to what a file hits, and then what is to be set to what a light
// shows: the total, or what a governed engine shows at its limit.
func (c *change) onLight(j *Job, a *requirement) error {
	present := c.fit.Travel.Value
	if j.has.slotRadius && !c.clampOnly {
		c.remove = slotStep * math.Round(j.arc(c.remove)/slotStep) / j.arc(1)
		c.set(c.total-present+c.remove, present)
	}
	if allIn, ok := c.allIn(j); ok {
		c.full = allIn
	}
	shows, err := c.nominal(math.Min(c.full, j.Top))
	if err != nil {
		return err
	}
	if off := settable(shows) - shows; j.Wish.Total == 0 || c.full > j.Top && !math.IsInf(c.full, 0) {
		c.total += off
		c.set(c.static+off, present)
	}
	c.risk = risk{static: c.static}
	if err := c.judge(j, a); err != nil || a == nil {
		return err
	}
	c.risk.judged, c.risk.outside, c.risk.margin, c.risk.marginRPM = true, j.outside(a.want), c.margin, c.where
	return c.risk.weigh(j, a, math.Min(c.full, j.Top), c.nominal)
}

// set lays the change down for a static timing and the travel as it is.
func (c *change) set(static, present float64) {
	c.static = static
	c.remove = present - (c.total - static)
	c.turn = static - c.fit.Static.Value
}

// judge finds the least distance to the knock limit at full load.
func (c *change) judge(j *Job, a *requirement) error {
	c.margin = math.Inf(1)
	if a == nil {
		return nil
	}
	for rpm := j.From; rpm <= j.Top; rpm += sheet.Step / 2 {
		at, err := c.nominal(rpm)
		if err != nil {
			return err
		}
		if w := a.between(rpm); w.KLSA-at < c.margin {
			c.margin, c.where = w.KLSA-at, rpm
		}
	}
	return nil
}

// nominal is the fitted curve after the change, without its band: turned, and cut at
// the total.
func (c *change) nominal(rpm float64) (float64, error) {
	at, err := c.fit.Curve.Held(rpm)
	if err != nil {
		return 0, fmt.Errorf("job: clamp and slot: %w", err)
	}
	return min(at+c.turn, c.total), nil
}

// expect is the curve after the change at one speed.
func (c *change) expect(rpm float64) (readings.Expected, error) {
	change := readings.Change{Turn: c.turn}
	if !c.clampOnly {
		change.Travel = c.remove
	}
	list, err := c.fit.Expect(change, []float64{rpm})
	if err != nil {
		return readings.Expected{}, fmt.Errorf("job: clamp and slot: %w", err)
	}
	return list[0], nil
}

// allIn is the speed at which the slowest engine of the band is all in after the
// change; false where the readings do not show it. A stop that moves inwards is met
// where the lower edge of the curve, which the readings know better there than the stop,
// reaches the total.
func (c *change) allIn(j *Job) (float64, bool) {
	late := c.fit.AllIn
	if late.Bound != readings.Interval && late.Bound != readings.AtMost {
		return 0, false
	}
	// The edge rises with the speed, and behind the last reading it may be open.
	const step = 10.0
	at := func(i int) (readings.Estimate, bool) {
		e, err := c.fit.Band(j.Idle + float64(i)*step)
		return e, err == nil && e.Bound != readings.AtMost && e.Low+c.turn >= c.total-0.1
	}
	n := max(0, int(math.Ceil((late.High-j.Idle)/step)))
	first := sort.Search(n, func(i int) bool { e, reached := at(i); return reached || e.Bound == readings.AtLeast })
	if first < n {
		if e, reached := at(first); reached && e.Bound == readings.Interval {
			return j.Idle + float64(first)*step, true
		}
	}
	return late.High, true
}

// unknownSide is how far a side of the window lies off that the readings do not show,
// crank degrees; farOff is where a side is taken to be such a one.
const (
	unknownSide = 10.0
	farOff      = 60.0
)

// window is the curve after the change with the readings that pass.
func (c *change) window(rpm float64) (rising, falling, low, high float64, err error) {
	x, err := c.expect(rpm)
	if err != nil {
		return 0, 0, 0, 0, err
	}
	at := x.Curve.Value
	low, high = x.Low, x.High
	if at-low > farOff {
		low = at - unknownSide
	}
	if high-at > farOff {
		high = at + unknownSide
	}
	if rpm >= c.full {
		low = max(low, c.total-c.light)
	}
	return at, at, low, min(high, c.total+c.light), nil
}
