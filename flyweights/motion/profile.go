package motion

import (
	"fmt"
	"math"
	"sort"

	"example.org/bobweight/springs/valid"
)

// SpeedProfile is the shaft's speed over time: [Ripple] (of depth 0 for a steady speed),
// [FirstOrderLag] or that of [NewPoints].
type SpeedProfile interface {
	// at returns the speed in rad/s, its rate of change in rad/s^2 and the angle
	// turned since time 0 in rad, at a time t >= 0 in s.
	at(t float64) (omega, alpha, angle float64)
	// next returns the first time after t at which the rate of change jumps;
	// +Inf if there is none.
	next(t float64) float64
	// scale returns the longest step in s that does not pass over a feature.
	scale() float64
	// check refuses a profile that is not one.
	check() error
}

// SpeedAt returns the speed of a profile in rad/s at a time t of 0 to 1e9 s; 0 at any
// other, without a profile, and of one that is out of its range.
func SpeedAt(p SpeedProfile, t float64) float64 {
	if p == nil || !(t >= 0 && t <= 1e9) || p.check() != nil {
		return 0
	}
	omega, _, _ := p.at(t)
	return omega
}

// Ripple is a mean speed with a sine wave upon it, as the firing strokes make,
//
//	omega = Mean (1 + Depth sin(PerTurn Mean t + Phase))
type Ripple struct {
	Mean    float64 // rad/s, > 0, to 1e5
	Depth   float64 // share of the mean, 0 to less than 1
	PerTurn float64 // waves per turn of the shaft, 1e-6 to 1000
	Phase   float64 // rad
}

// at returns the wave, its derivative and its integral.
func (r Ripple) at(t float64) (omega, alpha, angle float64) {
	w := r.PerTurn * r.Mean
	sin, cos := math.Sincos(w*t + r.Phase)
	return r.Mean * (1 + r.Depth*sin), r.Mean * r.Depth * w * cos,
		r.Mean*t - r.Mean*r.Depth/w*(cos-math.Cos(r.Phase))
}

// next returns +Inf.
func (r Ripple) next(float64) float64 { return math.Inf(1) }

// scale returns a sixteenth of a wave.
func (r Ripple) scale() float64 { return 2 * math.Pi / (r.PerTurn * r.Mean) / 16 }

// check refuses values out of range.
func (r Ripple) check() error {
	return check(valid.Above("ripple mean speed", r.Mean, "rad/s", 0, maxSpeed),
		valid.In("ripple waves per turn", r.PerTurn, "", 1e-6, 1e3),
		valid.In("ripple depth", r.Depth, "", 0, 1-1e-9), valid.In("ripple phase", r.Phase, "rad", -1e6, 1e6))
}

// FirstOrderLag is a speed that goes from one value to another as an engine does
// after its throttle is snapped open or shut,
//
//	omega = To + (From - To) exp(-(t - Delay)/Time),   From before Delay
type FirstOrderLag struct {
	From, To float64 // rad/s, 0 to 1e5
	Time     float64 // s, 1e-9 to 1e6: after it 63 % of the way is done
	Delay    float64 // s, 0 to 1e6
}

// at returns the speed, its derivative and its integral.
func (a FirstOrderLag) at(t float64) (omega, alpha, angle float64) {
	if t < a.Delay {
		return a.From, 0, a.From * t
	}
	d := a.From - a.To
	e := math.Exp(-(t - a.Delay) / a.Time)
	return a.To + d*e, -d * e / a.Time, a.From*a.Delay + a.To*(t-a.Delay) + d*a.Time*(1-e)
}

// next returns the end of the delay if it is still to come.
func (a FirstOrderLag) next(t float64) float64 {
	if t < a.Delay {
		return a.Delay
	}
	return math.Inf(1)
}

// scale returns a quarter of the time constant.
func (a FirstOrderLag) scale() float64 { return a.Time / 4 }

// check refuses values out of range.
func (a FirstOrderLag) check() error {
	return check(valid.In("speed from", a.From, "rad/s", 0, maxSpeed), valid.In("speed to", a.To, "rad/s", 0, maxSpeed),
		valid.In("time constant", a.Time, "s", 1e-9, maxTime), valid.In("delay", a.Delay, "s", 0, maxTime))
}

// points is a speed read off at times and joined by straight lines; it is held
// before the first and after the last. Make one with [NewPoints].
type points struct{ t, omega, angle []float64 }

// NewPoints returns the profile through the speeds omega in rad/s, 0 to 1e5, at the
// times t in s, which rise strictly from 0 or later, to 1e6; two points or more. The
// slices are copied.
func NewPoints(t, omega []float64) (SpeedProfile, error) {
	if len(t) != len(omega) || len(t) < 2 {
		return nil, fmt.Errorf("%w: profile has %d times and %d speeds, valid is as many of each, 2 or more", errRange, len(t), len(omega))
	}
	p := &points{t: append([]float64(nil), t...), omega: append([]float64(nil), omega...), angle: make([]float64, len(t))}
	for i := range t {
		if err := check(valid.In(fmt.Sprintf("profile time %d", i+1), t[i], "s", 0, maxTime),
			valid.In(fmt.Sprintf("profile speed %d", i+1), omega[i], "rad/s", 0, maxSpeed)); err != nil {
			return nil, err
		}
		if i == 0 {
			p.angle[0] = omega[0] * t[0]
			continue
		}
		if !(t[i] > t[i-1]) {
			return nil, outOfRange(fmt.Sprintf("profile time %d", i+1), t[i], "s", "above the one before")
		}
		p.angle[i] = p.angle[i-1] + (omega[i]+omega[i-1])/2*(t[i]-t[i-1])
	}
	return p, nil
}

// at returns the speed on the lines, their slope, and the area below them.
func (p *points) at(t float64) (omega, alpha, angle float64) {
	if p == nil || len(p.t) == 0 {
		return 0, 0, 0
	}
	n := len(p.t)
	// The line after a point holds at the point itself, as a step begins there.
	i := sort.Search(n, func(i int) bool { return p.t[i] > t })
	switch i {
	case 0:
		return p.omega[0], 0, p.omega[0] * t
	case n:
		return p.omega[n-1], 0, p.angle[n-1] + p.omega[n-1]*(t-p.t[n-1])
	}
	alpha = (p.omega[i] - p.omega[i-1]) / (p.t[i] - p.t[i-1])
	dt := t - p.t[i-1]
	return p.omega[i-1] + alpha*dt, alpha, p.angle[i-1] + (p.omega[i-1]+alpha*dt/2)*dt
}

// next returns the next point's time.
func (p *points) next(t float64) float64 {
	i := sort.Search(len(p.t), func(i int) bool { return p.t[i] > t })
	if i == len(p.t) {
		return math.Inf(1)
	}
	return p.t[i]
}

// scale returns +Inf: every step ends at a point anyhow.
func (p *points) scale() float64 { return math.Inf(1) }

// check refuses the zero value and nil.
func (p *points) check() error {
	if p == nil || len(p.t) == 0 {
		return fmt.Errorf("%w: profile without points, valid is one made by NewPoints", errRange)
	}
	return nil
}
