package job

import (
	"context"
	"slices"

	"example.org/bobweight/advance/readings"
)

// evidence works what follows the answer, in the order of its use: the reading to take
// next, the recipes after the first with their sheets, and what decided.
func (w *work) evidence(ctx context.Context) (err error) {
	if err := w.nextReading(ctx); err != nil {
		return err
	}
	w.wrote(0.45)
	if c := w.choice; c != nil {
		for i := range c.further {
			if err := c.build(ctx, w.job, &c.further[i], w.wants); err != nil {
				return err
			}
			w.wrote(0.45 + 0.35*float64(i+1)/float64(len(c.further)))
		}
		c.further, w.report.Recipes = nil, c.parts
	}
	if err := w.furtherSheets(ctx); err != nil {
		return err
	}
	w.wrote(0.9)
	w.report.Decided, err = w.decided(ctx)
	return err
}

// worthReading is what a further reading must leave of the width as it is, to be asked
// for.
const worthReading = 0.9

// nextReading says which reading would tell most.
func (w *work) nextReading(ctx context.Context) error {
	if w.fit == nil {
		return nil
	}
	next, err := w.fit.Next(ctx)
	if err != nil {
		return err
	}
	// Nothing is read above what the engine is run at.
	next = slices.DeleteFunc(next, func(a readings.Advice) bool { return a.RPM > w.job.Top })
	if len(next) > 0 && (next[0].Before == 0 || next[0].After < worthReading*next[0].Before) {
		w.report.Readings.Next = next[0].Text
	}
	return nil
}
