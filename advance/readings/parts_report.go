package readings

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// report states the estimates of a fit of parts.
func (m *mechanical) report(ctx context.Context, r *PartsResult, places []int) error {
	m.place(m.best)
	sum, good := 0.0, 0.0
	for i, o := range m.obs {
		d := math.Sqrt(3) * o.sigmaRPM
		slope := (m.degrees(o.rpm+d, o.falling) - m.degrees(o.rpm-d, o.falling)) / (2 * d)
		z := (o.deg - m.degrees(o.rpm, o.falling)) / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
		p := blunder(z, m.set.Blunders)
		if p > 0.5 {
			r.Blunders = append(r.Blunders, places[i])
		}
		sum += (1 - p) * z * z
		good += 1 - p
	}
	m.threshold = allowed(sum, good, 1)
	r.Mechanism = m.trial
	r.Mechanism.Springs = slices.Clone(m.springs)
	var points []advance.Point
	low, high := math.Inf(1), 0.0
	for _, o := range m.obs {
		low, high = math.Min(low, o.rpm), math.Max(high, o.rpm)
	}
	const pieces = 60
	for k := range pieces + 1 {
		n := low + (high-low)*float64(k)/pieces
		points = append(points, advance.Point{RPM: n, Degrees: m.degrees(n, false)})
	}
	r.Curve, _ = advance.NewCurve(points) // rising speeds and a finite curve

	d := m.parts.Drive
	for _, e := range []struct {
		into  *Estimate
		of    func() float64
		trial float64
	}{
		{&r.Static, func() float64 { return m.static }, 1},
		{&r.Travel, m.travel, 1},
		{&r.Total, func() float64 { return m.static + m.travel() }, 1},
		{&r.Start, func() float64 { return d.RPM(m.curve.Start(flyweights.Rising)) }, 40},
		{&r.AllIn, func() float64 { return d.RPM(m.curve.AllIn(flyweights.Rising)) }, 60},
	} {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("readings: fit of parts: %w", err)
		}
		*e.into = m.interval(e.of, e.trial)
	}
	for i := range m.springs {
		rate, length := m.springs[i].Law.Rate, m.parts.Length
		r.Rates = append(r.Rates, m.interval(func() float64 { return m.springs[i].Law.Rate }, 2*m.parts.Rate*rate))
		r.Lengths = append(r.Lengths, m.interval(func() float64 { return m.springs[i].Law.FreeLength }, 2*length))
	}
	return nil
}

// interval profiles a quantity of the current curve. Priors hold every parameter,
// so both ends exist within a hundred trial distances; one that does not leaves its
// side open.
func (m *mechanical) interval(of func() float64, trial float64) Estimate {
	m.place(m.best)
	centre := of()
	e := Estimate{Value: centre}
	const far = 100
	var open [2]bool
	for k, sign := range []float64{-1, 1} {
		w := walk{
			least: func(h float64, x []float64) float64 {
				m.held, m.at, m.sigma = of, centre+sign*h, 1e-3*trial
				v, err := m.minimise(x)
				m.held = nil
				if err != nil {
					return math.Inf(1)
				}
				return v
			},
			floor: m.deviance, threshold: m.threshold,
			x: slices.Clone(m.best), inside: slices.Clone(m.best),
		}
		h, ok := w.out(m.deviance, trial, far*trial)
		open[k] = !ok
		if k == 0 {
			e.Low = centre - h
		} else {
			e.High = centre + h
		}
	}
	switch {
	case open[0] && open[1]:
		return Estimate{Bound: Unknown}
	case open[0]:
		e.Low, e.Bound = e.Value, AtMost
	case open[1]:
		e.High, e.Bound = e.Value, AtLeast
	}
	return e
}

// Band returns the curve (rising) at an engine speed of 0 to 20,000 rpm with its
// 95 % interval, crank degrees.
func (r *PartsResult) Band(rpm float64) (Estimate, error) {
	if r == nil || r.fit == nil {
		return Estimate{}, fmt.Errorf("%w: the result is empty, valid is one that FitParts returned", ErrRange)
	}
	if !(rpm >= 0 && rpm <= maxRPM) {
		return Estimate{}, outOfRange("speed", rpm, rpmCrank, "0 to 20000")
	}
	m := r.fit.clone()
	return m.interval(func() float64 { return m.degrees(rpm, false) }, 1), nil
}

// clone returns a copy that can be profiled without touching m.
func (m *mechanical) clone() *mechanical {
	c := &mechanical{parts: m.parts, set: m.set, obs: m.obs, best: m.best, deviance: m.deviance, threshold: m.threshold}
	c.trial = *m.parts.Mechanism
	c.springs = slices.Clone(m.parts.Mechanism.Springs)
	c.trial.Springs = c.springs
	return c
}
