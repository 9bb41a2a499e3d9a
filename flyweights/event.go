package flyweights

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// EventKind names what happens at one point of a sweep.
type EventKind int

const (
	// Start: rising, the weights leave rest.
	Start EventKind = iota
	// Knee: a spring is taken up or goes slack; the slope changes.
	Knee
	// Hold: a spring with initial tension is taken up or let go; the weights
	// wait while the speed runs from Omega to ToOmega.
	Hold
	// Snap: the balance is unstable; the weights jump from Phi to ToPhi.
	Snap
	// Stop: the pin meets the end of its slot (rising) or leaves it (falling).
	Stop
	// Return: falling, the weights are back at rest.
	Return
	// Stuck: falling, the weights stay out even at standstill, by friction or
	// because slack springs do not pull them back.
	Stuck
)

// String returns the name of the kind in lower case.
func (k EventKind) String() string {
	names := [...]string{"start", "knee", "hold", "snap", "stop", "return", "stuck"}
	if k < 0 || int(k) >= len(names) {
		return fmt.Sprintf("event kind %d", int(k))
	}
	return names[k]
}

// Event is one happening of a sweep: swing (rad), advance (rad) and speed
// (rad/s) where it begins and where it ends; the two differ for a hold (in
// speed) and a snap (in swing and advance).
type Event struct {
	Kind                    EventKind
	Phi, Theta, Omega       float64
	ToPhi, ToTheta, ToOmega float64
	Cause                   string
}

// Events returns what happens in a sweep in its own order: for falling speed
// from the stop to rest. The zero curve has no events.
func (c *Curve) Events(dir Direction) []Event {
	if c == nil || len(c.samples) == 0 {
		return nil
	}
	if dir != Falling {
		dir = Rising
	}
	l := log{s: c.sweep(dir)}
	l.now, l.level = l.s.begin, l.s.first
	stuck := dir == Falling && l.s.last >= -1e-12*math.Abs(l.s.first)
	switch {
	case dir == Rising:
		l.note(Start, l.now, l.level, c.startCause(l.level))
	case l.s.first < 0: // else the pin never leaves the end of its slot
		l.note(Stop, l.now, l.level, "the springs pull the pin off the end of its slot")
	}
	for i := range l.s.pieces {
		p := &l.s.pieces[i]
		if dir == Falling && p.u0 >= 0 {
			break // below standstill there is no speed left to fall
		}
		c.pass(&l, p, dir)
	}
	if stuck {
		l.now = point{c.Phi(0, Falling), c.Theta(0, Falling)}
		l.level = 0
		l.note(Stuck, l.now, 0, c.stuckCause(l.now.phi))
		return l.events
	}
	l.level = l.s.last
	if l.s.apart(l.s.end, l.now) {
		l.note(Snap, l.s.end, l.level, snapCause(l.s.sign*l.level))
	}
	l.now = l.s.end
	if dir == Falling {
		l.note(Return, l.now, l.level, "the springs hold the weights against their rest")
	} else {
		l.note(Stop, l.now, l.level, "the pin meets the end of its slot")
	}
	return l.events
}

// log collects the events of a sweep and knows where it stands.
type log struct {
	s      *sweep
	events []Event
	now    point
	level  float64
}

// note appends an event that leads from where the log stands to another place.
func (l *log) note(kind EventKind, to point, toLevel float64, cause string) {
	l.events = append(l.events, Event{kind, l.now.phi, l.now.theta, rootOf(l.s.sign * l.level),
		to.phi, to.theta, rootOf(l.s.sign * toLevel), cause})
	l.now, l.level = to, toLevel
}

// pass notes what happens on one piece of the sweep.
func (c *Curve) pass(l *log, p *piece, dir Direction) {
	s := l.s
	from := point{p.phi + p.h*p.t0, p.theta.At(p.t0)}
	l.level = p.u0
	if s.apart(from, l.now) {
		l.note(Snap, from, l.level, snapCause(s.sign*l.level))
	}
	l.now = from
	var before *Event
	if n := len(l.events); n > 0 {
		before = &l.events[n-1]
	}
	held := before != nil && before.Kind == Hold && before.Phi == l.now.phi
	switch {
	case p.h == 0 && p.u1-p.u0 <= 1e-9*math.Abs(s.last-s.first): // no initial tension: no jump but for rounding
	case p.h == 0 && held: // two springs at once
		before.ToOmega = rootOf(s.sign * p.u1)
	case p.h == 0:
		l.note(Hold, l.now, p.u1, c.takeUpCause(p.phi, dir))
	case p.spring != 0 && p.t0 < 1e-9 && !held: // from its very beginning
		l.note(Knee, l.now, l.level, c.takeUpCause(p.phi, dir))
	}
	l.now, l.level = point{p.phi + p.h*p.t1, p.theta.At(p.t1)}, p.u1
}

// apart reports whether two positions differ by more than rounding.
func (s *sweep) apart(a, b point) bool {
	return math.Abs(a.phi-b.phi) > 1e-9*math.Abs(s.end.phi-s.begin.phi)
}

// startCause says why the weights leave rest at a squared speed.
func (c *Curve) startCause(u float64) string {
	rest := &c.samples[0]
	switch {
	case u > 0 && rest.rise > rest.fall:
		return "the weights overcome the moment that holds them at rest, and friction"
	case u > 0:
		return "the weights overcome the moment that holds them at rest"
	case u < 0:
		return "the springs themselves push the weights out"
	}
	return "nothing holds the weights at rest: no preload"
}

func snapCause(u float64) string {
	switch {
	case u > 0:
		return "unstable: with the swing the weights' moment gains on the springs'"
	case u < 0:
		return "the springs themselves push the weights out"
	}
	return "nothing holds the weights: the springs are slack"
}

// stuckCause says why the weights stay out at standstill at a swing: it looks at
// the balance one sample further in.
func (c *Curve) stuckCause(phi float64) string {
	i := 0
	for i+1 < len(c.samples) && c.samples[i+1].phi < phi {
		i++
	}
	s := &c.samples[i]
	inwards, band := s.rise+s.fall, s.rise-s.fall // twice the restoring moment, twice friction, over the weights'
	tiny := 1e-12 * (math.Abs(c.sweeps[Falling].first) + math.Abs(inwards) + band)
	switch {
	case inwards < -tiny:
		return "the springs themselves hold the weights out"
	case band <= tiny:
		return "the springs are slack: nothing pulls the weights back to rest"
	case inwards <= tiny:
		return "the springs are slack near rest, and friction holds the weights"
	}
	return "friction exceeds what the springs have left near rest"
}

// takeUpCause names the springs that are taken up or go slack at a swing.
func (c *Curve) takeUpCause(phi float64, dir Direction) string {
	var up, slack []string
	for i := range c.samples {
		s := &c.samples[i]
		if s.spring == 0 || s.phi != phi {
			continue
		}
		list, name := &up, fmt.Sprint(max(s.spring, -s.spring))
		if (s.spring < 0) != (dir == Falling) {
			list = &slack
		}
		if !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	var said []string
	for _, g := range []struct {
		names     []string
		one, many string
	}{{up, "is taken up", "are taken up"}, {slack, "goes slack", "go slack"}} {
		switch len(g.names) {
		case 0:
		case 1:
			said = append(said, "spring "+g.names[0]+" "+g.one)
		default:
			said = append(said, "springs "+strings.Join(g.names, " and ")+" "+g.many)
		}
	}
	return strings.Join(said, ", ")
}
