package recipes

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Effort says what of a distributor a recipe may change beside turning it. The zero
// value opens nothing.
type Effort struct {
	Springs bool // other springs, or other posts
	Slot    bool // another end of the travel
	Weights bool // other weights
}

// String returns what is done, in words.
func (e Effort) String() string {
	switch e {
	case clampOnly:
		return "turn the distributor only"
	case springsOnly:
		return "springs only"
	case slotOnly:
		return "slot only"
	case springsAndSlot:
		return "springs and slot"
	case anyParts:
		return "everything"
	}
	return fmt.Sprintf("weights, springs %t, slot %t", e.Springs, e.Slot)
}

// The efforts of a ladder.
var (
	clampOnly      = Effort{}
	springsOnly    = Effort{Springs: true}
	slotOnly       = Effort{Slot: true}
	springsAndSlot = Effort{Springs: true, Slot: true}
	anyParts       = Effort{Springs: true, Slot: true, Weights: true}
)

// Differences within which two recipes count as equal, so that the one with fewer
// changed parts wins.
const (
	equalTorque      = 0.005 // share of the torque given up: no driver and few dynamometers tell more apart (common practice, no source)
	equalProbability = 0.05  // that a build serves
	// equalDegrees is the distance from the band where there is no MBT, and of two
	// curves that count as the same, crank degrees: what a hand-held light shows.
	equalDegrees = 0.5
)

// Rung is the best recipe of one effort.
type Rung struct {
	Effort Effort
	// Recipe is nil where nothing of this effort keeps the limits. Turning the
	// distributor only is always judged: where it keeps no limits, the recipe is the
	// timing that breaks them by least, and Breaches says which.
	Recipe      *Recipe
	Breaches    []Breach
	Probability float64   // that a build serves
	Same        []*Recipe // other parts of this effort to the same curve: "or"
	Over        int       // rung below that it is held against: the best of them; -1 for none
	// Better says that the rung is better than all below by more than the equality,
	// or the first that keeps the limits.
	Better bool
}

// Ladder lists what each effort buys.
type Ladder struct {
	Rungs   []Rung // in rising effort
	Best    int    // rung to build; -1 where none keeps the limits
	Unknown string // why efforts are missing; empty where all are judged
}

// NewLadder searches the drawer once for each effort: turn the distributor only,
// springs only, slot only, both, everything. Of recipes that give up the same torque
// within 0.5 % (or lie within 0.5 crank degrees where there is no MBT), and serve as
// surely within 5 points, the one with fewer changed parts is taken, within a rung
// as from rung to rung. probability returns how surely a build of a recipe serves, 0
// to 1; nil stands for [Problem.JointProbability] with 1000 builds of
// [DefaultScatter]. A problem without present parts, or without a known slot, has
// fewer rungs. Errors are those of [Search], but that nothing fits is an answer
// here, not an error; with a context that ended come the rungs judged until then.
func NewLadder(ctx context.Context, p *Problem, s *Settings, probability func(context.Context, *Recipe) (float64, error)) (*Ladder, error) {
	if s == nil {
		s = &Settings{}
	}
	if err := firstOf(p.check(), s.check()); err != nil {
		return nil, err
	}
	l := &ladder{Ladder: Ladder{Best: -1}, p: p, s: s, ask: probability}
	efforts, unknown := l.efforts()
	l.Unknown = unknown
	for i, e := range efforts {
		l.part, l.parts = i, len(efforts)
		r, err := l.rung(ctx, e)
		if cause := context.Cause(ctx); cause != nil {
			return &l.Ladder, cause
		}
		if err != nil {
			return nil, err
		}
		l.hold(r)
	}
	return &l.Ladder, nil
}

// ladder is one in the making.
type ladder struct {
	Ladder
	p           *Problem
	s           *Settings
	ask         func(context.Context, *Recipe) (float64, error)
	part, parts int // rung in work, of how many
	known       []known
}

// known is a recipe whose probability was asked for.
type known struct {
	r           *Recipe
	probability float64
}

// efforts lists those that can be judged.
func (l *ladder) efforts() (list []Effort, unknown string) {
	_, slot := l.p.slotTravel()
	switch {
	case l.p.Present == nil:
		return []Effort{anyParts}, "the parts that are in it now are not known, so no effort can be told from another"
	case !slot:
		return []Effort{springsAndSlot, anyParts}, "the slot as it is now is not known, so no recipe can leave it alone"
	}
	return []Effort{clampOnly, springsOnly, slotOnly, springsAndSlot, anyParts}, ""
}

