package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
)

// climb asks what each effort buys, and puts the least effort among equals first in the
// list of recipes.
func (c *choice) climb(ctx context.Context, j *Job, list []ranked, a *requirement) ([]ranked, error) {
	if j.Fitted == nil {
		return list, nil // nobody knows what is changed
	}
	sure := func(ctx context.Context, r *recipes.Recipe) (float64, error) {
		one, err := j.judged(ctx, c.problem, r, a)
		return one.sure, err
	}
	ladder, err := recipes.NewLadder(ctx, c.problem, &recipes.Settings{Keep: ladderKept}, sure)
	if err != nil {
		return nil, fmt.Errorf("%w: drawer: %w", ErrJob, err)
	}
	c.ladder = ladder
	if ladder.Best < 0 {
		return list, nil
	}
	best := &ladder.Rungs[ladder.Best]
	first := best.Recipe
	if best.Effort.Weights && list[0].sure >= best.Probability {
		return list, nil // the whole drawer was looked through more closely for this list
	}
	one, err := j.judged(ctx, c.problem, first, a)
	if err != nil {
		return nil, err
	}
	out := []ranked{one}
	for _, x := range list {
		if j.alike(x.recipe) != j.alike(first) {
			out = append(out, x)
		}
	}
	return out, nil
}

// ladderKept is how many recipes of each effort are looked through.
const ladderKept = 60

// lightStepped is how finely a timing light can be set, crank degrees.
const lightStepped = 0.5

// settable is the nearest timing that a light can be set to.
func settable(deg float64) float64 { return lightStepped * math.Round(deg/lightStepped) }

// onLight turns the distributor so that what is to be set is what a light can show: the
// slot goes in steps, the distributor turns as one likes. It is the very total that was
// wished for, else the nearest half degree that breaks no limit; a governed engine is set
// at its own limit, to what the curve shows there.
func (j *Job) onLight(p *recipes.Problem, r *recipes.Recipe) (*recipes.Recipe, error) {
	shows, err := r.At(math.Min(r.AllIn, j.Top), flyweights.Rising)
	if err != nil {
		return nil, fmt.Errorf("job: total: %w", err)
	}
	near := settable(shows)
	try := []float64{near, near - lightStepped, near + lightStepped}
	if j.Wish.Total > 0 && r.AllIn <= j.Top {
		try = append([]float64{j.Wish.Total}, try...)
	}
	wide := *p
	wide.Limits.Total.Low -= lightStepped
	for _, want := range try {
		again, breaches, err := wide.Evaluate(r.Choice, r.Static+want-shows, r.Travel)
		if err != nil {
			return nil, fmt.Errorf("job: total: %w", err)
		}
		if len(breaches) == 0 {
			return again, nil
		}
	}
	return r, nil
}

// efforts prints the ladder into the report.
func (c *choice) efforts(j *Job) ([]effortRow, error) {
	if c.ladder == nil {
		return nil, nil
	}
	var out []effortRow
	for i, rung := range c.ladder.Rungs {
		part := effortRow{Effort: rung.Effort.String(), First: i == c.ladder.Best, Sure: text.Round(100 * rung.Probability)}
		for _, b := range rung.Breaches {
			part.Breaks = append(part.Breaks, breach(b))
		}
		if rung.Recipe == nil {
			part.Recipe = "nothing in the drawer keeps the limits"
			out = append(out, part)
			continue
		}
		if part.First {
			rung.Recipe = c.best
		}
		part.Keeps = len(rung.Breaches) == 0
		if best := c.ladder.Best; best >= 0 && i > best && sameBuild(rung.Recipe, c.best) || i > 0 && c.repeats(i) {
			part.Recipe = "nothing better in the drawer"
			part.Keeps, part.Sure = false, 0
			out = append(out, part)
			continue
		}
		if !part.First {
			var err error
			if rung.Recipe, err = j.onLight(c.problem, rung.Recipe); err != nil {
				return nil, err
			}
		}
		part.Recipe = j.inShort(rung.Recipe)
		for _, same := range rung.Same {
			part.Or = append(part.Or, j.springsOf(same))
		}
		if rung.Over >= 0 && part.Keeps {
			part.Gain = gain(&c.ladder.Rungs[i], &c.ladder.Rungs[rung.Over], j.has.engine)
		}
		out = append(out, part)
	}
	return out, nil
}

// repeats reports whether an effort comes to the build of a lesser one.
func (c *choice) repeats(i int) bool {
	return slices.ContainsFunc(c.ladder.Rungs[:i], func(less recipes.Rung) bool {
		return less.Recipe != nil && sameBuild(less.Recipe, c.ladder.Rungs[i].Recipe)
	})
}

// sameBuild reports whether two recipes have the same parts and the same slot.
func sameBuild(a, b *recipes.Recipe) bool {
	return slices.Equal(a.Springs, b.Springs) && slices.Equal(a.Posts, b.Posts) && a.Weights == b.Weights && math.Abs(a.Travel-b.Travel) < sameTravel
}

// inShort names a recipe in a line.
func (j *Job) inShort(r *recipes.Recipe) string {
	return fmt.Sprintf("%s; weights %s; static %.1f + travel %.1f = %.1f deg; %s",
		j.springsOf(r), j.Drawer.Weights[r.Weights].Name, r.Static, r.Travel, r.Total, j.slotShort(r))
}

// springsOf names the springs of a recipe with their places.
func (j *Job) springsOf(r *recipes.Recipe) string { return j.named(r.SpringNames) }

// slotShort says what happens to the slot in a few words.
func (j *Job) slotShort(r *recipes.Recipe) string {
	closing := r.SlotClosing
	switch {
	case !r.SlotKnown && math.Abs(j.SlotTravel-r.Travel) < sameTravel:
		return "slot as it is"
	case !r.SlotKnown:
		return fmt.Sprintf("%.1f deg of travel less", j.SlotTravel-r.Travel)
	case closing > 0.05:
		return fmt.Sprintf("close %.1f mm", closing)
	case closing < -0.05:
		return fmt.Sprintf("file %.1f mm", -closing)
	}
	return "slot as it is"
}

// gain says what a rung buys over another, each figure only where it can be told.
func gain(rung, over *recipes.Rung, engine bool) string {
	a, b := rung.Recipe, over.Recipe
	var list []string
	say := func(x, least float64, more, less string) {
		switch {
		case x >= least:
			list = append(list, fmt.Sprintf(more, x))
		case x <= -least:
			list = append(list, fmt.Sprintf(less, math.Abs(x)))
		}
	}
	if engine {
		say(100*(b.TorqueGivenUp-a.TorqueGivenUp), 0.05, "%.1f %% less torque given up", "%.1f %% more torque given up")
		say(a.KnockMargin-b.KnockMargin, 0.1, "%.1f deg more knock margin", "%.1f deg less knock margin")
	} else {
		say(b.Deviation-a.Deviation, 0.1, "%.1f deg nearer to the wanted curve", "%.1f deg further from the wanted curve")
	}
	say(a.AllIn-b.AllIn, 25, "all in %.0f rpm later", "all in %.0f rpm sooner")
	say(100*(rung.Probability-over.Probability), 1, "%.0f %% surer", "%.0f %% less sure")
	if len(list) == 0 {
		return "nothing that can be told"
	}
	return strings.Join(list, ", ")
}
