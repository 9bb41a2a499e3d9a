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
	// Stuck: falling, the weights stay out even at standstill.
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
	if len(c.samples) == 0 {
		return nil
	}
	if dir != Falling {
		dir = Rising
	}
	s := c.sweep(dir)
	var es []Event
	now, level := s.begin, s.first
	note := func(kind EventKind, to point, toLevel float64, cause string) {
		es = append(es, Event{kind, now.phi, now.theta, rootOf(s.sign * level),
			to.phi, to.theta, rootOf(s.sign * toLevel), cause})
		now, level = to, toLevel
	}
	if dir == Falling {
		note(Stop, now, level, "the springs pull the pin off the end of its slot")
	} else {
		note(Start, now, level, startCause(level))
	}
	for i := range s.pieces {
		p := &s.pieces[i]
		from := point{p.phi + p.h*p.t0, p.theta.At(p.t0)}
		if dir == Falling && p.u0 >= 0 {
			break // below standstill there is no speed left to fall
		}
		level = p.u0
		if s.apart(from, now) {
			note(Snap, from, level, snapCause(rootOf(s.sign*level)))
		}
		now = from
		held := es[len(es)-1].Kind == Hold && es[len(es)-1].Phi == now.phi
		switch {
		case p.h == 0 && p.u1-p.u0 <= 1e-9*math.Abs(s.last-s.first): // no initial tension: no jump but for rounding
		case p.h == 0 && held: // two springs at once
			es[len(es)-1].ToOmega = rootOf(s.sign * p.u1)
		case p.h == 0:
			note(Hold, now, p.u1, c.takeUpCause(p.phi, dir))
		case p.spring != 0 && p.t0 < 1e-9 && !held: // from its very beginning
			note(Knee, now, level, c.takeUpCause(p.phi, dir))
		}
		now, level = point{p.phi + p.h*p.t1, p.theta.At(p.t1)}, p.u1
	}
	if dir == Falling && s.last > 0 {
		now = point{c.Phi(0, Falling), c.Theta(0, Falling)}
		level = 0
		note(Stuck, now, 0, "friction exceeds what the springs have left near rest")
		return es
	}
	level = s.last
	if s.apart(s.end, now) {
		note(Snap, s.end, level, snapCause(rootOf(s.sign*level)))
	}
	now = s.end
	if dir == Falling {
		note(Return, now, level, "the springs hold the weights against their rest")
	} else {
		note(Stop, now, level, "the pin meets the end of its slot")
	}
	return es
}

// apart reports whether two positions differ by more than rounding.
func (s *sweep) apart(a, b point) bool {
	return math.Abs(a.phi-b.phi) > 1e-9*math.Abs(s.end.phi-s.begin.phi)
}

func startCause(level float64) string {
	if level > 0 {
		return "the weights overcome the springs' preload, drag and friction"
	}
	return "nothing holds the weights at rest: no preload"
}

func snapCause(omega float64) string {
	if omega == 0 {
		return "nothing holds the weights: the springs are slack"
	}
	return "unstable: with the swing the weights' moment gains on the springs'"
}

// takeUpCause names the springs that are taken up or let go at a swing.
func (c *Curve) takeUpCause(phi float64, dir Direction) string {
	var names []string
	for i := range c.samples {
		if s := &c.samples[i]; s.spring != 0 && s.phi == phi {
			if name := fmt.Sprint(s.spring); !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	does := [2]string{"is taken up", "goes slack"}[dir]
	if len(names) < 2 {
		return fmt.Sprintf("spring %s %s", strings.Join(names, ""), does)
	}
	does = [2]string{"are taken up", "go slack"}[dir]
	return fmt.Sprintf("springs %s %s", strings.Join(names, " and "), does)
}
