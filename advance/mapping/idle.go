package mapping

import (
	"errors"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/springs/root"
	"example.org/bobweight/vacuum"
)

// Idling is an engine at idle with the hose on. The engine's breathing is that of
// System, whose Unit is replaced by the distributor's.
type Idling struct {
	Distributor *advance.Distributor // with its vacuum unit
	System      *vacuum.System       // engine, throttle, air, source and hose
	RPM         float64              // engine rpm, 200 to 3000

	Work     airpath.Load // brake and friction mean pressure, heat, and the indicated efficiency at best torque; its RPM is set from RPM
	Drag     float64      // Pa per engine rpm by which brake and friction rise with speed, >= 0; a friction left to the engine has its own rise besides
	MBT      float64      // crank degrees BTDC of best torque at idle
	Flatness float64      // share of torque lost per square degree off MBT; 0 means 0.00028; a spark off by x deg loses Flatness x^2

	// ManifoldVacuum is the vacuum in Pa that was measured at this idle, hose as in
	// System; the friction then follows from it. 0 = it follows from Work.
	ManifoldVacuum float64

	Wander float64 // rpm by which idle wanders either way; 0 means 25
	Jitter float64 // Pa by which the vacuum wanders besides; 0 means 1.5 inHg
}

// flatness is the usual curvature of torque over spark: 5, 10, 15 and 20 degrees
// off best torque cost 0.7, 2.8, 6.3 and 11 per cent. Literature curves agree to
// about a per cent of torque (from memory).
const flatness = 0.00028

// torqueLost returns the share of torque that a spark off degrees away from best
// torque gives up, 0 to 1, in the parabola flat off^2; flat in 1/deg^2.
func torqueLost(off, flat float64) float64 { return math.Min(1, flat*off*off) }

// IdleState is the answer of [Idle].
type IdleState struct {
	Pressure   float64 // Pa absolute in the manifold
	Vacuum     float64 // Pa below ambient, at the hose's source
	Spark      float64 // crank degrees BTDC
	Pull       string  // of the vacuum unit, with the wander of vacuum, as in [Advice]
	Mechanical float64 // crank degrees of mechanical advance at idle; more than 0 = it has begun
	Below      float64 // Pa that the vacuum stays below the onset; negative = above
	Above      float64 // Pa that the vacuum stays above the full pull; negative = below
	Slope      float64 // crank degrees of spark per rpm, over the wander
	Restore    float64 // Pa of mean pressure per rpm with which the engine holds its speed at a fixed spark
	Gain       float64 // loop gain: torque per rpm that the spark adds, over Restore; from 1 the idle runs away
	Steady     bool    // Gain below a half, and the unit not on its ramp
	Why        string  // in a sentence
}

// steadyGain is the largest loop gain that is called steady. At one the idle runs
// away; a half leaves the engine half of its own stiffness (a choice of ours).
const steadyGain = 0.5

// Idle works out the steady idle with the hose on and whether it stays put.
//
// The manifold pressure is that at which the charge pays for friction and
// pumping with the spark that the distributor gives at that very vacuum; the
// throttle is then fixed. Over the wander of speed, air flow follows the throttle,
// the vacuum follows the speed, and the spark follows both. With b the mean
// pressure of the engine's torque less its load,
//
//	gain = (db/dspark dspark/dN) / -(db/dN at fixed spark)
//
// which is the loop gain of the flyweights alone, see idleSlopes, extended by the
// vacuum.
// Where several idles are possible the one with the deepest vacuum is taken.
func Idle(in Idling) (*IdleState, error) {
	w, err := newIdler(&in)
	if err != nil {
		return nil, err
	}
	p, err := w.steady()
	if err != nil {
		return nil, err
	}
	s := &IdleState{Pressure: p, Mechanical: in.Distributor.Mechanical(in.RPM, flyweights.Rising)}
	if s.Spark, s.Vacuum, err = w.spark(in.RPM, p); err != nil {
		return nil, err
	}
	if u := in.Distributor.Vacuum; u != nil {
		s.Below, s.Above = u.Onset()-s.Vacuum, s.Vacuum-u.Full()
		switch {
		case s.Below >= w.in.Jitter:
			s.Pull = pulledNot
		case s.Above >= w.in.Jitter:
			s.Pull = pulledFully
		default:
			s.Pull = pulledPartly
		}
	}
	if err := w.gain(s); err != nil {
		return nil, err
	}
	s.judge()
	return s, nil
}

