package recipes

import (
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// Recipe is one way to set up the distributor, computed on the exact curve: a
// plain value that does not change and that any limits can judge. Angles are crank
// degrees, speeds engine rpm.
type Recipe struct {
	Choice
	SpringNames []string // position by position, "none" for an empty one

	Static float64 // static timing, BTDC
	Travel float64 // mechanical advance at the stop
	Total  float64 // static + travel: what the light shows all in

	Start, Return     float64               // where the advance begins rising, and has ended falling
	AllIn, LeavesStop float64               // where the stop is reached rising, and left falling
	Idle              Window                // reading at idle: static + mechanical, rising (Low) and falling (High)
	KnockLimited      bool                  // whether the problem has a knock limit
	KnockMargin       float64               // least distance below it on either sweep
	KnockRPM          float64               // where that is
	TorqueGivenUp     float64               // on average, fraction of MBT torque; 0 where there is no MBT
	Deviation         float64               // largest distance outside the band
	FromMiddle        float64               // without MBT: root mean square distance from the band's middle
	Changed           int                   // parts changed against Problem.Present, 0 where that is not known
	SlotKnown         bool                  // whether Problem.Slot says what the next field needs
	SlotClosing       float64               // mm of slot length to close up, negative to file away
	SlotLength        float64               // mm, as it is to be
	Bush              float64               // mm: the pin or bush that does the same in the slot as it is, 0 where none does
	points            []sparkAt             // at every speed the target and limits name
	Rising, Falling   []flyweights.Event    // what happens on either sweep, at the distributor shaft
	Mechanism         *flyweights.Mechanism // with the chosen parts, its slot ending at Travel; nil where they are given as shares
	Curve             *flyweights.Curve     // at the distributor shaft, rad and rad/s
	Drive             advance.Drive         // from the crank to that shaft
}

// sparkAt is the total advance at one speed, crank degrees BTDC: static +
// mechanical, on the rising and on the falling sweep.
type sparkAt struct{ RPM, Rising, Falling float64 }

// At returns static + mechanical advance in crank degrees at an engine speed. A
// zero recipe has none.
func (r *Recipe) At(rpm float64, dir flyweights.Direction) (float64, error) {
	if r == nil || r.Curve == nil {
		return 0, refuse("recipe is empty")
	}
	if err := within("speed", rpm, "rpm crank", 0, maxSpeed); err != nil {
		return 0, err
	}
	total := r.at(rpm, dir)
	if !valid.Finite(total) {
		return 0, refuse("recipe has no drive or no static timing")
	}
	return total, nil
}

func (r *Recipe) at(rpm float64, dir flyweights.Direction) float64 {
	return r.Static + r.Drive.CrankDegrees(r.Curve.Theta(r.Drive.Omega(rpm), dir))
}

// springNames returns the names of the springs of a choice, position by position.
func (p *Problem) springNames(c Choice) []string {
	names := make([]string, len(c.Springs))
	for i, s := range c.Springs {
		names[i] = "none"
		if s >= 0 {
			names[i] = p.Drawer.Springs[s].Name
		}
	}
	return names
}

// exact holds the curve of one choice of parts with the slot ending at one
// travel.
func (p *Problem) exact(c Choice, travel float64) (*flyweights.Mechanism, *flyweights.Curve, error) {
	if p.Shares != nil {
		curve, err := p.learned(c, travel)
		return nil, curve, err
	}
	m, err := p.assemble(c, travel)
	if err != nil {
		return nil, nil, err
	}
	curve, err := m.Curve(nil)
	if err != nil {
		return nil, nil, err
	}
	return m, curve, nil
}

// evaluate computes a recipe in full.
func (p *Problem) evaluate(n *nodes, c Choice, static, travel float64) (*Recipe, error) {
	m, curve, err := p.exact(c, travel)
	if err != nil {
		return nil, err
	}
	d := p.Drive
	r := &Recipe{
		Choice: c, SpringNames: p.springNames(c), Static: static, Travel: travel, Total: static + travel,
		Start: d.RPM(curve.Start(flyweights.Rising)), Return: d.RPM(curve.Start(flyweights.Falling)),
		AllIn: d.RPM(curve.AllIn(flyweights.Rising)), LeavesStop: d.RPM(curve.AllIn(flyweights.Falling)),
		Rising: curve.Events(flyweights.Rising), Falling: curve.Events(flyweights.Falling),
		Mechanism: m, Curve: curve, Drive: d,
	}
	r.Idle = Window{r.at(p.Idle, flyweights.Rising), r.at(p.Idle, flyweights.Falling)}
	spark := make([]float64, len(n.rpm))
	for i, rpm := range n.rpm {
		s := sparkAt{rpm, r.at(rpm, flyweights.Rising), r.at(rpm, flyweights.Falling)}
		if n.named[i] {
			r.points = append(r.points, s)
		}
		spark[i] = s.Rising
	}
	p.knockMargin(r, slices.Concat(n.rpm, p.bendsAt(c)))
	r.Deviation = n.deviation(spark)
	if t := n.torque(spark); len(p.Target.MBT.Points()) > 0 {
		r.TorqueGivenUp = t
	} else {
		r.FromMiddle = math.Sqrt(t)
	}
	if closing, err := p.Slot.Closing(d.ShaftRadians(travel)); err == nil {
		r.SlotKnown, r.SlotClosing, r.SlotLength = true, closing*1e3, (p.Slot.Length-closing)*1e3
		if closing > 1e-9 {
			r.Bush = (p.Slot.Pin + closing) * 1e3
		}
	}
	r.Changed = p.changed(c, travel)
	return r, nil
}

// knockMargin fills a recipe's distance below the problem's knock limit.
func (p *Problem) knockMargin(r *Recipe, speeds []float64) {
	r.KnockMargin, r.KnockRPM = 0, 0
	room, rpm := headroom(p.Drive, p.Limits.Knock, speeds, r.Curve)
	if r.KnockLimited = !math.IsInf(room, 1); r.KnockLimited {
		r.KnockMargin, r.KnockRPM = room-r.Static, rpm
	}
}

// MarginTo returns the least distance in crank degrees of the recipe below a knock
// limit, which may be another than its problem's, and the engine rpm where that is:
// at the limit's points, between them every 250 rpm, and where the curve bends.
// Where the recipe breaks the limit the margin is negative. It refuses a limit
// without points.
func (r *Recipe) MarginTo(limit advance.Curve) (degrees, rpm float64, err error) {
	l := Limits{Knock: limit}
	if r == nil || r.Curve == nil || len(limit.Points()) == 0 {
		return 0, 0, refuse("a margin needs a recipe and a knock limit with points")
	}
	if err := l.check(); err != nil {
		return 0, 0, err
	}
	speeds := l.between()
	for _, q := range limit.Points() {
		speeds = append(speeds, q.RPM)
	}
	slices.Sort(speeds)
	room, rpm := headroom(r.Drive, limit, speeds, r.Curve)
	if !valid.Finite(room - r.Static) {
		return 0, 0, refuse("a margin needs a recipe with a drive and a static timing that are finite")
	}
	return room - r.Static, rpm, nil
}

// headroom returns how much static timing a knock limit leaves above a curve,
// and where it is least: at the speeds given, and wherever the curve itself bends,
// since between those it is smooth. Whichever sweep is higher counts. Without a
// limit it is infinite.
func headroom(d advance.Drive, limit advance.Curve, speeds []float64, c *flyweights.Curve) (least, at float64) {
	least = math.Inf(1)
	note := func(rpm, theta float64) {
		if limit, err := limit.Held(rpm); err == nil {
			if room := limit - d.CrankDegrees(theta); room < least {
				least, at = room, rpm
			}
		}
	}
	for _, rpm := range speeds {
		w := d.Omega(rpm)
		note(rpm, max(c.Theta(w, flyweights.Rising), c.Theta(w, flyweights.Falling)))
	}
	for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		for _, e := range c.Events(dir) {
			note(d.RPM(e.Omega), max(e.Theta, e.ToTheta))
			note(d.RPM(e.ToOmega), e.ToTheta)
		}
	}
	return least, at
}

// changed counts the parts a recipe changes.
func (p *Problem) changed(c Choice, travel float64) int {
	if p.Present == nil {
		return 0
	}
	n := newChanges(p, p.mirrors(c.Weights)).parts(func(i int) placement {
		if c.Springs[i] < 0 {
			return placement{-1, 0}
		}
		return placement{c.Springs[i], c.Posts[i]}
	}, c.Weights)
	if now, ok := p.slotTravel(); ok && !kept(now, travel) {
		n++
	}
	return n
}

// mirrors returns for each position the first one that does the same.
func (p *Problem) mirrors(weights int) []int {
	bare := *p
	bare.Drawer.Springs = nil // no take-ups to look for
	g, err := newGrid(&bare, p.Drawer.Weights[weights].Weights, 9)
	if err != nil {
		same := make([]int, len(p.Positions))
		for i := range same {
			same[i] = i
		}
		return same
	}
	return g.same
}
