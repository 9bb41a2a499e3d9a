package recipes

import (
	"math"
	"slices"
)

// plan is a problem made ready for the search: speeds squared, windows as plain
// numbers, settings listed.
type plan struct {
	p     *Problem
	nodes nodes

	start, back      float64 // least omega^2 at which the advance may begin, rising and falling
	early, late      float64 // omega^2 of the all-in window
	driveLo, driveHi float64 // omega^2 of the driving range
	snap             bool
	cell             float64 // crank degrees from point to point of the table
	coarse           float64 // square of how much wider that is than usual, 1 or more
	slack            float64 // crank degrees by which limits are loosened, see newPlan

	knock *piecewise // limit less margin over omega^2, nil where there is none

	travel    []float64 // settings, crank degrees
	slotKept  []bool    // the slot stays as it is
	reachable [2]int    // settings from, to: reachable without the file, or filing is allowed
	static    Span
	perStep   float64 // settings per crank degree
	sLow      []float64
	sHigh     []float64 // static window for each travel
	idle      Window    // window of the reading at idle, where it is a node

	bandFirst  bool
	hasBand    bool
	hasMBT     bool
	slotCounts bool // a changed slot counts as a changed part
}

// travels lists the travel settings: those of the span and the slot as it is.
func (p *Problem) travels() []float64 {
	all := p.slotSteps()
	if all == nil {
		for i := range p.Travel.count() {
			all = append(all, p.Travel.at(i))
		}
	}
	if now, ok := p.slotTravel(); ok && now >= p.Travel.Low && now <= p.Travel.High {
		all = append(all, now)
		if _, err := p.Slot.Travel(); err != nil {
			all = slices.DeleteFunc(all, func(t float64) bool { return t != now && math.Abs(t-now) < p.LeastRemoval })
		}
		slices.Sort(all)
		all = slices.CompactFunc(all, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
	}
	return all
}

// slotSteps lists the travels of the slot lengths that a file or a bush can hit; nil
// where those do not matter.
func (p *Problem) slotSteps() []float64 {
	s := p.Slot
	if _, err := s.Travel(); p.SlotStep == 0 || err != nil {
		return nil
	}
	all := []float64{}
	length := func(travel float64) float64 { return p.Drive.ShaftRadians(travel)*s.Radius + s.Pin }
	const whole = 1e-6 // of a step, for rounding
	for k := math.Ceil(length(p.Travel.Low)/p.SlotStep - whole); k <= length(p.Travel.High)/p.SlotStep+whole; k++ {
		closing := s.Length - k*p.SlotStep
		if closing > whole*p.SlotStep && closing < p.LeastClosing-whole*p.SlotStep {
			continue
		}
		travel := p.Drive.CrankDegrees((k*p.SlotStep - s.Pin) / s.Radius)
		all = append(all, min(max(travel, p.Travel.Low), p.Travel.High))
	}
	return all
}

// slotTravel returns the travel of the slot as it is in crank degrees, as measured or as
// readings tell it.
func (p *Problem) slotTravel() (float64, bool) {
	theta, err := p.Slot.Travel()
	if err != nil {
		return p.PresentTravel, p.PresentTravel > 0
	}
	return p.Drive.CrankDegrees(theta), true
}

// kept reports whether a travel leaves the slot as it is.
func kept(now, travel float64) bool { return math.Abs(now-travel) < 1e-9 }

// newPlan prepares the problem. Limits on what is read from the table are
// loosened by a share of omega^2 and by crank degrees, so that the table's
// interpolation never costs a recipe that keeps them; recipes are judged again
// on the exact curve.
func newPlan(p *Problem, s *Settings, looseSpeed, looseAngle float64) *plan {
	l := &p.Limits
	q := &plan{
		p: p, nodes: newNodes(p), snap: l.Snap, slack: looseAngle,
		static: p.Static, perStep: 1 / p.Static.step(),
		bandFirst: s.BandFirst || len(p.Target.MBT.Points()) == 0,
		hasBand:   len(p.Target.Band) > 0,
		hasMBT:    len(p.Target.MBT.Points()) > 0,
	}
	q.cell = p.Travel.High / float64(s.points()-1)
	q.coarse = max(1, q.cell*q.cell/(usualCell*usualCell))
	square := func(rpm float64) float64 { w := p.Drive.Omega(rpm); return w * w }
	if !l.AdvanceAtIdle {
		q.start = square(p.Idle+l.StartMargin) * (1 - looseSpeed)
		q.back = square(p.Idle+l.ReturnMargin) * (1 - looseSpeed)
	}
	q.late = math.Inf(1)
	if l.AllIn.given() {
		q.early, q.late = square(l.AllIn.Low)*(1-looseSpeed), square(l.AllIn.High)*(1+looseSpeed)
	}
	driving := p.driving()
	q.driveLo, q.driveHi = square(driving.Low)*(1+looseSpeed), square(driving.High)*(1-looseSpeed)
	for i := range q.nodes.top {
		q.nodes.top[i] += looseAngle
	}
	q.nodes.after = q.nodes.suffix()
	q.knock = p.knockLess(l.KnockMargin - looseAngle)
	now, known := p.slotTravel()
	q.slotCounts = known && p.Present != nil
	reading := l.IdleReading.orOpen()
	total := l.Total.orOpen()
	q.idle = reading
	for _, t := range p.travels() {
		q.travel = append(q.travel, t)
		q.slotKept = append(q.slotKept, known && kept(now, t))
		if !known || l.Filing || t <= now+1e-9 {
			q.reachable[1] = len(q.travel)
		}
		lo, hi := max(p.Static.Low, total.Low-t), min(p.Static.High, total.High-t)
		if !l.AdvanceAtIdle { // the advance has not begun at idle: it reads the static timing
			lo, hi = max(lo, reading.Low), min(hi, reading.High)
		}
		q.sLow, q.sHigh = append(q.sLow, lo), append(q.sHigh, hi)
	}
	return q
}

// settings returns the first and last static setting inside a window; first is
// above last where there is none.
func (q *plan) settings(lo, hi float64) (first, last int) {
	a, b := (lo-q.static.Low)*q.perStep, (hi-q.static.Low)*q.perStep
	if b < -1e-9 {
		return 1, 0
	}
	if a > 1e-9 {
		first = int(math.Ceil(a - 1e-9))
	}
	return first, int(b + 1e-9)
}

// knockLess is the knock limit less a margin over omega^2, held beyond its ends;
// nil where there is none. The limit goes in straight lines of the speed: corners
// between its points keep straight lines of the square within chordMost of it.
func (p *Problem) knockLess(margin float64) *piecewise {
	points := p.Limits.Knock.Points()
	if len(points) == 0 {
		return nil
	}
	square := func(rpm float64) float64 { w := p.Drive.Omega(rpm); return w * w }
	x, y := []float64{-1}, []float64{points[0].Degrees - margin}
	add := func(rpm, degrees float64) {
		if v := square(rpm); v > x[len(x)-1] {
			x, y = append(x, v), append(y, degrees-margin)
		}
	}
	add(points[0].RPM, points[0].Degrees)
	for i := 1; i < len(points); i++ {
		from, to := points[i-1], points[i]
		slope := (to.Degrees - from.Degrees) / (to.RPM - from.RPM)
		least := (to.RPM - from.RPM) / 1000 // however steep, no more corners than this
		for at := from.RPM; at < to.RPM; {
			next := at + max(least, longestChord(at, math.Abs(slope)))
			if !(next > at && next < to.RPM) { // points as near as rounding are one corner
				next = to.RPM
			}
			at = next
			add(at, from.Degrees+slope*(at-from.RPM))
		}
	}
	last := len(x) - 1
	return newPiecewise(append(x, x[last]+1), append(y, y[last]))
}

// longestChord returns how many rpm beyond a speed a chord over the squared speed
// may reach before it leaves a limit of so many crank degrees per rpm by more than
// chordMost: from a to b it does so by slope (b-a)^2 / (4 (a+b)) at the most.
func longestChord(rpm, slope float64) float64 {
	const chordMost = 5e-4 // crank degrees
	if slope == 0 {
		return maxSpeed
	}
	// With d = b - a: slope d^2 = 4 chordMost (2 rpm + d).
	c := 4 * chordMost / slope
	return (c + math.Sqrt(c*c+8*c*rpm)) / 2
}

// atStop is the static timing that the knock limit leaves where the slower of
// the sweeps meets the stop, at omega^2: a curve bends there, so between the
// nodes that is where it comes nearest.
func (q *plan) atStop(omega2, travel float64) float64 {
	return q.knock.at(max(0, omega2)) - travel
}
