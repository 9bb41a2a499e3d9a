package recipes

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
)

// Recipe is one way to set up the distributor, computed on the exact curve.
// Angles are crank degrees, speeds engine rpm.
type Recipe struct {
	Choice
	Static float64 // static timing, BTDC
	Travel float64 // mechanical advance at the stop
	Total  float64 // static + travel: what the light shows all in

	Start, Return     float64 // where the advance begins rising, and has ended falling
	AllIn, LeavesStop float64 // where the stop is reached rising, and left falling
	Idle              Window  // reading at idle: static + mechanical, rising (Low) and falling (High)
	KnockMargin       float64 // least distance below the knock limit on either sweep; +Inf without a limit
	KnockRPM          float64 // where that is
	TorqueGivenUp     float64 // duty average, fraction of MBT torque; 0 where there is no MBT
	Deviation         float64 // largest distance outside the band
	FromMiddle        float64 // without MBT: root mean square distance from the band's middle
	Changed           int     // parts changed against Problem.Present, 0 where that is not known
	SlotKnown         bool
	SlotClosing       float64 // mm of slot length to close up, negative to file away
	Points            []Spark // at every speed the target and limits name
	Rising, Falling   []flyweights.Event
	Mechanism         *flyweights.Mechanism
	Curve             *flyweights.Curve // at the distributor shaft, rad and rad/s

	p *Problem
}

// Spark is the total advance at one speed, crank degrees BTDC: static +
// mechanical, on the rising and on the falling sweep.
type Spark struct{ RPM, Rising, Falling float64 }

// At returns static + mechanical advance in crank degrees at an engine speed. A
// zero recipe has none.
func (r *Recipe) At(rpm float64, dir flyweights.Direction) (float64, error) {
	if r.p == nil || r.Curve == nil {
		return 0, refuse("recipe is empty")
	}
	if err := within("speed", rpm, "rpm crank", 0, maxSpeed); err != nil {
		return 0, err
	}
	return r.at(rpm, dir), nil
}

func (r *Recipe) at(rpm float64, dir flyweights.Direction) float64 {
	return r.Static + r.p.Drive.CrankDegrees(r.Curve.Theta(r.p.Drive.Omega(rpm), dir))
}

// SpringNames returns the names of the springs, position by position.
func (r *Recipe) SpringNames() []string {
	names := make([]string, len(r.Springs))
	for i, s := range r.Springs {
		names[i] = "none"
		if s >= 0 && r.p != nil {
			names[i] = r.p.Drawer.Springs[s].Name
		}
	}
	return names
}

// exact holds the curve of one choice of parts with the slot ending at one
// travel.
func (p *Problem) exact(c Choice, travel float64) (*flyweights.Mechanism, *flyweights.Curve, error) {
	m, err := p.Assemble(c, travel)
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
		Choice: c, Static: static, Travel: travel, Total: static + travel,
		Start: d.RPM(curve.Start(flyweights.Rising)), Return: d.RPM(curve.Start(flyweights.Falling)),
		AllIn: d.RPM(curve.AllIn(flyweights.Rising)), LeavesStop: d.RPM(curve.AllIn(flyweights.Falling)),
		Rising: curve.Events(flyweights.Rising), Falling: curve.Events(flyweights.Falling),
		Mechanism: m, Curve: curve, KnockMargin: math.Inf(1), p: p,
	}
	r.Idle = Window{r.at(p.Idle, flyweights.Rising), r.at(p.Idle, flyweights.Falling)}
	spark := make([]float64, len(n.rpm))
	for i, rpm := range n.rpm {
		s := Spark{rpm, r.at(rpm, flyweights.Rising), r.at(rpm, flyweights.Falling)}
		if n.named[i] {
			r.Points = append(r.Points, s)
		}
		spark[i] = s.Rising
	}
	if room, rpm := p.headroom(n, curve); !math.IsInf(room, 1) {
		r.KnockMargin, r.KnockRPM = room-static, rpm
	}
	r.Deviation = n.deviation(spark)
	if t := n.torque(spark); len(p.Target.MBT.Points()) > 0 {
		r.TorqueGivenUp = t
	} else {
		r.FromMiddle = math.Sqrt(t)
	}
	if closing, err := p.Slot.Closing(d.ShaftRadians(travel)); err == nil {
		r.SlotKnown, r.SlotClosing = true, closing*1e3
	}
	r.Changed = p.changed(c, travel)
	return r, nil
}

