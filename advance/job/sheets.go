package job

import (
	"context"
	"fmt"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/springs/workers"
)

// built is a recipe of the report with the band of its builds.
type built struct {
	recipe *recipes.Recipe
	band   band
	risk   risk
}

// furtherSheets writes the setting sheets of the recipes after the first, each with
// the vacuum hose followed anew for its own timing.
func (w *work) furtherSheets(ctx context.Context) error {
	if w.choice == nil || w.choice.best == nil {
		return nil
	}
	further := min(len(w.choice.built), len(w.report.Recipes)) - 1
	return workers.Pool{}.Each(ctx, further, func(i int) error { return w.furtherSheet(ctx, i+1) })
}

// furtherSheet writes the setting sheet of recipe i.
func (w *work) furtherSheet(ctx context.Context, i int) error {
	c, r := *w.choice, *w.report
	c.best, c.band, c.risk = c.built[i].recipe, c.built[i].band, c.built[i].risk
	of := &work{job: w.job, report: &r, fit: w.fit, wants: w.wants, choice: &c, change: w.change}
	for _, s := range []stage{unitStage(), hoseStage()} {
		if !s.can(of) {
			continue
		}
		if err := s.answer(ctx, of, func(float64) {}); err != nil {
			return err
		}
	}
	in := of.sheetInput()
	in.Recipe = fmt.Sprintf("%d of %d", i+1, len(w.report.Recipes))
	s, err := sheet.New(*in)
	if err != nil {
		return fmt.Errorf("job: setting sheet of recipe %d: %w", i+1, err)
	}
	w.report.Recipes[i].Sheet = s
	return nil
}
