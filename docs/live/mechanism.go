package live

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

const falling = flyweights.Falling

// Coil is one spring as a workshop measures it.
type Coil struct {
	Fitted  bool    `json:"fitted"`
	Rate    float64 `json:"rate_N_per_mm"`
	Free    float64 `json:"free_mm"`
	Initial float64 `json:"initial_N"`
	Slack   float64 `json:"slack_mm"`
}

// Knobs are what the reader turns.
type Knobs struct {
	Springs  []Coil  `json:"springs"` // one for each place of the job
	Mass     float64 `json:"mass_g"`  // of each weight
	Slot     float64 `json:"slot_mm"` // length of the slot
	Static   float64 `json:"static_deg"`
	Vacuum   float64 `json:"vacuum_inHg"` // at the unit's port; 0 is hose off
	Drag     float64 `json:"drag_mNm"`
	Friction float64 `json:"friction_mNm"`
}

// Mechanism is what the knobs make of it.
type Mechanism struct {
	RPM     []float64 `json:"rpm"`
	Rising  []float64 `json:"rising_deg"` // total, speed reached from below
	Falling []float64 `json:"falling_deg"`
	Low     []float64 `json:"low_deg"` // 90 % of builds lie between, rising; empty where that cannot be said
	High    []float64 `json:"high_deg"`
	Events  []Event   `json:"events"`

	Start  float64  `json:"start_rpm"`
	Return float64  `json:"return_rpm"`
	AllIn  float64  `json:"all_in_rpm"`
	Travel float64  `json:"travel_deg"`
	Total  float64  `json:"total_deg"` // static and travel, hose off
	Idle   float64  `json:"idle_deg"`  // what the light shows at idle, vacuum as set
	Begun  float64  `json:"begun_deg"` // mechanical advance in it
	Pulled float64  `json:"vacuum_deg"`
	Margin *float64 `json:"margin_deg"` // least distance below the knock limit's best estimate, hose off; nil until the engine is known
	At     float64  `json:"margin_rpm"`
}

// Event is one happening of a sweep.
type Event struct {
	Sweep   string  `json:"sweep"`
	Kind    string  `json:"kind"`
	RPM     float64 `json:"rpm"`
	ToRPM   float64 `json:"to_rpm"`
	Degrees float64 `json:"mechanical_deg"`
	ToDeg   float64 `json:"to_deg"`
	Cause   string  `json:"cause"`
}

// step is the distance between the speeds of a drawn curve, rpm.
const step = 50.0

// work is memory that is used again from one turn of a knob to the next.
type work struct {
	curve, build flyweights.Curve
	omegas       []float64
	sweep        []float64
}

// mechanism computes the curve, its band and its events.
func (s *Session) mechanism(k *Knobs) (*Mechanism, error) {
	m, err := s.assemble(k)
	if err != nil {
		return nil, err
	}
	curve, err := m.Curve(&s.work.curve)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	d := advance.Distributor{Drive: s.job.Drive, Static: k.Static, Mechanism: curve}
	if s.job.Vacuum != nil {
		d.Vacuum = &s.job.Vacuum.Unit
	}
	drive := s.job.Drive
	out := &Mechanism{
		Start: drive.RPM(curve.Start(flyweights.Rising)), Return: drive.RPM(curve.Start(falling)),
		AllIn: drive.RPM(curve.AllIn(flyweights.Rising)), Travel: drive.CrankDegrees(curve.Travel()),
	}
	out.Total = k.Static + out.Travel
	port := k.Vacuum * inHg
	still, err := d.Total(0, port, flyweights.Rising)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	out.Pulled = still - k.Static - d.Mechanical(0, flyweights.Rising)
	for rpm := 0.0; rpm <= s.job.Top; rpm += step {
		rising, err := d.Total(rpm, port, flyweights.Rising)
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrCall, err)
		}
		out.RPM = append(out.RPM, rpm)
		out.Rising = append(out.Rising, rising)
		out.Falling = append(out.Falling, k.Static+d.Mechanical(rpm, falling)+out.Pulled)
	}
	out.Begun = d.Mechanical(s.job.Idle, flyweights.Rising)
	out.Idle = k.Static + out.Begun + out.Pulled
	for _, dir := range []flyweights.Direction{flyweights.Rising, falling} {
		for _, e := range curve.Events(dir) {
			out.Events = append(out.Events, Event{
				Sweep: dir.String(), Kind: e.Kind.String(), RPM: drive.RPM(e.Omega), ToRPM: drive.RPM(e.ToOmega),
				Degrees: drive.CrankDegrees(e.Theta), ToDeg: drive.CrankDegrees(e.ToTheta), Cause: e.Cause,
			})
		}
	}
	s.margin(out, k, &d)
	s.band(out, &m, k)
	return out, nil
}