// headroom returns how much static timing the knock limit leaves above a curve,
// and where it is least: at the nodes, and wherever the curve itself bends, since
// between those it is smooth. Whichever sweep is higher counts.
func (p *Problem) headroom(n *nodes, c *flyweights.Curve) (least, at float64) {
	least = math.Inf(1)
	note := func(rpm, theta float64) {
		if limit, err := p.Limits.Knock.Held(rpm); err == nil {
			if room := limit - p.Drive.CrankDegrees(theta); room < least {
				least, at = room, rpm
			}
		}
	}
	for _, rpm := range n.rpm {
		w := p.Drive.Omega(rpm)
		note(rpm, max(c.Theta(w, flyweights.Rising), c.Theta(w, flyweights.Falling)))
	}
	for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		for _, e := range c.Events(dir) {
			note(p.Drive.RPM(e.Omega), max(e.Theta, e.ToTheta))
			note(p.Drive.RPM(e.ToOmega), e.ToTheta)
		}
	}
	return least, at
}

// changed counts the parts a recipe changes.
func (p *Problem) changed(c Choice, travel float64) int {
	if p.Present == nil {
		return 0
	}
	n := newChanges(p, p.mirrors(c.Weights)).parts(func(i int) fit {
		if c.Springs[i] < 0 {
			return fit{-1, 0}
		}
		return fit{c.Springs[i], c.Posts[i]}
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

// finish judges the candidates again on the exact curve with the limits as they
// stand, in the table's order, until no other can come among the best. whole
// tells whether that came before the end of a list that was cut: if not, a
// longer list is needed.
func (q *plan) finish(f *found, s *Settings) (res *Result, whole bool, err error) {
	strict := newPlan(q.p, s, 0, 0)
	settings := float64(q.reachable[1]) * float64(q.static.count())
	res = &Result{Choices: f.seen, Combinations: float64(f.seen) * settings}
	whole = !f.kept.full()
	keep := s.keep()
	var scores []score // of the recipes, in the same order
	for i := range f.kept.list {
		c := &f.kept.list[i]
		if len(scores) >= keep && !strict.hopeful(c, &scores[keep-1]) {
			whole, f.kept.list = true, f.kept.list[:i]
			break
		}
		best, err := strict.best(c)
		if err != nil {
			return nil, false, err
		}
		if !best.ok {
			continue
		}
		r, err := strict.recipe(c, best, q.travel[best.travel])
		if err != nil {
			return nil, false, err
		}
		at, _ := slices.BinarySearchFunc(res.Recipes, *r, strict.compare)
		res.Recipes, scores = slices.Insert(res.Recipes, at, *r), slices.Insert(scores, at, best)
	}
	res.Recipes = res.Recipes[:min(len(res.Recipes), keep)]
	if s.FineTravel > 0 {
		for i := range res.Recipes {
			if err := strict.fine(&res.Recipes[i], s); err != nil {
				return nil, false, err
			}
		}
		slices.SortStableFunc(res.Recipes, strict.compare)
	}
	return res, whole, strict.addFront(res, f)
}

// recipe computes a candidate in full as it was settled.
func (q *plan) recipe(c *candidate, s score, travel float64) (*Recipe, error) {
	return q.p.evaluate(&q.nodes, c.choice(len(q.p.Positions)), q.static.at(s.static), travel)
}

// How much better a candidate may turn out on the exact curve than by the table:
// its advance errs by less than a hundredth of a degree, and the limits that the
// exact curve adds only make it worse.
const (
	easeTorque    = 2e-3 // share of the torque given up, beside
	leastEase     = 1e-6 // of the torque
	easeDeviation = 0.02 // crank degrees
)

// hopeful reports whether a candidate may yet be better than a score.
func (q *plan) hopeful(c *candidate, s *score) bool {
	first, second := s.order(q.bandFirst)
	ease := easeTorque*c.first + leastEase
	if q.bandFirst {
		ease = easeDeviation
	}
	if c.first < first-ease {
		return true
	}
	return c.first <= first+ease && c.second < second*(1-easeTorque)
}

// compare orders recipes as the search does.
func (q *plan) compare(a, b Recipe) int {
	first, second := cmp.Compare(a.torque(), b.torque()), cmp.Compare(a.Deviation, b.Deviation)
	if q.bandFirst {
		first, second = second, first
	}
	return cmp.Or(first, second, cmp.Compare(a.Changed, b.Changed), cmp.Compare(a.Weights, b.Weights),
		slices.Compare(a.Springs, b.Springs), slices.Compare(a.Posts, b.Posts), cmp.Compare(a.Travel, b.Travel), cmp.Compare(a.Static, b.Static))
}

// torque is the objective beside the deviation.
func (r *Recipe) torque() float64 { return r.TorqueGivenUp + r.FromMiddle }

// fine finishes a recipe's travel between the settings next to its own: the same
// problem again with a finer travel.
func (q *plan) fine(r *Recipe, s *Settings) error {
	own := *q.p
	own.Travel.Step = s.FineTravel
	own.Travel.Low = max(q.p.Travel.Low, r.Travel-q.p.Travel.step())
	own.Travel.High = min(q.p.Travel.High, r.Travel+q.p.Travel.step())
	finer := newPlan(&own, s, 0, 0)
	var best score
	for j := range finer.travel {
		one, err := finer.exactly(r.Choice, j)
		if err != nil {
			return err
		}
		if one.ok && (!best.ok || one.better(&best, q.bandFirst)) {
			best = one
		}
	}
	if !best.ok {
		return nil
	}
	better, err := q.p.evaluate(&q.nodes, r.Choice, finer.static.at(best.static), finer.travel[best.travel])
	if err == nil && q.compare(*better, *r) < 0 {
		*r = *better
	}
	return err
}

// near is how many travel settings on either side of the table's best are tried
// on the exact curve.
const near = 4

// best settles a candidate's travel and static timing on the exact curve.
func (q *plan) best(c *candidate) (score, error) {
	var best score
	for j := max(0, c.travel-near); j <= min(len(q.travel)-1, c.travel+near); j++ {
		s, err := q.exactly(c.choice(len(q.p.Positions)), j)
		if err != nil {
			return best, err
		}
		if s.ok && (!best.ok || s.better(&best, q.bandFirst)) {
			best = s
		}
	}
	return best, nil
}

// exactly settles the static timing of a choice for one travel.
func (q *plan) exactly(c Choice, j int) (score, error) {
	first, last, r, err := q.window(c, j)
	if err != nil || first > last {
		return score{}, err
	}
	s := q.timing(r, len(r.rise), q.travel[j], first, last, q.bandFirst)
	s.travel, s.ok = j, true
	return s, nil
}

// window returns the static settings that keep all limits for one travel of a
// choice, first above last where there are none, and the reading they rest on.
func (q *plan) window(c Choice, j int) (first, last int, r *reading, err error) {
	p := q.p
	travel := q.travel[j]
	m, curve, err := p.exact(c, travel)
	if err != nil {
		return 0, 0, nil, fmt.Errorf("springs %v, weights %d: %w", c.Springs, c.Weights, err)
	}
	if j >= q.reachable[1] || q.breaksShape(m, curve) || p.overstressed(c, m) {
		return 1, 0, nil, nil
	}
	n := &q.nodes
	reading := newReading(len(n.rpm), 1)
	for i, rpm := range n.rpm {
		w := p.Drive.Omega(rpm)
		reading.rise[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Rising))
		reading.fall[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Falling))
	}
	reading.sum(n, q.hasBand)
	room, _ := p.headroom(n, curve)
	lo, hi := q.sLow[j], min(q.sHigh[j], room-p.Limits.KnockMargin)
	if n.idle >= 0 {
		lo, hi = max(lo, q.idle.Low-reading.rise[n.idle]), min(hi, q.idle.High-reading.fall[n.idle])
	}
	first, last = q.settings(lo, hi)
	return first, last, &reading, nil
}

// breaksShape reports whether a curve breaks a limit that static timing cannot
// mend: start, all-in, snap.
func (q *plan) breaksShape(m *flyweights.Mechanism, c *flyweights.Curve) bool {
	square := func(w float64) float64 { return w * w }
	if all := square(c.AllIn(flyweights.Rising)); all < q.early || all > q.late {
		return true
	}
	if square(c.Start(flyweights.Rising)) < q.start || square(c.Start(flyweights.Falling)) < q.back {
		return true
	}
	if q.snap {
		return false
	}
	for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		for _, e := range c.Events(dir) {
			if v := square(e.Omega); e.Kind == flyweights.Snap && v >= q.driveLo && v <= q.driveHi {
				return true
			}
		}
	}
	return false
}

