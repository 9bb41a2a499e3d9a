package job

import (
	"context"
	"fmt"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
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
	for i := 1; i < len(w.choice.built) && i < len(w.report.Recipes); i++ {
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
	}
	return nil
}