// rung finds the best recipe of an effort.
func (l *ladder) rung(ctx context.Context, e Effort) (*Rung, error) {
	r := &Rung{Effort: e, Over: -1}
	if e == clampOnly || e == slotOnly {
		return r, l.present(ctx, r)
	}
	own, now := *l.p, 0.0
	if e != anyParts {
		w := l.p.Present.Weights
		own.Drawer.Weights = own.Drawer.Weights[w : w+1]
		own.Shares, own.ShareDraws = own.Shares.ofWeights(w), nil
		present := *l.p.Present
		present.Weights = 0
		own.Present = &present
	}
	if e == springsOnly {
		now, _ = l.p.slotTravel()
		if now < l.p.Travel.Low || now > l.p.Travel.High {
			return r, nil
		}
		own.Travel, own.SlotStep = Span{Low: now, High: now}, 0
	}
	s := *l.s
	s.NoReasons = true
	s.Keep = max(s.Keep, rungKeeps)
	if told := l.s.Progress; told != nil {
		s.Progress = func(done float64) { told((float64(l.part) + done) / float64(l.parts)) }
	}
	found, err := Search(ctx, &own, &s)
	if errors.Is(err, ErrNoRecipe) {
		return r, nil
	}
	if err != nil {
		return nil, err
	}
	if e != anyParts {
		for i := range found.Recipes {
			found.Recipes[i].Weights = l.p.Present.Weights
		}
	}
	return r, l.choose(ctx, r, found.Recipes)
}

// ofWeights is the shares with one set of the weights.
func (s *Shares) ofWeights(w int) *Shares {
	if s == nil {
		return nil
	}
	out := *s
	out.Weights = s.Weights[w : w+1]
	return &out
}

const (
	// rungKeeps is how many recipes of an effort are looked through.
	rungKeeps = 100
	// rungTries bounds those whose probability is asked for.
	rungTries = 16
)

// present judges the parts as they are, with the slot as it is or not.
func (l *ladder) present(ctx context.Context, r *Rung) error {
	q := newPlan(l.p, l.s, 0, 0)
	from, to := 0, len(q.travel)
	if r.Effort == clampOnly {
		for to = 0; to < len(q.travel) && !q.slotKept[to]; to++ {
		}
		from, to = to, min(to+1, len(q.travel))
	}
	best, err := q.settleExactly(*l.p.Present, from, to)
	if err != nil {
		return err
	}
	if best.ok {
		one, err := l.p.evaluate(&q.nodes, *l.p.Present, q.static.at(best.static), q.travel[best.travel])
		if err != nil {
			return err
		}
		return l.choose(ctx, r, []Recipe{*one})
	}
	if r.Effort == slotOnly {
		return nil
	}
	if r.Recipe, err = l.leastBreach(&q.nodes); err != nil {
		return err
	}
	r.Breaches = l.p.breaches(r.Recipe)
	r.Probability, err = l.probability(ctx, r.Recipe)
	return err
}

// leastBreach is the present parts and slot, set to the static timing that breaks
// the limits by least.
func (l *ladder) leastBreach(n *nodes) (*Recipe, error) {
	now, _ := l.p.slotTravel()
	base, err := l.p.evaluate(n, *l.p.Present, l.p.Static.Low, now)
	if err != nil {
		return nil, err
	}
	best, least := 0.0, math.Inf(1)
	for k := range l.p.Static.count() {
		one, by := *base, l.p.Static.at(k)-base.Static
		one.Static, one.Total, one.KnockMargin = one.Static+by, one.Total+by, one.KnockMargin-by
		one.Idle.Low, one.Idle.High = one.Idle.Low+by, one.Idle.High+by
		size := 0.0
		for _, b := range l.p.breaches(&one) {
			size += b.size()
		}
		if size < least {
			best, least = one.Static, size
		}
	}
	return l.p.evaluate(n, *l.p.Present, best, now)
}

