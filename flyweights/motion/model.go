package motion

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// Model is a mechanism with what only matters in motion. The zero value is
// refused by Check.
type Model struct {
	Mechanism   *flyweights.Mechanism
	CamInertia  float64 // kg m^2, >= 0: cam and rotor about the shaft
	Damping     float64 // N m per rad/s of the swing, 0 to 1e6: oil and grease
	Restitution float64 // speed off a stop over speed onto it, 0 to less than 1
}

// check refuses a mechanism that fails its own check, values out of range and a
// mechanism without inertia.
func (m *Model) check() error {
	if m == nil || m.Mechanism == nil {
		return fmt.Errorf("%w: no mechanism, valid is one that passes its check", errRange)
	}
	if err := m.Mechanism.Check(); err != nil {
		return fmt.Errorf("%w: mechanism: %w", errRange, err)
	}
	if err := check(valid.In("cam inertia", m.CamInertia, "kg m^2", 0, 1e3), valid.In("damping", m.Damping, "N m s/rad", 0, 1e6),
		valid.In("coefficient of restitution", m.Restitution, "", 0, 1-1e-9)); err != nil {
		return err
	}
	for i := range 17 {
		phi := m.Mechanism.Stop * float64(i) / 16
		s := m.Mechanism.State(phi, m.CamInertia, nil)
		if err := check(valid.In("inertia on the swing", s.Inertia, "kg m^2", 1e-15, 1e6), valid.In("springs' moment", s.Restore, "N m", -1e9, 1e9),
			valid.In("weights' moment", s.Weights, "kg m^2", 0, 1e6)); err != nil {
			return err
		}
	}
	return nil
}

// Settings says what to run and how finely. Only Duration has no default.
type Settings struct {
	Duration float64 // s, > 0, to 1e6
	Phi      float64 // rad: swing at the beginning, 0 to the stop
	Rate     float64 // rad/s: its rate

	Relative float64 // error per step relative to swing and rate; 0 means 1e-8
	Absolute float64 // and absolute, rad, and rad/s times 1000; 0 means 1e-10
	MaxStep  float64 // s; 0 means the profile's scale, at most a hundredth of Duration
	Every    float64 // s between the samples of the result, at most 1e6 of them; 0 means none
	// Sparks is how often per turn of the shaft the cam passes a firing
	// position; 0 means that sparks are not noted. A run has at most 1e6.
	Sparks int
	// Progress, if not nil, is told the share done, from time to time.
	Progress func(share float64)
}

// checked returns the settings with defaults filled in.
func (s *Settings) checked(m *Model, h SpeedProfile) (Settings, error) {
	if s == nil {
		return Settings{}, fmt.Errorf("%w: no settings, valid are some with a duration", errRange)
	}
	c := *s
	if err := check(valid.Above("duration", c.Duration, "s", 0, maxTime), valid.In("starting swing", c.Phi, "rad", 0, m.Mechanism.Stop),
		valid.In("starting rate", c.Rate, "rad/s", -1e6, 1e6), valid.In("relative error", c.Relative, "", 0, 0.1),
		valid.In("absolute error", c.Absolute, "rad", 0, 0.1), valid.In("longest step", c.MaxStep, "s", 0, maxTime),
		valid.In("sample interval", c.Every, "s", 0, inf), valid.In("sparks per turn", float64(c.Sparks), "", 0, maxCount)); err != nil {
		return Settings{}, err
	}
	if c.Every > 0 && !(c.Duration/c.Every <= maxCount) {
		return Settings{}, outOfRange("sample interval", c.Every, "s", fmt.Sprintf("%.6g s or more", c.Duration/maxCount))
	}
	_, _, turned := h.at(c.Duration)
	if sparks := turned / (2 * math.Pi) * float64(c.Sparks); !(sparks <= maxCount) {
		return Settings{}, outOfRange("sparks in the run", sparks, "", fmt.Sprintf("up to %.6g: fewer a turn, or a shorter run", float64(maxCount)))
	}
	if c.Relative == 0 {
		c.Relative = 1e-8
	}
	if c.Absolute == 0 {
		c.Absolute = 1e-10
	}
	if c.MaxStep == 0 {
		c.MaxStep = math.Min(h.scale(), c.Duration/100)
	}
	return c, nil
}

// eventKind names what interrupts the motion.
type eventKind int

const (
	// leave: the weights let go of a stop.
	leave eventKind = iota
	// arrive: they come onto a stop.
	arrive
	// stick: they come to rest within the band of friction.
	stick
	// slip: they move again.
	slip
	// takeUp: a spring begins to be pulled.
	takeUp
	// letGo: a spring goes slack.
	letGo
)

// String returns the name of the kind in lower case.
func (k eventKind) String() string {
	names := [...]string{"leave", "arrive", "stick", "slip", "take up", "let go"}
	if k < 0 || int(k) >= len(names) {
		return fmt.Sprintf("event kind %d", int(k))
	}
	return names[k]
}

// event is one interruption: when (s), at which swing (rad), advance (rad) and
// shaft speed (rad/s), how fast the weights then move (rad/s), and which spring,
// counted from 1, if it is about one.
type event struct {
	Kind                    eventKind
	Time, Phi, Theta, Omega float64
	Rate                    float64
	Spring                  int
}

// Spark is one passing of a firing position: when (s) and with which advance
// (rad).
type Spark struct{ Time, Theta float64 }

// Result is the course of a run. Times (s), Phi, Theta (rad) and Rate (rad/s)
// are samples at even intervals, the first at time 0.
type Result struct {
	Times, Phi, Theta, Rate []float64
	Events                  []event
	Sparks                  []Spark
	// EndTime, EndPhi and EndRate are time and state at the end of the run, or
	// where it was stopped.
	EndTime, EndPhi, EndRate float64
	// Steps accepted and rejected, and evaluations of the equation of motion:
	// the work done, which no clock decides.
	Steps, Rejected, Evaluations int
}

// Run moves the mechanism through the profile. Errors wrap [valid.ErrRange] for input
// out of range, which gives no result. A run that stops on its way returns the
// course so far with the error: the context's if that ends first; else one that
// wraps [valid.ErrRange] and says whether the motion is stiff, chatters or asks for more
// than ten million steps.
func (m *Model) Run(ctx context.Context, h SpeedProfile, s *Settings) (*Result, error) {
	if ctx == nil {
		return nil, fmt.Errorf("%w: no context, valid is one such as context.Background()", errRange)
	}
	if err := m.check(); err != nil {
		return nil, err
	}
	if h == nil {
		return nil, fmt.Errorf("%w: no speed profile, valid is one such as Ripple", errRange)
	}
	if err := h.check(); err != nil {
		return nil, err
	}
	c, err := s.checked(m, h)
	if err != nil {
		return nil, err
	}
	r := newRun(m, h, c)
	err = r.carry(ctx)
	r.end()
	return r.result, err
}