// assemble puts the mechanism of the job together with the knobs.
func (s *Session) assemble(k *Knobs) (flyweights.Mechanism, error) {
	j := s.job
	m := j.Mechanism
	if len(m.Weights) == 0 || m.Linkage == nil {
		return m, fmt.Errorf("%w: the job describes no mechanism to move", ErrCall)
	}
	if len(k.Springs) != len(j.Places) {
		return m, fmt.Errorf("%w: %d springs for %d places", ErrCall, len(k.Springs), len(j.Places))
	}
	m.Weights = slices.Clone(m.Weights)
	for i := range m.Weights {
		m.Weights[i].Mass = k.Mass * 1e-3
	}
	m.Drag, m.Friction.Moment = k.Drag*1e-3, k.Friction*1e-3
	for i, c := range k.Springs {
		if !c.Fitted {
			continue
		}
		post := j.Places[i].Posts[0]
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: c.Rate * 1e3, FreeLength: c.Free * 1e-3, InitialTension: c.Initial, Slack: c.Slack * 1e-3},
			A:   post.A, B: post.B,
		})
	}
	slot := j.Slot
	slot.Length = k.Slot * 1e-3
	travel, err := slot.Travel()
	if err == nil {
		m.Stop, err = flyweights.Swing(m.Linkage, travel)
	}
	if err != nil {
		return m, fmt.Errorf("%w: %w", ErrCall, err)
	}
	return m, nil
}

// Standard deviations between builds from parts of the same names (common
// practice, no source): rate and initial tension and mass as shares, length in m.
const (
	sigmaRate    = 0.05
	sigmaInitial = 0.10
	sigmaMass    = 0.01
	sigmaLength  = 0.1e-3
)

// band adds what 90 % of builds show: each number of the parts is moved by one
// standard deviation, and the moves of the curve are added as independent errors
// (first order, as a sum of squares). Where a moved part cannot be computed, as
// with a slot that has no travel left, the page goes without a band.
func (s *Session) band(out *Mechanism, m *flyweights.Mechanism, k *Knobs) {
	w := &s.work
	w.omegas = w.omegas[:0]
	for _, rpm := range out.RPM {
		w.omegas = append(w.omegas, s.job.Drive.Omega(rpm))
	}
	squares := make([]float64, len(out.RPM))
	moved := *m
	possible := true
	move := func(x *float64, by float64) {
		kept := *x
		*x += by
		_, err := moved.Curve(&w.build)
		*x = kept
		if err != nil {
			possible = false
			return
		}
		w.sweep = w.build.Sweep(w.sweep, w.omegas, flyweights.Rising)
		for i, theta := range w.sweep {
			d := k.Static + out.Pulled + s.job.Drive.CrankDegrees(theta) - out.Rising[i]
			squares[i] += d * d
		}
	}
	for i := range moved.Springs {
		law := &moved.Springs[i].Law
		move(&law.Rate, sigmaRate*law.Rate)
		move(&law.FreeLength, sigmaLength)
		if law.InitialTension > 0 {
			move(&law.InitialTension, sigmaInitial*law.InitialTension)
		}
	}
	for i := range moved.Weights {
		move(&moved.Weights[i].Mass, sigmaMass*moved.Weights[i].Mass)
	}
	move(&moved.Stop, m.Stop*sigmaLength*math.Sqrt2/(k.Slot*1e-3-s.job.Slot.Pin))
	if !possible {
		return
	}
	for i, rising := range out.Rising {
		half := normal90 * math.Sqrt(squares[i])
		out.Low, out.High = append(out.Low, rising-half), append(out.High, rising+half)
	}
}

// normal90 is how many standard deviations either side hold 90 % of a normal law.
const normal90 = 1.6449

// margin finds where the curve without vacuum comes nearest to the knock limit.
func (s *Session) margin(out *Mechanism, k *Knobs, d *advance.Distributor) {
	if s.engine == nil {
		return
	}
	for _, w := range s.engine.Want {
		if !w.Limited {
			continue
		}
		gap := w.Limit - k.Static - d.Mechanical(w.RPM, flyweights.Rising)
		if out.Margin == nil || gap < *out.Margin {
			out.Margin, out.At = &gap, w.RPM
		}
	}
}