// choose takes the best of an effort's recipes, which come in the order of the
// ranking: of those equal in torque the surest, and of those equal in that too the
// one with the fewest changed parts.
func (l *ladder) choose(ctx context.Context, r *Rung, list []Recipe) error {
	var tried []known
	for i := range list[:min(len(list), rungTries)] {
		if l.ahead(&list[0], &list[i]) {
			break
		}
		p, err := l.probability(ctx, &list[i])
		if err != nil {
			return err
		}
		tried = append(tried, known{&list[i], p})
	}
	surest := 0.0
	for _, one := range tried {
		surest = max(surest, one.probability)
	}
	best := known{}
	for _, one := range tried {
		if one.probability < surest-equalProbability {
			continue
		}
		if best.r == nil || one.r.Changed < best.r.Changed || one.r.Changed == best.r.Changed && one.probability > best.probability {
			best = one
		}
	}
	r.Recipe, r.Probability = best.r, best.probability
	for _, one := range tried {
		if one.r != best.r && l.same(one.r, best.r) && math.Abs(one.probability-best.probability) <= equalProbability {
			r.Same = append(r.Same, one.r)
		}
	}
	return nil
}

// probability asks once for each recipe.
func (l *ladder) probability(ctx context.Context, r *Recipe) (float64, error) {
	for _, k := range l.known {
		if k.r.sameSetting(r) {
			return k.probability, nil
		}
	}
	ask := l.ask
	if ask == nil {
		scatter := DefaultScatter()
		scatter.Samples, scatter.Workers = 1000, l.s.Workers
		ask = func(ctx context.Context, r *Recipe) (float64, error) { return l.p.JointProbability(ctx, r, scatter) }
	}
	p, err := ask(ctx, r)
	if err == nil && !(p >= 0 && p <= 1) {
		err = outOfRange("probability of a recipe", p, "", "0 to 1")
	}
	if err == nil {
		l.known = append(l.known, known{r, p})
	}
	return p, err
}

// sameSetting reports whether two recipes are one: the same parts set up alike.
func (r *Recipe) sameSetting(o *Recipe) bool {
	return r.Static == o.Static && r.Travel == o.Travel && r.Weights == o.Weights &&
		slices.Equal(r.Springs, o.Springs) && slices.Equal(r.Posts, o.Posts)
}

// same reports whether two recipes of as many changes have the same curve, for all
// that a light can tell.
func (l *ladder) same(a, b *Recipe) bool {
	if a.Changed != b.Changed || len(a.points) != len(b.points) {
		return false
	}
	off := func(x, y float64) bool { return !(math.Abs(x-y) <= equalDegrees) }
	if off(a.Static, b.Static) || off(a.Total, b.Total) {
		return false
	}
	for i, x := range a.points {
		if y := b.points[i]; off(x.Rising, y.Rising) || off(x.Falling, y.Falling) {
			return false
		}
	}
	return true
}

// ahead reports whether one recipe beats another by more than the equality in what
// the problem ranks by: torque, or distance from the band where there is no MBT.
func (l *ladder) ahead(a, b *Recipe) bool {
	bandFirst := l.s.BandFirst || len(l.p.Target.MBT.Points()) == 0
	if bandFirst && math.Abs(a.Deviation-b.Deviation) > equalDegrees {
		return a.Deviation < b.Deviation
	}
	if len(l.p.Target.MBT.Points()) == 0 {
		return a.FromMiddle < b.FromMiddle-equalDegrees
	}
	return a.TorqueGivenUp < b.TorqueGivenUp-equalTorque
}

// hold adds a rung and holds it against the best below.
func (l *ladder) hold(r *Rung) {
	defer func() { l.Rungs = append(l.Rungs, *r) }()
	if r.Recipe == nil {
		return
	}
	switch {
	case l.Best >= 0:
		r.Over = l.Best
	case len(l.Rungs) > 0 && l.Rungs[0].Effort == clampOnly:
		r.Over = 0 // judged, though it breaks limits
	}
	switch {
	case len(r.Breaches) > 0:
		return
	case l.Best < 0:
		r.Better = true
	default:
		below := &l.Rungs[l.Best]
		surer := r.Probability > below.Probability+equalProbability
		r.Better = l.ahead(r.Recipe, below.Recipe) || surer && !l.ahead(below.Recipe, r.Recipe)
	}
	if r.Better {
		l.Best = len(l.Rungs)
	}
}
