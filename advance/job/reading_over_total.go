package job

import (
	"fmt"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
)

// readOver is a reading above the wanted total where the stop was not seen. Crank
// degrees and engine rpm.
type readOver struct {
	seen, rpm float64 // the reading
	least     float64 // that the total is, 95 % sure: the light's error allowed for
	wanted    float64
	of        string // whose figure that is
}

// readOver returns the highest reading with the hose off where it lies above the wanted
// total and the fit bounds the total from below only; nil elsewhere.
func (w *work) readOver() *readOver {
	if w.fit == nil || w.job.onMachine || w.fit.Total.Bound != readings.AtLeast {
		return nil
	}
	over := &readOver{least: w.fit.Total.Low}
	over.wanted, over.of = w.job.wantedTotal(w.wants)
	for _, x := range w.fit.Readings {
		if !x.HoseOn && x.Degrees > over.seen {
			over.seen, over.rpm = x.Degrees, x.RPM
		}
	}
	if !(over.seen > over.wanted) {
		return nil
	}
	return over
}

// finding says it by the reading, with what the light's error leaves of it.
func (o *readOver) finding(f *readings.Finding) Finding {
	return Finding{
		Code: f.Code, Severity: f.Severity, Size: text.Round(o.seen - o.wanted), Unit: f.Unit, Evidence: f.Evidence,
		Text: fmt.Sprintf("The total is over: the light showed %.1f deg crank at %.0f rpm, against the %.1f %s. With the light's error allowed for, the total is still at least %.1f (95 %% sure). The stop was not seen, so it may be more than was read. Too much advance under load can destroy an engine. Take %.1f deg or more out before driving.",
			o.seen, o.rpm, o.wanted, o.of, o.least, o.seen-o.wanted),
	}
}