// judge puts the verdict into words.
func (s *IdleState) judge() {
	const inHg = vacuum.InchOfMercury
	s.Steady = s.Gain < steadyGain && s.Pull != pulledPartly
	switch {
	case s.Gain >= 1:
		s.Why = fmt.Sprintf("the spark gains %.2f deg per 100 rpm and adds torque faster than the engine sheds it (loop gain %.2f): idle runs away", 100*s.Slope, s.Gain)
	case s.Pull == pulledPartly && s.Above >= 0:
		s.Why = fmt.Sprintf("the vacuum unit is fully pulled at %.1f inHg with only %.1f inHg to spare: a lower idle brings it onto its ramp", s.Vacuum/inHg, s.Above/inHg)
	case s.Pull == pulledPartly && s.Below >= 0:
		s.Why = fmt.Sprintf("the vacuum unit is not pulled at %.1f inHg, but only %.1f inHg short of it: a deeper idle vacuum brings it onto its ramp", s.Vacuum/inHg, s.Below/inHg)
	case s.Pull == pulledPartly:
		s.Why = fmt.Sprintf("the vacuum unit is on its ramp at %.1f inHg: idle follows every wander of the vacuum (loop gain %.2f)", s.Vacuum/inHg, s.Gain)
	case s.Gain >= steadyGain:
		s.Why = fmt.Sprintf("the spark gains %.2f deg per 100 rpm, loop gain %.2f: idle hunts easily", 100*s.Slope, s.Gain)
	case s.Pull == pulledFully:
		s.Why = fmt.Sprintf("the vacuum unit is fully pulled with %.1f inHg to spare, loop gain %.2f", s.Above/inHg, s.Gain)
	default:
		s.Why = fmt.Sprintf("no vacuum advance at idle, loop gain %.2f", s.Gain)
	}
}

// idler is an Idling with its defaults filled in.
type idler struct {
	in   Idling
	sys  vacuum.System
	path *airpath.Path
}

func newIdler(in *Idling) (*idler, error) {
	if in.Distributor == nil || in.System == nil {
		return nil, fmt.Errorf("%w: idling has a distributor: %t, a system: %t, valid is both", errRange, in.Distributor != nil, in.System != nil)
	}
	if err := in.Distributor.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	w := &idler{in: *in, sys: *in.System}
	if in.Distributor.Vacuum != nil {
		w.sys.Unit = *in.Distributor.Vacuum
	}
	if err := w.sys.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	var err error
	if w.path, err = airpath.New(w.sys.Intake, w.sys.Throttle, w.sys.Air); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	fallback := func(x *float64, v float64) {
		if *x == 0 {
			*x = v
		}
	}
	fallback(&w.in.Flatness, flatness)
	fallback(&w.in.Wander, 25)
	fallback(&w.in.Jitter, defaultScatter)
	return w, check(
		within("idle speed", in.RPM, "rpm crank", 200, 3000),
		within("drag", in.Drag, "Pa per rpm crank", 0, 1e4),
		within("MBT at idle", in.MBT, "deg crank", 0, 80),
		within("flatness", w.in.Flatness, "1/deg^2", 1e-6, 0.01),
		within("idle vacuum", in.ManifoldVacuum, "Pa", 0, 0.99*w.sys.Air.Pressure),
		within("wander", w.in.Wander, "rpm crank", 1, 0.4*in.RPM),
		within("jitter", w.in.Jitter, "Pa", 0, 50e3),
	)
}

// spark returns the crank degrees and the vacuum at the hose's source, at an engine
// speed and a manifold pressure.
func (w *idler) spark(rpm, p float64) (deg, v float64, err error) {
	d := w.in.Distributor
	if w.sys.Source == vacuum.FromManifold {
		v = w.sys.Air.Pressure - p
	}
	if d.Vacuum == nil {
		deg, err = d.Total(rpm, 0, flyweights.Rising)
		return deg, v, err
	}
	chamber, err := w.sys.Hose.Chamber(w.sys.Unit, w.sys.Air, w.sys.Air.Pressure-v)
	if err != nil {
		return 0, 0, err
	}
	v = math.Max(0, w.sys.Air.Pressure-chamber)
	deg, err = d.Total(rpm, v, flyweights.Rising)
	return deg, v, err
}

// surplus is the mean pressure of torque less load and pumping, at a spark.
func (w *idler) surplus(rpm, p, spark float64) (float64, error) {
	l := w.in.Work
	l.RPM = rpm
	l.Brake += w.in.Drag * (rpm - w.in.RPM)
	return w.path.Surplus(l, p, 1-torqueLost(w.in.MBT-spark, w.in.Flatness))
}

