package job

import (
	"fmt"
	"math"
	"strings"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
)

// senseChecks are findings on whether the readings can be what they are taken for.
func (j *Job) senseChecks(w *work) []Finding {
	var out []Finding
	for _, check := range []func(*work) *Finding{fewReadings, otherShaft, hoseAtSome, slotContradicts, hardToStart, stopUnseen, unitContradicts, cylindersApart} {
		if f := check(w); f != nil {
			out = append(out, *f)
		}
	}
	return out
}

// fewReadings says that the curve rests on little: a start, a ramp and a stop have six
// unknowns between them, with the light's error.
func fewReadings(w *work) *Finding {
	n := 0
	for _, x := range w.fit.Readings {
		if !x.HoseOn {
			n++
		}
	}
	const enough = 8
	if n >= enough {
		return nil
	}
	return &Finding{
		Code: "few-readings", Severity: readings.Check, Size: float64(n),
		Text: fmt.Sprintf("The curve rests on %d readings. Take %d or more in all: two below the start, two past all-in, the rest between.", n, enough),
	}
}

// otherShaft says that degrees, or speeds, look like those of the other shaft: the
// travel is half or twice what the slot allows.
func otherShaft(w *work) *Finding {
	j, travel := w.job, w.fit.Travel
	if w.fit.used.slot {
		return nil
	}
	factor := j.ofOtherShaft(w.fit.Result)
	if factor == 0 {
		return nil
	}
	looks := "The readings look like degrees of the distributor that were noted as degrees of the crank"
	if factor > 1 {
		looks = "The readings look like degrees that were doubled once too often"
	}
	return &Finding{
		Code: "other-shaft", Severity: readings.Act, Unit: "deg crank", Size: text.Round(travel.Value - j.SlotTravel),
		Text: fmt.Sprintf("%s: the travel read is %.1f deg crank, the slot allows %.1f, a factor of %g. Other causes: a weight that sticks, a bush in the slot already, a pin that is caught. Next, engine stopped and cap off: turn the rotor by hand to its stop. It must move %.1f degrees of its own shaft and spring back. If it does, check on which shaft the degrees and the speeds were read, and read again.",
			looks, travel.Value, j.SlotTravel, factor, j.SlotTravel/float64(j.Drive)),
		Evidence: "travel " + travel.Text(1, "deg crank"),
	}
}

// ofOtherShaft returns by which factor the travel read stands to that of the slot where it
// is that of the two shafts, up or down; 0 elsewhere. Where the travel is known on one
// side only, the likeliest curve must have both its ends among the readings.
func (j *Job) ofOtherShaft(fit *readings.Result) float64 {
	travel := fit.Travel
	if !j.has.slot || j.Drive == 1 {
		return 0
	}
	low, high := travel.Low, travel.High
	switch travel.Bound {
	case readings.Interval:
	case readings.AtLeast:
		from, to := span(fit.Readings)
		if !(fit.Start.Value > from && fit.AllIn.Value < to) {
			return 0
		}
		high = travel.Value
	default:
		return 0
	}
	for _, k := range [2]float64{1 / float64(j.Drive), float64(j.Drive)} {
		if want := j.SlotTravel * k; want >= low-1 && want <= high+1 {
			return k
		}
	}
	return 0
}

// span is the lowest and the highest speed with the hose off, rpm.
func span(rs []readings.Reading) (from, to float64) {
	from = math.Inf(1)
	for _, r := range rs {
		if !r.HoseOn {
			from, to = min(from, r.RPM), max(to, r.RPM)
		}
	}
	return from, to
}

// What a vacuum unit adds lies between these, crank degrees, and is alike at readings
// of one vacuum (common practice, no source: units give 8 to 24 deg crank).
const (
	unitLeast, unitMost = 5.0, 26.0
	unitAlike           = 4.0
)

// hoseAtSome says that several readings left out lie above the others by as much as a
// vacuum unit adds: the hose was on while they were taken.
func hoseAtSome(w *work) *Finding {
	fit := w.fit.Result
	low, high := math.Inf(1), math.Inf(-1)
	for _, i := range fit.Outliers {
		low, high = min(low, fit.Residuals[i]), max(high, fit.Residuals[i])
	}
	if len(fit.Outliers) < 2 || !(low >= unitLeast && high <= unitMost && high-low <= unitAlike) {
		return nil
	}
	var at []string
	for _, i := range fit.Outliers {
		at = append(at, fmt.Sprintf("%.0f", fit.Readings[i].RPM))
	}
	return &Finding{
		Code: "hose-at-some", Severity: readings.Act, Unit: "deg crank", Size: text.Round((low + high) / 2),
		Text: fmt.Sprintf("The readings at %s rpm crank lie %.0f to %.0f deg crank above the others, as a vacuum unit would put them. Was the hose on at those? Pull and plug it, and read them again; or note the vacuum beside them.",
			strings.Join(at, ", "), math.Floor(low), math.Ceil(high)),
		Evidence: fmt.Sprintf("%d of %d readings left out, all to the same side", len(fit.Outliers), len(fit.Readings)),
	}
}

// slotContradicts says that the slot as measured cannot give the travel read.
func slotContradicts(w *work) *Finding {
	j, travel := w.job, w.fit.Travel
	if !j.has.slot || w.fit.used.slot || w.fit.Model.Slopes == 0 || otherShaft(w) != nil {
		return nil
	}
	said := fmt.Sprintf("The slot as measured allows %.1f deg crank, which contradicts the readings. Measure length, pin and radius again; see that nothing else stops the weights; see that the hose was off.", j.SlotTravel)
	if travel.Bound == readings.Interval && travel.Value > j.SlotTravel {
		said = fmt.Sprintf("The readings travel %.1f deg crank, the slot as measured allows only %.1f. Measure length, pin and radius again; see that the hose was off at every reading.", travel.Value, j.SlotTravel)
	}
	return &Finding{
		Code: "slot-contradicts", Severity: readings.Check, Unit: "deg crank", Size: text.Round(travel.Value - j.SlotTravel),
		Text: said, Evidence: "travel " + travel.Text(1, "deg crank"),
	}
}

// Static timing at which an engine starts and does not kick back, crank degrees
// (common practice, no source).
const startsFrom, startsTo = -2.0, 22.0

// hardToStart says that the static timing lies outside what starts an engine.
func hardToStart(w *work) *Finding {
	s := w.fit.Static
	if w.job.onMachine || s.Bound == readings.Unknown || w.fit.Model.Slopes == 0 {
		return nil
	}
	late := s.High < startsFrom
	early := s.Low > startsTo && s.Bound == readings.Interval
	if !late && !early {
		return nil
	}
	does := "kicks back at the starter"
	if late {
		does = "hardly starts and runs hot"
	}
	return &Finding{
		Code: "static-odd", Severity: readings.Check, Unit: "deg crank", Size: text.Round(s.Value),
		Text:     fmt.Sprintf("A static timing of %.1f deg crank is unlikely: an engine so set %s. Check the timing mark with a piston stop, and that the hose was off.", s.Value, does),
		Evidence: "static timing " + s.Text(1, "deg crank"),
	}
}

// stopUnseen says that the highest reading may lie below all-in.
func stopUnseen(w *work) *Finding {
	list := w.job.unseen(w.fit.Result)
	if len(list) == 0 || w.fit.Model.Slopes == 0 {
		return nil
	}
	highest := math.Inf(-1)
	for _, x := range w.fit.Readings {
		highest = max(highest, x.RPM)
	}
	return &Finding{Code: "stop-unseen", Severity: readings.Act, Unit: "rpm crank", Size: text.Round(highest), Text: list[0]}
}
