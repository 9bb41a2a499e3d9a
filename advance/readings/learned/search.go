package learned

import (
	"fmt"
	"slices"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/springs/valid"
)

// mostSquare is the greatest squared speed that a search is told of, rpm^2: a curve that a
// draw continues far beyond its readings bends away without bound.
const mostSquare = 1e10

// ForSearch returns the parts as a search takes them, for a drawer with these kinds of
// spring and sets of weights in this order and so many places: the best values and
// the draws. It refuses names that no run had. What the runs do not
// determine must be left out of the drawer, or out of the recipes: see
// [Result.Determine].
func (r *Result) ForSearch(springs, weights []string, places int) (*recipes.Shares, []recipes.Shares, error) {
	if r == nil || len(r.modes) == 0 {
		return nil, nil, fmt.Errorf("%w: the result is empty, valid is one that Fit returned", errRange)
	}
	if places < 1 || places > maxPlaces {
		return nil, nil, valid.Refuse(errRange, "places for springs", float64(places), "", "1 to 6")
	}
	t := &r.table
	kinds := make([][]*springShare, len(springs))
	for i, name := range springs {
		for p := range places {
			k := slices.IndexFunc(t.shares, func(s springShare) bool { return s.Spring == name && (s.Place == anyPlace || s.Place == p) })
			if k < 0 {
				return nil, nil, fmt.Errorf("%w: spring %q was in no run at place %d: fit it and take readings", ErrUndetermined, name, p+1)
			}
			kinds[i] = append(kinds[i], &t.shares[k])
			if t.shares[k].Place == anyPlace {
				break
			}
		}
	}
	factors := make([]*weightFactor, len(weights))
	for i, name := range weights {
		k := slices.IndexFunc(t.factors, func(f weightFactor) bool { return f.Weights == name })
		if k < 0 {
			return nil, nil, fmt.Errorf("%w: weights %q were in no run: fit them and take readings", ErrUndetermined, name)
		}
		factors[i] = &t.factors[k]
	}
	lay := func(draw int) recipes.Shares {
		of := func(values []float64, draws [][]float64) []float64 {
			if draw >= 0 {
				values = draws[draw]
			}
			out := slices.Clone(values)
			for i := range out {
				out[i] = min(out[i], mostSquare)
			}
			return out
		}
		out := recipes.Shares{Angles: t.angles}
		for _, rows := range kinds {
			var laid [][]float64
			for _, s := range rows {
				laid = append(laid, of(s.squares, s.draws))
			}
			out.Springs = append(out.Springs, laid)
		}
		for _, f := range factors {
			out.Weights = append(out.Weights, of(f.values, f.draws))
		}
		if len(t.drag.squares) > 0 {
			out.Drag = of(t.drag.squares, t.drag.draws)
		}
		return out
	}
	best := lay(-1)
	var draws []recipes.Shares
	for i := range t.travels[0].draws {
		draws = append(draws, lay(i))
	}
	return &best, draws, nil
}