// steady is the manifold pressure of the steady idle: the measured one, with the
// friction that belongs to it, or that at which the work is balanced.
func (w *idler) steady() (float64, error) {
	if w.in.ManifoldVacuum == 0 {
		return w.balance()
	}
	p := w.sys.Air.Pressure - w.in.ManifoldVacuum
	deg, _, err := w.spark(w.in.RPM, p)
	if err != nil {
		return 0, err
	}
	w.in.Work.Friction = 1e5
	rest, err := w.surplus(w.in.RPM, p, deg)
	if err != nil {
		return 0, err
	}
	w.in.Work.Friction += rest
	return p, check(within("friction mean pressure by the measured idle vacuum", w.in.Work.Friction, "Pa", 1e4, 4e5))
}

// balance finds the manifold pressure of the steady idle: the first change of sign
// from deep vacuum upwards. Pressures at which burned gas is out of range are
// passed over.
func (w *idler) balance() (float64, error) {
	at := func(p float64) (float64, error) {
		deg, _, err := w.spark(w.in.RPM, p)
		if err != nil {
			return 0, err
		}
		return w.surplus(w.in.RPM, p, deg)
	}
	pa := w.sys.Air.Pressure
	const steps = 400
	lo, found, last := 0.0, false, error(nil)
	for i := 20; i <= steps; i++ {
		p := pa * float64(i) / steps
		y, err := at(p)
		switch {
		case err != nil:
			last = err
			continue
		case y < 0:
			lo, found = p, true
			continue
		case !found:
			return 0, fmt.Errorf("%w: idle load is below what the engine makes at %.0f Pa of manifold pressure, valid is more load or less efficiency", errRange, p)
		}
		p, _, err = root.Brent(func(p float64) float64 {
			y, err := at(p)
			if err != nil {
				last = err
				return math.NaN()
			}
			return y
		}, lo, p, 1e-9*pa)
		if errors.Is(err, root.ErrBracket) && last != nil {
			err = last
		}
		return p, err
	}
	if last != nil && !found {
		return 0, last
	}
	return 0, fmt.Errorf("%w: idle load is more than the engine makes at full throttle, valid is less load or more efficiency", errRange)
}

// held fixes the throttle at the idle found: a closed plate whose bypass is the whole
// opening, so that the angle does not matter.
func (w *idler) held(p float64) (*airpath.Path, error) {
	th := w.sys.Throttle
	th.Bypass = 1
	square, err := airpath.New(w.sys.Intake, th, w.sys.Air)
	if err != nil {
		return nil, err
	}
	th.Bypass = w.path.Out(w.in.RPM, p) / square.In(th.Closed, p) // flow over that of a square metre
	return airpath.New(w.sys.Intake, th, w.sys.Air)
}

// gain compares the two slopes over the wander of speed, with the throttle fixed.
func (w *idler) gain(s *IdleState) error {
	d := w.in.Distributor
	path, err := w.held(s.Pressure)
	if err != nil {
		return err
	}
	var spark, fixed, free [2]float64
	for i, n := range [...]float64{w.in.RPM - w.in.Wander, w.in.RPM + w.in.Wander} {
		p, err := path.Manifold(w.sys.Throttle.Closed, n, 0)
		if err != nil {
			return err
		}
		if spark[i], _, err = w.spark(n, p); err != nil {
			return err
		}
		if fixed[i], err = w.surplus(n, p, s.Spark); err != nil {
			return err
		}
		if free[i], err = w.surplus(n, p, spark[i]); err != nil {
			return err
		}
	}
	// Slopes at the distributor shaft; mean pressure stands for torque in all of them.
	speed := d.Drive.Omega(2 * w.in.Wander)
	turn := d.Drive.ShaftRadians(spark[1] - spark[0])
	held := fixed[1] - fixed[0]
	loop := idleSlopes{AdvancePerSpeed: turn / speed, TorquePerSpeed: held / speed} // the load is part of the surplus
	if turn != 0 {
		loop.TorquePerAdvance = (free[1] - free[0] - held) / turn
	}
	if s.Gain, err = loop.loopGain(); err != nil {
		return fmt.Errorf("%w: %w", errRange, err)
	}
	s.Slope = (spark[1] - spark[0]) / (2 * w.in.Wander)
	s.Restore = -held / (2 * w.in.Wander)
	return nil
}
