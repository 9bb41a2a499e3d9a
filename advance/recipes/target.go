package recipes

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
)

// maxSpeed is far above the engines this is for.
const maxSpeed = 30_000 // rpm crank

// BandPoint is the window that the spark should keep at one speed, crank degrees
// before top centre.
type BandPoint struct{ RPM, Low, High float64 }

// Target is what would be best. At least one of MBT and Band is needed.
type Target struct {
	// MBT is the spark for best torque at full load, crank degrees over rpm, held
	// beyond its ends. Its points, or without it those of the band, count alike. A
	// speed at which the engine makes no torque has none to give up: leave it out
	// here; limits may name it all the same.
	MBT advance.Curve
	// Loss is the fraction of MBT torque lost where the spark stands off MBT: measured
	// or modelled, as plain data, in rising order of rpm. Between rows it goes in a
	// straight line of rpm, beyond them the nearest row is held. Without rows it is
	// 2.8e-4 for each square crank degree: a two-zone cycle computation gives 0.7, 2.8,
	// 6.0 and 10.2 % at 5, 10, 15 and 20 degrees late. Sums over speeds take that
	// parabola as it is, so 60 crank degrees off MBT or more give up more than all.
	Loss []LossRow
	// Band is the wanted total spark. Where no MBT is given, recipes are ranked
	// by how far they leave the band, then by distance from its middle.
	Band []BandPoint
}

// Window is a range that must be kept. The zero value sets no limit.
type Window struct{ Low, High float64 }

func (w Window) given() bool { return w != Window{} }

// orOpen is the window, or everything where it is not given.
func (w Window) orOpen() Window {
	if !w.given() {
		return Window{math.Inf(-1), math.Inf(1)}
	}
	return w
}

func (w Window) check(field, unit string, lo, hi float64) error {
	return firstOf(within(field+" low", w.Low, unit, lo, hi), within(field+" high", w.High, unit, w.Low, hi))
}

// Limits are what a recipe must keep. The zero value asks for a start above
// idle, on both sweeps, and for no snap at or above idle; everything else is
// free until it is given. Weights that friction holds out at standstill are
// refused whatever the limits: what they show at idle and at the starter depends
// on what was before.
type Limits struct {
	// Knock is the knock-limited spark over rpm, held beyond its ends, and KnockMargin the crank
	// degrees to stay below it, on the rising and on the falling sweep.
	Knock       advance.Curve
	KnockMargin float64
	// KnockEvery is the spacing in rpm at which the limit is kept between its
	// points too, on straight lines: a curve that rises in a step may poke
	// through there. 0 stands for 250. A curve's own bends are always judged.
	KnockEvery float64

	// The advance must begin at least StartMargin rpm above idle, and on the
	// falling sweep must have ended ReturnMargin rpm above idle, unless
	// AdvanceAtIdle allows it to reach into the idle.
	StartMargin, ReturnMargin float64
	AdvanceAtIdle             bool

	AllIn       Window // engine rpm at which the rising sweep reaches the stop
	Total       Window // static + travel, crank degrees
	IdleReading Window // static + mechanical at idle, either sweep, crank degrees

	// Snap allows the weights to jump. Without it no snap may touch the speeds
	// in Driving (the zero value stands for idle and above).
	Snap    bool
	Driving Window

	// Filing allows a travel beyond the slot as it is; closing is always allowed.
	Filing bool
}

// mayReachIdle reports whether no speed is asked for above which the advance must
// have ended on the falling sweep.
func (p *Problem) mayReachIdle() bool {
	return p.Limits.AdvanceAtIdle || p.Idle+p.Limits.ReturnMargin == 0
}

// checkCurve refuses points that no engine has.
func checkCurve(field string, c advance.Curve) error {
	for i, q := range c.Points() {
		name := fmt.Sprintf("%s point %d", field, i+1)
		if err := firstOf(within(name+" speed", q.RPM, "rpm crank", 0, maxSpeed), within(name, q.Degrees, "deg crank", -180, 180)); err != nil {
			return err
		}
	}
	return nil
}

func (l *Limits) check() error {
	return firstOf(checkCurve("knock limit", l.Knock), within("knock margin", l.KnockMargin, "deg crank", 0, 60),
		l.checkEvery(),
		within("start margin", l.StartMargin, "rpm crank", 0, maxSpeed),
		within("return margin", l.ReturnMargin, "rpm crank", 0, maxSpeed),
		l.AllIn.check("all-in window", "rpm crank", 0, maxSpeed),
		l.Total.check("total window", "deg crank", -90, 180),
		l.IdleReading.check("idle reading window", "deg crank", -90, 180),
		l.Driving.check("driving range", "rpm crank", 0, maxSpeed))
}

// Spacing of the speeds at which the knock limit is kept, rpm crank.
const (
	defaultEvery = 250
	leastEvery   = 10
)

func (l *Limits) checkEvery() error {
	if l.KnockEvery == 0 {
		return nil
	}
	return within("knock limit spacing", l.KnockEvery, "rpm crank", leastEvery, maxSpeed)
}

// between returns the speeds between the points of the knock limit at which it
// must be kept as well.
func (l *Limits) between() []float64 {
	every := l.KnockEvery
	if every == 0 {
		every = defaultEvery
	}
	var all []float64
	points := l.Knock.Points()
	for i := 1; i < len(points); i++ {
		a, b := points[i-1].RPM, points[i].RPM
		n := int(math.Ceil((b - a) / every))
		for k := 1; k < n; k++ {
			all = append(all, a+(b-a)*float64(k)/float64(n))
		}
	}
	return all
}

func (t *Target) check() error {
	if len(t.Band) == 0 && len(t.MBT.Points()) == 0 {
		return refuse("target names neither MBT nor a band, valid is one or both")
	}
	for i, b := range t.Band {
		field := fmt.Sprintf("band point %d", i+1)
		if err := firstOf(within(field+" speed", b.RPM, "rpm crank", 0, maxSpeed),
			Window{b.Low, b.High}.check(field, "deg crank", -90, 180)); err != nil {
			return err
		}
	}
	return firstOf(checkCurve("MBT", t.MBT), losses(t.Loss).check())
}
