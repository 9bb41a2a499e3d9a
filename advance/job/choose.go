package job

import (
	"context"
	"errors"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
)

// choice is what the search through the drawer found.
type choice struct {
	problem  *recipes.Problem
	searched float64
	parts    []RecipePart
	best     *recipes.Recipe // nil where nothing fits
	band     band            // of the best
	risk     risk            // of the best
	unproven string          // said where recipes keep only to a relaxed limit
	noFit    *NoFit
}

// problem states the search: the mechanism, the drawer, what the engine wants,
// and the limits of the wish.
func (j *Job) problem(a *requirement) *recipes.Problem {
	w := &j.Wish
	p := &recipes.Problem{
		Mechanism: j.Mechanism, Drive: j.Drive, Positions: j.Places, Drawer: j.Drawer,
		Slot:   j.Slot,
		Travel: recipes.Span{Low: w.Travel, High: j.SlotTravel},
		Static: w.Static, Idle: j.Idle, Present: j.Fitted,
		Target: recipes.Target{MBT: a.mbt, Loss: a.loss},
		Limits: recipes.Limits{
			Knock: a.limit, KnockMargin: w.KnockMargin, AllIn: w.AllIn, Snap: w.Snap,
			AdvanceAtIdle: w.AboveIdle < 0,
		},
	}
	if w.AboveIdle >= 0 {
		p.Limits.StartMargin, p.Limits.ReturnMargin = w.AboveIdle, w.AboveIdle
	}
	p.Limits.Total = recipes.Window{Low: w.Total - totalWithin, High: w.Total + totalWithin}
	if w.Total == 0 {
		p.Limits.Total = recipes.Window{Low: w.Static.Low, High: a.requiredTotal(w.AllIn.High)}
	}
	return p
}

// requiredTotal is the total that the engine needs where nobody wished for one, crank
// degrees: past all-in, the least spark at any speed that still gives 99.5 % of
// the best torque. More would put the engine at risk for nothing.
func (a *requirement) requiredTotal(allIn float64) float64 {
	total := a.want[len(a.want)-1].MBTLate
	for _, w := range a.want {
		if w.RPM >= allIn {
			total = min(total, w.MBTLate)
		}
	}
	return total
}

// totalWithin is how far a recipe's total may lie from the one wished for, crank
// degrees: half the step in which slot and static timing are tried.
const totalWithin = 0.25

// choose searches the drawer and keeps the best recipe of each set of parts. Where
// none keeps below the best estimate of the knock limit, and that was never
// narrowed by knock heard, it looks again with a relaxed limit inside its band: a limit known only within 20 degrees or so must warn, it cannot
// forbid.
func (j *Job) choose(ctx context.Context, a *requirement, progress func(string, float64)) (*choice, error) {
	c := &choice{problem: j.problem(a), parts: []RecipePart{}}
	settings := recipes.Settings{Keep: lookedAt, NoFront: true, NoReasons: true}
	settings.Progress = func(done float64) { progress("trying the drawer", done) }
	found, err := recipes.Search(ctx, c.problem, &settings)
	for _, part := range relaxedLimits {
		if !errors.Is(err, recipes.ErrNoRecipe) || j.heard() {
			break
		}
		if c.problem.Limits.Knock, err = a.relaxed(part); err != nil {
			return nil, err
		}
		c.unproven = j.unproven(a)
		settings.Progress = func(done float64) { progress("trying the drawer with a relaxed knock limit", done) }
		found, err = recipes.Search(ctx, c.problem, &settings)
	}
	knockForbids := false
	if errors.Is(err, recipes.ErrNoRecipe) {
		free := *c.problem
		free.Limits.Knock, free.Limits.KnockMargin = advance.Curve{}, 0
		settings.Progress = nil
		if _, err := recipes.Search(ctx, &free, &settings); err == nil {
			knockForbids = true
		}
		settings.NoReasons = false
		settings.Progress = func(done float64) { progress("asking what comes nearest", done) }
		found, err = recipes.Search(ctx, c.problem, &settings)
	}
	switch {
	case errors.Is(err, recipes.ErrNoRecipe):
		c.searched, c.unproven = found.Combinations, ""
		c.noFit = j.noFitReport(found, knockForbids, a)
		return c, nil
	case err != nil:
		return nil, fmt.Errorf("%w: drawer: %w", ErrJob, err)
	}
	c.searched = found.Combinations
	ranked, err := j.rank(ctx, c.problem, found.Recipes, a)
	if err != nil {
		return nil, err
	}
	for i, one := range ranked[:min(len(ranked), j.Wish.Keep)] {
		b, err := j.toleranceBand(ctx, c.problem, one.recipe)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			c.best, c.band, c.risk = one.recipe, b, one.risk
		}
		c.parts = append(c.parts, j.recipePart(i+1, one.recipe, &b, one.risk))
	}
	return c, nil
}

// recipePart is a recipe in the report.
func (j *Job) recipePart(rank int, r *recipes.Recipe, b *band, at risk) RecipePart {
	round := sheet.Round
	p := RecipePart{
		Rank: rank, Springs: map[string]string{}, Weights: j.Drawer.Weights[r.Weights].Name,
		Static: round(r.Static), Travel: round(r.Travel), Total: round(r.Total),
		SlotClosing: round(r.SlotClosing), SlotLength: round(j.Slot.Length*1e3 - r.SlotClosing),
		Start: round(r.Start), Return: round(r.Return), AllIn: round(r.AllIn),
		AllInLow: round(b.allInLow), AllInHigh: round(b.allInHigh),
		IdleReading: round(r.Idle.Low), GivenUp: round(100 * r.TorqueGivenUp),
		Margin: round(at.margin), MarginRPM: round(at.marginRPM), Changed: r.Changed,
		KnockChance: round(100 * at.chance), KnockChanceRPM: at.chanceRPM,
		Chances: b.chances, MostTo: b.mostTo, Measure: b.measure,
		Events: j.events(r.Rising),
	}
	for i, name := range r.SpringNames {
		p.Springs[j.Places[i].Name] = name
	}
	for i, rpm := range b.rpm {
		p.Band = append(p.Band, BandRow{RPM: rpm, Rising: round(b.nominal[i]), Low: round(b.low[i]), High: round(b.high[i])})
	}
	return p
}

// window returns the best recipe's total at a speed and the readings that pass:
// the spread of builds widened by the error of the light.
func (c *choice) window(j *Job, rpm float64) (rising, falling, low, high float64, err error) {
	if rising, err = c.best.At(rpm, flyweights.Rising); err != nil {
		return 0, 0, 0, 0, err
	}
	if falling, err = c.best.At(rpm, flyweights.Falling); err != nil {
		return 0, 0, 0, 0, err
	}
	low, high = c.band.at(rpm, rising)
	return rising, falling, low, high, nil
}