// overstressed reports whether any spring pulls more than its wire bears
// somewhere between rest and the stop.
func (p *Problem) overstressed(c Choice, m *flyweights.Mechanism) bool {
	i := 0
	for _, s := range c.Springs {
		if s < 0 {
			continue
		}
		if part := &p.Drawer.Springs[s]; part.MaxTension > 0 && greatestPull(m, i) > part.MaxTension+1e-9 {
			return true
		}
		i++
	}
	return false
}

// addFront makes recipes of the front's points and of the list. Their parts are
// tried anew on the exact curve, with all static timings and the travels next to
// theirs, since what the table lets through may break a limit by a hair.
func (q *plan) addFront(res *Result, f *found) error {
	if f.front == nil {
		return nil
	}
	tried := map[candidate]bool{}
	exact := newFront()
	slot := func(j int) int {
		if q.slotCounts && !q.slotKept[j] {
			return 1
		}
		return 0
	}
	again := func(c candidate) error {
		parts := c.changed - slot(c.travel)
		for j := max(0, c.travel-near); j <= min(len(q.travel)-1, c.travel+near); j++ {
			key := c
			key.first, key.second, key.changed, key.static, key.travel = 0, 0, 0, 0, j
			if tried[key] {
				continue
			}
			tried[key] = true
			key.changed = parts + slot(j)
			if err := q.addExactly(exact, key); err != nil {
				return err
			}
		}
		return nil
	}
	for _, list := range f.front.levels {
		for i := range list {
			if err := again(list[i].candidate); err != nil {
				return err
			}
		}
	}
	for i := range f.kept.list {
		if err := again(f.kept.list[i]); err != nil {
			return err
		}
	}
	for _, list := range exact.levels {
		for _, at := range list {
			r, err := q.p.evaluate(&q.nodes, at.choice(len(q.p.Positions)), q.static.at(at.static), q.travel[at.travel])
			if err != nil {
				return err
			}
			res.Front = append(res.Front, *r)
		}
	}
	return nil
}

// addExactly offers all static timings of one choice and travel to a front.
func (q *plan) addExactly(f *front, c candidate) error {
	choice := c.choice(len(q.p.Positions))
	first, last, r, err := q.window(choice, c.travel)
	if err != nil || first > last {
		return err
	}
	for k := first; k <= last; k++ {
		s := q.timing(r, len(r.rise), q.travel[c.travel], k, k, q.bandFirst)
		if !q.hasMBT {
			s.torque = 0
		}
		c.static = k
		c.first, c.second = s.order(q.bandFirst)
		f.add(point{torque: steps(s.torque, torqueStep), deviation: steps(s.deviation, deviationStep), candidate: c})
	}
	return nil
}
