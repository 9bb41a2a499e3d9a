package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
)

const (
	// lookedAt is how many recipes of least torque given up are looked through.
	lookedAt = 400
	// evenTorque is the fraction of torque below which recipes count as equals:
	// no driver and few dynamometers tell them apart (common practice, no source).
	evenTorque = 0.005
	// evenCurve is the distance from the wanted curve, root mean square in crank degrees,
	// below which recipes count as equals where no engine tells torque: what a light can
	// tell.
	evenCurve = 0.5
	// setsTried and settingsTried bound how many sets of parts, and how many
	// settings of each, are judged by drawing builds.
	setsTried, settingsTried = 16, 6
	// buildsDrawn is how many builds are drawn to rank; the winners get more.
	buildsDrawn = 1000
)

// ranked is a recipe with its risk of knock and the probability that a build keeps
// the limits and stays free of knock.
type ranked struct {
	recipe *recipes.Recipe
	risk   risk
	sure   float64
}

// rank orders recipes that give up the same torque, for all that one can tell,
// by how surely a build keeps the limits and stays free of knock, and keeps the
// surest setting of each set of parts. Recipes come in with the least torque given up first.
func (j *Job) rank(ctx context.Context, p *recipes.Problem, list []recipes.Recipe, a *requirement) ([]ranked, error) {
	sets := map[string][]*recipes.Recipe{}
	var order []string
	for i := range list {
		r := &list[i]
		if r.TorqueGivenUp > list[0].TorqueGivenUp+evenTorque || a == nil && r.FromMiddle > list[0].FromMiddle+evenCurve {
			break
		}
		key := j.alike(r)
		if sets[key] == nil {
			order = append(order, key)
		}
		sets[key] = append(sets[key], r)
	}
	var best []ranked
	for _, key := range order[:min(len(order), setsTried)] {
		set := sets[key]
		var top ranked
		step := max(1, (len(set)+settingsTried-1)/settingsTried)
		for i := 0; i < len(set); i += step {
			one, err := j.judged(ctx, p, set[i], a)
			if err != nil {
				return nil, err
			}
			if top.recipe == nil || one.sure > top.sure {
				top = one
			}
		}
		best = append(best, top)
	}
	slices.SortStableFunc(best, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(b.sure, a.sure), cmp.Compare(a.recipe.TorqueGivenUp, b.recipe.TorqueGivenUp), cmp.Compare(a.recipe.FromMiddle, b.recipe.FromMiddle))
	})
	return best, nil
}

// judged weighs one recipe: how surely a build keeps the limits and stays free of
// knock.
func (j *Job) judged(ctx context.Context, p *recipes.Problem, r *recipes.Recipe, a *requirement) (ranked, error) {
	builds := j.scatter(p, r)
	builds.Samples = buildsDrawn
	kept, err := p.JointProbability(ctx, r, builds)
	if err != nil {
		return ranked{}, fmt.Errorf("job: tolerances: %w", err)
	}
	at, err := j.risk(r, a)
	return ranked{r, at, kept * (1 - at.chance)}, err
}

// alike is the same for recipes of the same kinds of parts, whichever spring hangs
// at which place and whatever its name.
func (j *Job) alike(r *recipes.Recipe) string {
	var laws []string
	for _, s := range r.Springs {
		if s >= 0 && j.learned() {
			laws = append(laws, j.Drawer.Springs[s].Name)
		} else if s >= 0 {
			laws = append(laws, fmt.Sprint(j.Drawer.Springs[s].Spring))
		}
	}
	slices.Sort(laws)
	return fmt.Sprint(laws, r.Weights)
}

// totalKept is how near a finished build should come to the recipe's total,
// crank degrees: what a light can tell.
const totalKept = 1.0

// scatter is the care of the builder and the light. A build keeps the limits if it
// comes near the recipe's total; the knock limit, less sure than any build, is
// weighed apart by its band.
func (j *Job) scatter(p *recipes.Problem, r *recipes.Recipe) *recipes.Scatter {
	limits := p.Limits
	limits.Total = recipes.Window{Low: r.Total - totalKept, High: r.Total + totalKept}
	limits.Knock, limits.KnockMargin = advance.Curve{}, 0
	s := recipes.DefaultScatter()
	s.Light, s.Limits = j.Settings.SigmaDegrees, &limits
	return s
}
