package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
)

// recipeStage asks which parts of the drawer to fit.
func recipeStage() stage {
	return stage{
		name: "recipes from the drawer", doing: "trying the drawer", share: 0.32,
		also: []string{"distributor"},
		needs: []string{
			"drawer", "distributor.pivot_radius", "distributor.cam_per_swing", "distributor.cam_pin", "distributor.cam_table",
			"distributor.cam_turns", "distributor.slide_out", "distributor.slide_cam",
			"distributor.spring_places", "distributor.slot",
		},
		buys: "which springs and weights to fit, and the slot to file or close for them",
		can: func(w *work) bool {
			return w.job.has.mechanism && len(w.job.Drawer.Springs) > 0 || w.job.teaches()
		},
		answer: func(ctx context.Context, w *work, done func(float64)) error {
			if !w.job.has.mechanism || len(w.job.Drawer.Springs) == 0 {
				if err := w.adoptLearned(ctx); err != nil || !w.job.learned() {
					return err
				}
			} else if err := w.adoptJoined(ctx); err != nil {
				return err
			}
			return w.choose(ctx, done)
		},
	}
}

// choose searches the drawer and puts what it found into the report.
func (w *work) choose(ctx context.Context, done func(float64)) error {
	// Nobody waits for long without knowing what for.
	if ways, seconds, err := w.job.problem(w.wants).Estimate(nil); err == nil && seconds > 1 {
		w.doing = fmt.Sprintf("trying %.2g ways, some %.0f s or more", ways, seconds)
		done(0)
	}
	c, err := w.job.choose(ctx, w.wants, done)
	if err != nil {
		if c != nil { // interrupted
			w.report.Searched, w.report.Recipes, w.report.Unproven = c.searched, c.parts, c.unproven
		}
		return err
	}
	w.choice = c
	w.report.Searched, w.report.Recipes = w.choice.searched, w.choice.parts
	w.report.NoFit, w.report.Unproven = w.choice.noFit, w.choice.unproven
	w.report.Efforts, err = w.choice.efforts(w.job)
	return err
}

// choice is what the search through the drawer found.
type choice struct {
	problem  *recipes.Problem
	searched float64
	parts    []RecipePart
	best     *recipes.Recipe // nil where nothing fits
	band     band            // of the best
	risk     risk            // of the best
	relaxed  float64         // part of the way up its band to which the knock limit was relaxed
	further  []ranked        // to be worked after the answer
	built    []built         // every recipe of the report that is worked, the best first
	ladder   *recipes.Ladder // what each effort buys
	unproven string          // said where recipes keep only to a relaxed limit
	noFit    *NoFit
}

// problem states the search: the mechanism, the drawer, what the engine wants,
// and the limits of the wish.
func (j *Job) problem(a *requirement) *recipes.Problem {
	w := &j.Wish
	p := &recipes.Problem{
		Mechanism: j.Mechanism, Shares: j.shares, ShareDraws: j.draws, Drive: j.Drive, Positions: j.Places, Drawer: j.Drawer,
		Travel: recipes.Span{Low: w.Travel, High: j.SlotTravel},
		Static: w.Static, Idle: j.Idle, Present: j.Fitted,
		SlotStep: slotStep, LeastClosing: smallestClosing,
		Limits: recipes.Limits{AllIn: w.AllIn, Snap: w.Snap, AdvanceAtIdle: w.AboveIdle < 0},
	}
	switch {
	case j.has.slot:
		p.Slot = j.Slot
	case j.learned():
		p.PresentTravel, p.LeastRemoval = j.SlotTravel, smallestTravel
	}
	if w.AboveIdle >= 0 {
		p.Limits.StartMargin, p.Limits.ReturnMargin = w.AboveIdle, w.AboveIdle
	}
	total, _ := j.wantedTotal(a)
	if a == nil {
		p.Target.Band = j.wantedBand(total)
	} else {
		p.Target.MBT, p.Target.Loss = a.mbt, a.loss
		p.Limits.Knock, p.Limits.KnockMargin = a.limit, w.KnockMargin
	}
	p.Limits.Total = recipes.Window{Low: total - totalWithin, High: total + totalWithin}
	if a != nil && w.Total == 0 {
		p.Limits.Total = recipes.Window{Low: w.Static.Low, High: total}
	}
	return p
}

// usualTotal is the total where neither the builder nor an engine says which, crank
// degrees (common practice, no source: most such engines are set to 32 to 36).
const usualTotal = 34.0

// slotStep is what a file or a bush hits of a slot's length, m (common practice, no
// source).
const slotStep = 0.1e-3

// wantedTotal is the total to aim at, crank degrees, and where it comes from.
func (j *Job) wantedTotal(a *requirement) (total float64, of string) {
	switch {
	case j.Wish.Total > 0:
		return j.Wish.Total, "wanted"
	case a != nil:
		return settable(a.requiredTotal(j.Wish.AllIn.High)), "that the engine needs"
	}
	return usualTotal, "of common practice"
}

// wantedBand is the curve to come near to where no engine says what it wants: from the
// middle of the static range, just above idle, straight to the total in the middle of
// the speeds wished for. It is as wide as the static timing is free.
func (j *Job) wantedBand(total float64) []recipes.BandPoint {
	w := &j.Wish
	static := (w.Static.Low + w.Static.High) / 2
	from, to := j.Idle+math.Max(0, w.AboveIdle), (w.AllIn.Low+w.AllIn.High)/2
	var out []recipes.BandPoint
	const steps = 8
	for i := range steps + 1 {
		part := float64(i) / steps
		at := static + part*(total-static)
		out = append(out, recipes.BandPoint{RPM: from + part*(to-from), Low: at - bandWithin, High: at + bandWithin})
	}
	return append(out, recipes.BandPoint{RPM: math.Max(j.Top, to+1), Low: total - bandWithin, High: total + bandWithin})
}

