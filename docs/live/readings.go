package live

import (
	"context"
	"fmt"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// Reading is one look with the light, hose off.
type Reading struct {
	RPM     float64 `json:"rpm"`
	Degrees float64 `json:"deg"`
	Falling bool    `json:"falling,omitempty"`
}

// Light is a set of readings with the standard errors of one.
type Light struct {
	Readings []Reading `json:"readings"`
	Angle    float64   `json:"angle_error_deg"`
	Speed    float64   `json:"speed_error_rpm"`
	Band     bool      `json:"band"` // also wanted: the band, which costs more than the fit
}

// Fit is the curve that made them.
type Fit struct {
	Model     string    `json:"model"`
	Estimates []Named   `json:"estimates"`
	RPM       []float64 `json:"rpm"` // of the curve between the outermost readings
	Degrees   []float64 `json:"deg"`
	Residuals []float64 `json:"residuals_deg"`
	Outliers  []int     `json:"outliers"`
	Findings  []Finding `json:"findings"`
	BandRPM   []float64 `json:"band_rpm,omitempty"` // where the curve is known on both sides
	Low       []float64 `json:"low_deg,omitempty"`
	High      []float64 `json:"high_deg,omitempty"`
}

// Named is an estimate as a sentence says it.
type Named struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Text  string  `json:"text"`
}

// Finding is something that the readings show.
type Finding struct {
	Severity string `json:"severity"`
	Text     string `json:"text"`
	Evidence string `json:"evidence"`
}

// fit recovers the curve from the readings alone.
func (s *Session) fit(ctx context.Context, l *Light) (*Fit, error) {
	list := make([]readings.Reading, len(l.Readings))
	low, high := s.job.Top, 0.0
	for i, r := range l.Readings {
		list[i] = readings.Reading{RPM: r.RPM, Degrees: r.Degrees}
		if r.Falling {
			list[i].Direction = flyweights.Falling
		}
		low, high = min(low, r.RPM), max(high, r.RPM)
	}
	r, err := readings.Fit(ctx, list, &readings.Settings{SigmaDegrees: l.Angle, SigmaRPM: l.Speed})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	const deg, rpm = "deg crank", "rpm crank"
	out := &Fit{Model: r.Model.String(), Residuals: r.Residuals, Outliers: append([]int{}, r.Outliers...), Findings: []Finding{}}
	name := func(name string, e readings.Estimate, decimals int, unit string) {
		out.Estimates = append(out.Estimates, Named{name, e.Value, e.Text(decimals, unit)})
	}
	name("Static timing", r.Static, 1, deg)
	name("Advance begins", r.Start, 0, rpm)
	name("All in", r.AllIn, 0, rpm)
	name("Travel", r.Travel, 1, deg)
	name("Total", r.Total, 1, deg)
	for i, e := range r.Slopes {
		name(fmt.Sprintf("Slope %d", i+1), e, 1, "deg crank per 1000 rpm")
	}
	for _, e := range r.Knees {
		name("Knee", e, 0, rpm)
	}
	for _, p := range r.Curve.Points() {
		out.RPM, out.Degrees = append(out.RPM, p.RPM), append(out.Degrees, p.Degrees)
	}
	want := readings.Wanted{
		Idle: s.job.Idle, Total: s.job.Wish.Total, AllIn: (s.job.Wish.AllIn.Low + s.job.Wish.AllIn.High) / 2,
		RPMWithin: (s.job.Wish.AllIn.High - s.job.Wish.AllIn.Low) / 2, SlotRadius: s.job.Slot.Radius, Drive: s.job.Drive,
	}
	for _, f := range readings.Diagnose(r, want) {
		out.Findings = append(out.Findings, Finding{f.Severity, f.Text, f.Evidence})
	}
	if l.Band {
		return out, out.band(r, low, high)
	}
	return out, nil
}

// bandSteps is in how many pieces the band is drawn.
const bandSteps = 40

// band adds the 95 % band between the outermost readings.
func (f *Fit) band(r *readings.Result, low, high float64) error {
	for i := range bandSteps + 1 {
		rpm := low + (high-low)*float64(i)/bandSteps
		e, err := r.Band(rpm)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrCall, err)
		}
		if e.Bound == readings.Interval {
			f.BandRPM = append(f.BandRPM, rpm)
			f.Low, f.High = append(f.Low, e.Low), append(f.High, e.High)
		}
	}
	return nil
}
