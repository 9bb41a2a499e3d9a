package recipes

import (
	"context"
	"slices"

	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

// FreeSpring is a spring that the drawer does not hold but should.
type FreeSpring struct {
	Position, Post int
	// Wanted is the task for [design.Springs], which makes wire, coil and turns of it.
	// Its length is that at rest, or where a long loop is taken up.
	design.Wanted
	Law springs.Spring
}

// Wish is a recipe with springs made for it.
type Wish struct {
	Springs []FreeSpring // the springs that are new
	Recipe  *Recipe      // its spring indices count the springs in use, not the drawer
	// Breaches lists the limits that no spring in these places can keep.
	Breaches []Breach
}

// missing finds the one spring that, put in the place of one of a recipe's own,
// brings it into the limits and nearest to the target: its rate, its tension at
// rest, and where it is taken up, with no less tension than close winding leaves
// in the coils. All positions are tried and the best is returned.
func (p *Problem) missing(ctx context.Context, r *Recipe, s *Settings) (*Wish, error) {
	if r == nil || r.Curve == nil {
		return nil, refuse("recipe is empty")
	}
	var best *fitted
	for i := range r.Springs {
		f, err := newFitter(p, s, r.Choice, []int{i})
		if err != nil {
			return nil, err
		}
		f.wound = true
		if best, err = f.better(ctx, best); err != nil {
			return nil, err
		}
	}
	return best.wish()
}

// missingSet finds springs for all places at once, where one is not enough: all
// positions free, the last one apart from the others, each set of weights tried. It
// is a search from several places, not a proof: springs a few hundredths of the
// torque given up better may exist.
func (p *Problem) missingSet(ctx context.Context, s *Settings) (*Wish, error) {
	// Settings as fine as can be, so that the objective is all but continuous.
	fine := *p
	fine.SlotStep = 0
	fine.Static.Step, fine.Travel.Step = fineStatic, min(fineTravel, p.Travel.step())
	var best *fitted
	for w := range p.Drawer.Weights {
		c := Choice{Springs: make([]int, len(p.Positions)), Posts: make([]int, len(p.Positions)), Weights: w}
		free := make([]int, len(p.Positions))
		for i := range free {
			free[i] = i
		}
		f, err := newFitter(&fine, s, c, free)
		if err != nil {
			return nil, err
		}
		if best, err = f.better(ctx, best); err != nil {
			return nil, err
		}
	}
	return best.wish()
}

// wish computes what was found on the exact curve.
func (b *fitted) wish() (*Wish, error) {
	f := b.f
	f.set(b.x)
	own := *f.p // the problem with a drawer of just these springs
	own.Drawer.Springs, own.Positions, own.Present = nil, nil, nil
	c := Choice{Weights: f.choice.Weights}
	w := &Wish{}
	for i, law := range f.laws {
		pos := f.p.Positions[i]
		pos.Posts = []Post{pos.Posts[f.choice.Posts[i]]}
		pos.Empty = pos.Empty || law.Rate == 0
		own.Positions = append(own.Positions, pos)
		c.Posts = append(c.Posts, 0)
		if law.Rate == 0 {
			c.Springs = append(c.Springs, -1)
			continue
		}
		part := SpringPart{Name: "made for " + pos.Name, Count: 1}
		if !slices.Contains(f.free, i) {
			part = f.p.Drawer.Springs[f.choice.Springs[i]]
		}
		part.Spring = law
		c.Springs = append(c.Springs, len(own.Drawer.Springs))
		own.Drawer.Springs = append(own.Drawer.Springs, part)
	}
	at := candidate{weights: c.Weights, travel: b.score.travel, static: b.score.static}
	if !b.score.ok {
		at.travel, at.static = b.miss.travel, b.miss.static
	}
	for i := range c.Springs {
		at.springs[i] = int32(c.Springs[i])
	}
	q := newPlan(&own, &Settings{BandFirst: f.bandFirst}, 0, 0)
	if best, err := q.best(&at); err != nil {
		return nil, err
	} else if best.ok {
		at.travel, at.static = best.travel, best.static
	}
	r, err := own.evaluate(&q.nodes, c, q.static.at(at.static), q.travel[at.travel])
	if err != nil {
		return nil, err
	}
	w.Recipe, w.Breaches = r, own.breaches(r)
	for _, i := range f.free {
		w.Springs = append(w.Springs, f.spring(i, r))
	}
	return w, nil
}

// spring describes the free spring at a position of the finished recipe.
func (f *fitter) spring(position int, r *Recipe) FreeSpring {
	n := 0 // its place among the mechanism's springs
	for i := range position {
		if r.Springs[i] >= 0 {
			n++
		}
	}
	law := f.laws[position]
	s := FreeSpring{Position: position, Post: f.choice.Posts[position], Law: law, Wanted: design.Wanted{Rate: law.Rate,
		Length: r.Mechanism.SpringLength(n, 0), Longest: r.Mechanism.SpringLength(n, r.Mechanism.Stop)}}
	s.Slack = max(0, law.TakeUp()-s.Length)
	s.Length = max(s.Length, law.TakeUp())
	s.Tension = law.InitialTension + law.Rate*(s.Length-law.TakeUp())
	return s
}