// bandWithin is how far from the wanted curve is near enough, crank degrees: what a
// light can tell.
const bandWithin = 1.0

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
func (j *Job) choose(ctx context.Context, a *requirement, done func(float64)) (*choice, error) {
	c := &choice{problem: j.problem(a), parts: []RecipePart{}}
	settings := recipes.Settings{Keep: lookedAt, NoReasons: true}
	settings.Progress = func(part float64) { done(0.6 * part) }
	found, err := recipes.Search(ctx, c.problem, &settings)
	for _, part := range relaxedLimits {
		if !errors.Is(err, recipes.ErrNoRecipe) || a == nil || j.heard() {
			break
		}
		if c.problem.Limits.Knock, err = a.relaxed(part); err != nil {
			return nil, err
		}
		c.unproven, c.relaxed = j.unproven(a), part
		settings.Progress = nil
		found, err = recipes.Search(ctx, c.problem, &settings)
	}
	knockForbids := false
	if errors.Is(err, recipes.ErrNoRecipe) {
		done(0.7)
		free := *c.problem
		free.Limits.Knock, free.Limits.KnockMargin = advance.Curve{}, 0
		settings.Progress = nil
		if a != nil {
			_, err := recipes.Search(ctx, &free, &settings)
			knockForbids = err == nil
		}
		settings.NoReasons = false
		found, err = recipes.Search(ctx, c.problem, &settings)
	}
	switch {
	case errors.Is(err, recipes.ErrNoRecipe):
		c.searched, c.unproven = found.Combinations, ""
		c.noFit = j.noFitReport(found, knockForbids, a)
		return c, nil
	case err != nil && ctx.Err() != nil && found != nil && len(found.Recipes) > 0:
		return j.soFar(c, found, a), err
	case err != nil:
		return nil, fmt.Errorf("%w: drawer: %w", ErrJob, err)
	}
	c.searched = found.Combinations
	done(0.6)
	ranked, err := j.rank(ctx, c.problem, found.Recipes, a)
	if err != nil {
		return nil, err
	}
	if ranked, err = c.climb(ctx, j, ranked, a); err != nil {
		return nil, err
	}
	done(0.8)
	if err := c.build(ctx, j, &ranked[0], a); err != nil {
		return nil, err
	}
	c.best, c.band, c.risk = c.built[0].recipe, c.built[0].band, c.built[0].risk
	c.further = ranked[1:min(len(ranked), j.Wish.Keep)]
	done(1)
	return c, nil
}

// build works what becomes of a recipe, and puts it behind those of the report.
func (c *choice) build(ctx context.Context, j *Job, one *ranked, a *requirement) error {
	recipe, err := j.onLight(c.problem, one.recipe)
	if err != nil {
		return err
	}
	at, err := j.risk(recipe, a)
	if err != nil {
		return err
	}
	b, err := j.toleranceBand(ctx, c.problem, recipe)
	if err != nil {
		return err
	}
	c.built = append(c.built, built{recipe, b, at})
	c.parts = append(c.parts, j.recipePart(len(c.built), recipe, &b, at))
	return nil
}

// soFar is the best that a search had found when it was interrupted. Nothing but its
// curve and its risk of knock is worked.
func (j *Job) soFar(c *choice, found *recipes.Result, a *requirement) *choice {
	best := &found.Recipes[0]
	worked := &band{allInLow: best.AllIn, allInHigh: best.AllIn}
	c.searched = found.Combinations
	said := fmt.Sprintf("INTERRUPTED when %.0f %% of the drawer was tried. The recipe below is the best so far. Neither its tolerances nor a sheet were worked: do not build by it.", 100*found.Done)
	if c.unproven = strings.TrimSpace(said + " " + c.unproven); a == nil {
		c.parts = append(c.parts, j.recipePart(1, best, worked, risk{}))
		return c
	}
	if at, err := j.risk(best, a); err == nil {
		c.parts = append(c.parts, j.recipePart(1, best, worked, at))
	}
	return c
}

// recipePart is a recipe in the report.
func (j *Job) recipePart(rank int, r *recipes.Recipe, b *band, at risk) RecipePart {
	round := text.Round
	p := RecipePart{
		Rank: rank, Springs: map[string]string{}, Weights: j.Drawer.Weights[r.Weights].Name,
		Static: round(r.Static), Travel: round(r.Travel), Total: round(r.Total),
		Start: round(r.Start), Return: round(r.Return), AllIn: round(r.AllIn),
		AllInLow: round(b.allInLow), AllInHigh: round(b.allInHigh),
		IdleReading: round(r.Idle.Low), GivenUp: round(100 * r.TorqueGivenUp), Changed: r.Changed,
		Judged: at.judged, Closeness: round(r.FromMiddle), Remove: round(j.SlotTravel - r.Travel),
		Chances: b.chances, MostTo: b.mostTo, Measure: b.measure,
		Events: j.events(r.Rising),
	}
	if r.SlotKnown {
		p.SlotClosing, p.SlotLength = round(r.SlotClosing), round(j.Slot.Length*1e3-r.SlotClosing)
	}
	if at.judged {
		p.Refused = at.outside
		p.Margin, p.MarginRPM = round(at.margin), round(at.marginRPM)
		p.KnockChance, p.KnockChanceRPM = round(100*at.chance), at.chanceRPM
	}
	for i, name := range r.SpringNames {
		p.Springs[j.Places[i].Name] = name
	}
	for i, rpm := range b.rpm {
		p.Band = append(p.Band, bandRow{RPM: rpm, Rising: round(b.nominal[i]), Low: round(b.low[i]), High: round(b.high[i])})
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
