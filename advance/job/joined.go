package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/recipes"
)

// adoptJoined takes, where the runs contradict the list, the parts that were fitted as list
// and readings say together, so that a recipe is made of what the distributor does.
func (w *work) adoptJoined(ctx context.Context) error {
	j := w.job
	runs := j.learnedRuns(len(j.runs))
	if len(runs) == 0 || !w.allListed(runs) {
		return nil
	}
	if _, _, err := w.partsVerdict(ctx); err != nil {
		return err
	}
	if w.contradicted() && j.seenBefore(runs) {
		return nil // the runs contradict one another: no value holds for all of them
	}
	found, err := w.teach(ctx, runs)
	if err != nil || len(found.Contradicts) == 0 {
		return err
	}
	own := *j
	own.listedSprings = j.Drawer.Springs
	own.Drawer.Springs = slices.Clone(j.Drawer.Springs)
	var said []string
	for i := range own.Drawer.Springs {
		s := &own.Drawer.Springs[i]
		if rate := learnedPart(found, "spring "+s.Name, "rate"); rate != nil {
			both := *s
			j.join(&both, rate, learnedPart(found, "spring "+s.Name, "preload at rest"))
			if both.Spring.Check() != nil {
				continue // no spring of a length that is one: the list stands
			}
			*s = both
			said = append(said, fmt.Sprintf("%s %.2f N/mm", s.Name, s.Spring.Rate/1e3))
		}
	}
	if len(said) == 0 {
		return nil
	}
	w.job = &own
	w.report.AsRead = "The list contradicts the readings, so the recipes go by what both say together, on the tachometer of the readings: " + strings.Join(said, ", ") + ". Springs that no run had are taken as listed. Clear up first what contradicts, as stands under run by run."
	return nil
}

// seenBefore reports whether every spring of the newest run was in a run before it.
func (j *Job) seenBefore(runs []learned.Run) bool {
	newest := runs[len(runs)-1]
	return !slices.ContainsFunc(newest.Springs, func(s string) bool {
		return !slices.ContainsFunc(runs[:len(runs)-1], func(x learned.Run) bool { return slices.Contains(x.Springs, s) })
	})
}

// learnedPart is what the runs say of a part that some run had; nil where they do not.
func learnedPart(found *learned.Result, name, quantity string) *readings.Estimate {
	for i := range found.Parts {
		if p := &found.Parts[i]; p.Name == name && p.Quantity == quantity && p.Fitted {
			return &p.Learned
		}
	}
	return nil
}

// mostRateSigma is the greatest relative error of a rate that a search takes: beyond it a
// rate drawn from a normal law may be under zero.
const mostRateSigma = 0.3

// join gives a spring the learned rate and the learned pull at rest, with their errors; how
// that pull comes about, by free length or initial tension, the readings do not tell. A rate
// that is left more uncertain than a search takes counts as known to that.
func (j *Job) join(s *recipes.SpringPart, rate, preload *readings.Estimate) {
	s.Spring.Rate = rate.Value
	s.RateSigma = min(mostRateSigma, (rate.High-rate.Low)/(2*1.96*rate.Value))
	if preload == nil {
		return
	}
	post := j.Places[0].Posts[0]
	rest := r2.Norm(r2.Sub(post.A.Point, post.B.Point))
	s.Spring.InitialTension = min(s.Spring.InitialTension, max(0, preload.Value))
	s.Spring.FreeLength = rest - s.Spring.Slack - max(0, preload.Value-s.Spring.InitialTension)/rate.Value
	s.LengthSigma = (preload.High - preload.Low) / (2 * 1.96 * rate.Value)
	s.TensionSigma = 0
}
