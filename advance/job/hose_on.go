package job

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/vacuum"
)

// gaugeError is the standard error of a vacuum gauge in Pa (common practice, no source).
const gaugeError = 0.5 * vacuum.InchOfMercury

// hoseRows holds every reading with the hose on against what the listed or hand-pumped
// unit gives at its vacuum. What the unit added is known where the curve is.
func (j *Job) hoseRows(fit *readings.Result) ([]hoseRow, error) {
	var out []hoseRow
	for i, x := range fit.Readings {
		add, ok := fit.HoseOn[i]
		if !ok || add.Bound != readings.Interval || !(x.Vacuum > 0) {
			continue
		}
		row := hoseRow{
			RPM: text.Round(x.RPM), Vacuum: text.Round(x.Vacuum / vacuum.InchOfMercury), Degrees: text.Round(x.Degrees),
			Added: text.Round(add.Value), AddedLow: text.Round(add.Low), AddedHigh: text.Round(add.High),
		}
		if j.has.unit && !j.Vacuum.turnUnread() {
			least, most, err := j.unitGives(x.Vacuum)
			if err != nil {
				return nil, err
			}
			row.UnitLow, row.UnitHigh = rounded(least), rounded(most)
			row.Differs = add.Low > most || add.High < least
		}
		out = append(out, row)
	}
	return out, nil
}

// hoseAdds says what readings with the hose on show more than the curve, where nobody
// noted their vacuum; empty where there are none.
func (j *Job) hoseAdds(fit *readings.Result) string {
	var list []float64
	low, high := math.Inf(1), 0.0
	for i, x := range fit.Readings {
		if add, ok := fit.HoseOn[i]; ok && add.Bound == readings.Interval && !(x.Vacuum > 0) {
			list = append(list, add.Value)
			low, high = min(low, x.RPM), max(high, x.RPM)
		}
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	said := fmt.Sprintf("With the hose on the light shows %.1f deg crank more in the middle (%.1f to %.1f), from %.0f to %.0f rpm.", list[len(list)/2], list[0], list[len(list)-1], low, high)
	if unsure := slices.ContainsFunc(j.runs, func(x run) bool { return x.hose && x.moved == nil }); unsure {
		said += " That holds if the distributor was not turned in between."
	}
	return said + " At which vacuum was not noted: a gauge on the hose beside each reading (vacuum) tells what the unit does."
}

// unitGives is the least and the most that the unit adds at a vacuum read on a gauge,
// crank degrees: on the way up with the gauge showing too much, on the way down with it
// showing too little.
func (j *Job) unitGives(depth float64) (least, most float64, err error) {
	off := 1.96 * math.Hypot(gaugeError, j.Vacuum.uncertain()/1.96)
	up, err := j.Vacuum.Unit.Advance(math.Max(0, depth-off))
	if err != nil {
		return 0, 0, fmt.Errorf("job: hose on: %w", err)
	}
	down, err := j.Vacuum.Unit.Retreat(math.Min(depth+off, vacuum.MostVacuum))
	if err != nil {
		return 0, 0, fmt.Errorf("job: hose on: %w", err)
	}
	return j.Drive.CrankDegrees(up), j.Drive.CrankDegrees(down), nil
}

// text says what the unit added at a reading.
func (r *hoseRow) text() string {
	said := fmt.Sprintf("Hose on at %.0f rpm and %.1f inHg the unit added %.1f deg crank (95 %% interval %.1f to %.1f)", r.RPM, r.Vacuum, r.Added, r.AddedLow, r.AddedHigh)
	switch {
	case r.UnitLow == nil || r.UnitHigh == nil:
		return said + "."
	case r.Differs:
		return said + fmt.Sprintf("; by the unit's own figures it gives %s.", r.unit())
	}
	return said + fmt.Sprintf(", as by its own figures (%s).", r.unit())
}

// unit is what the unit gives by its own figures.
func (r *hoseRow) unit() string {
	if *r.UnitHigh-*r.UnitLow < 0.1 {
		return fmt.Sprintf("%.1f", *r.UnitHigh)
	}
	return fmt.Sprintf("%.1f to %.1f", *r.UnitLow, *r.UnitHigh)
}

// unitContradicts says that readings with the hose on and the unit's own figures exclude
// each other.
func unitContradicts(w *work) *Finding {
	list := w.report.Readings.HoseOn
	if runs := w.report.Runs; runs != nil {
		list = append(list[:len(list):len(list)], runs.HoseOn...)
	}
	n, worst := 0, -1
	var off float64
	for i := range list {
		r := &list[i]
		if !r.Differs {
			continue
		}
		by := r.Added - *r.UnitHigh
		if r.Added < *r.UnitLow {
			by = r.Added - *r.UnitLow
		}
		if n++; math.Abs(by) > math.Abs(off) {
			worst, off = i, by
		}
	}
	if worst < 0 {
		return nil
	}
	cause := "It gives less than it should: does the diaphragm hold a vacuum, does the plate move freely, was the gauge on this hose, and is its source under vacuum at that throttle?"
	if off > 0 {
		cause = "It gives more than it should: is the limiter where it was measured, was the gauge on this hose, and is this the unit that was measured?"
	}
	return &Finding{
		Code: "unit-contradicts", Severity: readings.Check, Unit: "deg crank", Size: text.Round(off),
		Text: fmt.Sprintf("The vacuum unit does not do on the engine what its own figures say, at %d of %d readings with the hose on. %s Pump it up by hand again before the advice on the hose is trusted.",
			n, len(list), cause),
		Evidence: list[worst].text(),
	}
}
