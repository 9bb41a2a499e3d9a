package recipes

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
)

// cut is one choice of parts on its exact curve, drawn once up to the longest
// travel in question: a slot that ends earlier cuts it there and changes nothing
// below. Only where the weights snap, or friction holds them out, does a shorter
// slot change the falling sweep, and then each travel has a curve of its own.
type cut struct {
	*plan
	choice  Choice
	longest int // index of that travel
	m       *flyweights.Mechanism
	curve   *flyweights.Curve
	steady  bool // no snap, nothing stuck
	broken  bool // the wires or a sweep break limits whatever the travel
	rise    []float64
	fall    []float64
	bends   []bend
	reading reading
}

// bend is where a curve bends, the advance and the static timing that the knock
// limit leaves there.
type bend struct{ theta, room float64 }

// newCut draws the curve of a choice up to a travel setting.
func (q *plan) newCut(c Choice, longest int) (*cut, error) {
	p, n := q.p, &q.nodes
	m, curve, err := p.exact(c, q.travel[longest])
	if err != nil {
		return nil, fmt.Errorf("springs %v, weights %d: %w", c.Springs, c.Weights, err)
	}
	x := &cut{plan: q, choice: c, longest: longest, m: m, curve: curve, steady: true}
	square := func(w float64) float64 { return w * w }
	x.broken = square(curve.Start(flyweights.Rising)) < q.start
	for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		for _, e := range curve.Events(dir) {
			x.note(e.Omega, max(e.Theta, e.ToTheta))
			x.note(e.ToOmega, e.ToTheta)
			if e.Kind == flyweights.Snap || e.Kind == flyweights.Stuck {
				x.steady = false
			}
		}
	}
	for _, rpm := range p.bendsAt(c) {
		w := p.Drive.Omega(rpm)
		x.note(w, max(curve.Theta(w, flyweights.Rising), curve.Theta(w, flyweights.Falling)))
	}
	x.rise, x.fall = make([]float64, len(n.rpm)), make([]float64, len(n.rpm))
	for i, rpm := range n.rpm {
		w := p.Drive.Omega(rpm)
		x.rise[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Rising))
		x.fall[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Falling))
	}
	x.reading = newReading(len(n.rpm), 1)
	return x, nil
}

// note keeps a bend at a shaft speed.
func (x *cut) note(omega, theta float64) {
	if limit, err := x.p.Limits.Knock.Held(x.p.Drive.RPM(omega)); err == nil {
		theta = x.p.Drive.CrankDegrees(theta)
		x.bends = append(x.bends, bend{theta, limit - theta})
	}
}

// window returns the static settings that keep all limits at a travel setting up
// to the longest, first above last where there are none, and the reading they rest
// on, which the next call overwrites.
func (x *cut) window(j int) (first, last int, r *reading, err error) {
	if !x.steady && j != x.longest {
		own, err := x.newCut(x.choice, j)
		if err != nil {
			return 0, 0, nil, err
		}
		return own.window(j)
	}
	if x.broken {
		return 1, 0, nil, nil
	}
	allIn, leaves, err := x.stop(j)
	if err != nil || x.breaksShape(j, allIn*allIn) {
		return 1, 0, nil, err
	}
	p, n, t := x.p, &x.nodes, x.travel[j]
	r = &x.reading
	room := math.Inf(1)
	for i := range n.rpm {
		r.rise[i], r.fall[i] = min(x.rise[i], t), min(x.fall[i], t)
		room = min(room, n.top[i]-max(r.rise[i], r.fall[i]))
	}
	r.sum(n, x.hasBand)
	room += p.Limits.KnockMargin // n.top has it taken off
	for _, b := range x.bends {
		if b.theta < t {
			room = min(room, b.room)
		}
	}
	for _, omega := range [2]float64{allIn, leaves} {
		if limit, err := p.Limits.Knock.Held(p.Drive.RPM(omega)); err == nil {
			room = min(room, limit-t)
		}
	}
	lo, hi := x.sLow[j], min(x.sHigh[j], room-p.Limits.KnockMargin)
	if n.idle >= 0 {
		lo, hi = max(lo, x.idle.Low-r.rise[n.idle]), min(hi, x.idle.High-r.fall[n.idle])
	}
	first, last = x.settings(lo, hi)
	return first, last, r, nil
}

// stop returns the shaft speeds at which a travel is reached rising and left
// falling.
func (x *cut) stop(j int) (allIn, leaves float64, err error) {
	if j == x.longest {
		return x.curve.AllIn(flyweights.Rising), x.curve.AllIn(flyweights.Falling), nil
	}
	if s := x.p.Shares; s != nil {
		at, _ := s.line(s.balance(x.p, x.choice), x.travel[j])
		return math.Sqrt(max(0, at)), math.Sqrt(max(0, at)), nil
	}
	phi, err := x.p.swing(x.travel[j])
	if err != nil {
		return 0, 0, err
	}
	b := x.m.State(phi, 0, nil)
	at := func(moment float64) float64 { return math.Sqrt(max(0, moment/b.Weights)) }
	return at(b.Restore + b.Friction), at(b.Restore - b.Friction), nil
}

// breaksShape reports whether a curve breaks a limit that static timing cannot
// mend: start, return, all-in, snap, the pull that a wire bears. Up to the longest
// travel a steady curve is the same, but for its end.
func (x *cut) breaksShape(j int, allIn2 float64) bool {
	c, square := x.curve, func(w float64) float64 { return w * w }
	if allIn2 < x.early || allIn2 > x.late || square(c.Start(flyweights.Falling)) < x.back {
		return true
	}
	if !x.steady {
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			for _, e := range c.Events(dir) {
				if v := square(e.Omega); e.Kind == flyweights.Snap && !x.snap && v >= x.driveLo && v <= x.driveHi || e.Kind == flyweights.Stuck {
					return true
				}
			}
		}
	}
	return x.overstressed(j)
}

// overstressed reports whether any spring pulls more than its wire bears
// somewhere between rest and a travel setting.
func (x *cut) overstressed(j int) bool {
	i := 0
	for _, s := range x.choice.Springs {
		if s < 0 {
			continue
		}
		if part := &x.p.Drawer.Springs[s]; part.MaxTension > 0 {
			m := *x.m
			phi, err := x.p.swing(x.travel[j])
			if m.Stop = phi; err != nil || greatestPull(&m, i) > part.MaxTension+1e-9 {
				return true
			}
		}
		i++
	}
	return false
}
