package live

import (
	"context"
	"fmt"

	"example.org/bobweight/knock"
)

// Pump is what the reader changes of the engine.
type Pump struct {
	RON   float64 `json:"ron"`
	MON   float64 `json:"mon"`
	Ratio float64 `json:"compression_ratio"`
}

// Engine is what it wants and tolerates at full load.
type Engine struct {
	Want []Want `json:"want"`
}

// Want is one speed; the bands hold 90 %.
type Want struct {
	RPM       float64 `json:"rpm"`
	MBT       float64 `json:"mbt_deg"`
	MBTLow    float64 `json:"mbt_low_deg"`
	MBTHigh   float64 `json:"mbt_high_deg"`
	Limited   bool    `json:"knock_limited"`
	Limit     float64 `json:"limit_deg"`
	LimitLow  float64 `json:"limit_low_deg"`
	LimitHigh float64 `json:"limit_high_deg"`
}

// ask runs the engine model, calibrated by what the job observed, with another
// fuel and compression ratio.
func (s *Session) ask(ctx context.Context, p *Pump) (*Engine, error) {
	fail := func(err error) (*Engine, error) { return nil, fmt.Errorf("%w: engine: %w", ErrCall, err) }
	model, err := knock.New(s.job.Engine)
	if err == nil && len(s.job.Observed) > 0 {
		model, err = model.Calibrate(ctx, s.job.Observed...)
	}
	if err != nil {
		return fail(err)
	}
	if f := s.job.Engine.Fuel; p.RON != f.RON || p.MON != f.MON {
		f.RON, f.MON = p.RON, p.MON
		if model, err = model.WithFuel(f); err != nil {
			return fail(err)
		}
	}
	if p.Ratio != s.job.Engine.CompressionRatio {
		if model, err = model.WithCompressionRatio(p.Ratio); err != nil {
			return fail(err)
		}
	}
	var conditions []knock.Condition
	for rpm := 1000.0; rpm < s.job.Top; rpm += 500 {
		c := s.job.Condition
		c.RPM = rpm
		conditions = append(conditions, c)
	}
	last := s.job.Condition
	last.RPM = s.job.Top
	want, err := model.Each(ctx, append(conditions, last), nil)
	if err != nil {
		return fail(err)
	}
	e := &Engine{}
	for _, w := range want {
		e.Want = append(e.Want, Want{
			RPM: w.RPM, MBT: w.MBT, MBTLow: w.MBTLow, MBTHigh: w.MBTHigh,
			Limited: w.KnockLimited, Limit: w.KLSA, LimitLow: w.KLSALow, LimitHigh: w.KLSAHigh,
		})
	}
	s.engine = e
	return e, nil
}
