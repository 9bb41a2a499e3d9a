package recipes

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
)

// Breach is a limit that a recipe does not keep, and by how much.
type Breach struct {
	Limit   string  // which limit
	Value   float64 // what the recipe has
	Allowed float64 // what it may have
	By      float64 // distance between the two, more than 0
	Unit    string  // of all three
	Where   string  // at which speed or part; may be empty
}

// String says the breach in one line.
func (b Breach) String() string {
	where := b.Where
	if where != "" {
		where = " " + where
	}
	return fmt.Sprintf("%s%s: %.4g %s, allowed %.4g, off by %.3g", b.Limit, where, b.Value, b.Unit, b.Allowed, b.By)
}

// Evaluate computes the recipe of named parts, static timing and travel, both in
// crank degrees, and lists the limits it breaks, with how much; none means that it
// could be built. It refuses parts that the problem does not have and a travel
// beyond the mechanism's stop.
func (p *Problem) Evaluate(c Choice, static, travel float64) (*Recipe, []Breach, error) {
	if err := firstOf(p.check(), within("static timing", static, "deg crank", -60, 90)); err != nil {
		return nil, nil, err
	}
	n := newNodes(p)
	r, err := p.evaluate(&n, c, static, travel)
	if err != nil {
		return nil, nil, err
	}
	return r, p.breaches(r), nil
}

// Judge lists the limits of another set that a recipe of this problem breaks. The
// recipe stays as it is, so it can be held against any limits.
func (p *Problem) Judge(r *Recipe, l *Limits) ([]Breach, error) {
	if p == nil || r == nil || r.Curve == nil || l == nil {
		return nil, refuse("problem, recipe or limits are empty")
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	if err := firstOf(p.checkChoice(r.Choice), l.check()); err != nil {
		return nil, err
	}
	own := *p // with other limits, and the recipe's margin below theirs
	own.Limits = *l
	again := *r
	n := newNodes(&own)
	own.knockMargin(&again, n.rpm)
	return own.breaches(&again), nil
}

// ledger collects breaches.
type ledger []Breach

// keep notes a value outside lo to hi. Rounding is no breach.
func (l *ledger) keep(limit, where string, x, lo, hi float64, unit string) {
	const rounding = 1e-9
	switch {
	case x < lo-rounding:
		*l = append(*l, Breach{limit, x, lo, lo - x, unit, where})
	case x > hi+rounding:
		*l = append(*l, Breach{limit, x, hi, x - hi, unit, where})
	}
}

// breaches judges a recipe by every limit of the problem.
func (p *Problem) breaches(r *Recipe) []Breach {
	var b ledger
	l := &p.Limits
	deg, rpm := "deg crank", "rpm crank"
	p.piecesLeft(&b, r)
	b.keep("static timing", "", r.Static, p.Static.Low, p.Static.High, deg)
	b.keep("travel", "", r.Travel, p.Travel.Low, p.Travel.High, deg)
	if now, ok := p.slotTravel(); ok && !l.Filing {
		b.keep("travel without the file", "", r.Travel, 0, now, deg)
	}
	if !l.AdvanceAtIdle {
		b.keep("start above idle", "rising", r.Start, p.Idle+l.StartMargin, math.Inf(1), rpm)
		b.keep("return above idle", "falling", r.Return, p.Idle+l.ReturnMargin, math.Inf(1), rpm)
	}
	if p.mayReachIdle() {
		for _, e := range r.Falling {
			if e.Kind == flyweights.Stuck {
				b.keep(weightsComeBack, "held out by friction at standstill", p.Drive.CrankDegrees(e.Theta), 0, 0, deg)
			}
		}
	}
	if l.AllIn.given() {
		b.keep("all-in speed", "", r.AllIn, l.AllIn.Low, l.AllIn.High, rpm)
	}
	total, idle := l.Total.orOpen(), l.IdleReading.orOpen()
	b.keep("total", "", r.Total, total.Low, total.High, deg)
	if at := r.Static; !l.AdvanceAtIdle {
		b.keep("idle reading", "", at, idle.Low, idle.High, deg)
	} else {
		b.keep("idle reading", "rising", r.Idle.Low, idle.Low, math.Inf(1), deg)
		b.keep("idle reading", "falling", r.Idle.High, math.Inf(-1), idle.High, deg)
	}
	if r.KnockLimited {
		b.keep("knock margin", fmt.Sprintf("at %.0f rpm crank", r.KnockRPM), r.KnockMargin, l.KnockMargin, math.Inf(1), deg)
	}
	p.snaps(&b, r)
	p.stresses(&b, r)
	return b
}

// piecesLeft notes springs of which there are not enough.
func (p *Problem) piecesLeft(b *ledger, r *Recipe) {
	used := map[int]int{}
	for i, s := range r.Springs {
		if s < 0 {
			if !p.Positions[i].Empty {
				b.keep("springs at position", p.Positions[i].Name, 0, 1, 1, "pieces")
			}
			continue
		}
		used[s]++
	}
	for s := range p.Drawer.Springs {
		part := &p.Drawer.Springs[s]
		b.keep("pieces of spring", part.Name, float64(used[s]), 0, float64(part.Count), "pieces")
	}
}

// snaps notes jumps in the driving range by their size.
func (p *Problem) snaps(b *ledger, r *Recipe) {
	if p.Limits.Snap {
		return
	}
	driving := p.driving()
	for _, events := range [][]flyweights.Event{r.Rising, r.Falling} {
		for _, e := range events {
			at := p.Drive.RPM(e.Omega)
			if e.Kind == flyweights.Snap && at >= driving.Low && at <= driving.High {
				size := p.Drive.CrankDegrees(math.Abs(e.ToTheta - e.Theta))
				b.keep("snap", fmt.Sprintf("at %.0f rpm crank", at), size, 0, 0, "deg crank")
			}
		}
	}
}

// driving is the range of speeds in which no snap may happen.
func (p *Problem) driving() Window {
	if p.Limits.Driving.given() {
		return p.Limits.Driving
	}
	return Window{p.Idle, maxSpeed}
}

// stresses notes springs that pull more than their wire bears.
func (p *Problem) stresses(b *ledger, r *Recipe) {
	i := 0
	for _, s := range r.Springs {
		if s < 0 {
			continue
		}
		if part := &p.Drawer.Springs[s]; part.MaxTension > 0 {
			b.keep("tension of spring", part.Name, greatestPull(r.Mechanism, i), 0, part.MaxTension, "N")
		}
		i++
	}
}

// greatestPull is the largest tension of spring i of a mechanism between rest
// and stop, looked for at 33 positions.
func greatestPull(m *flyweights.Mechanism, i int) float64 {
	const points = 32
	most := 0.0
	for k := range points + 1 {
		most = max(most, m.Springs[i].Law.Tension(m.SpringLength(i, m.Stop*float64(k)/points)))
	}
	return most
}
