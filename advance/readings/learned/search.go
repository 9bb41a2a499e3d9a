package learned

import (
	"fmt"
	"slices"

	"example.org/bobweight/advance/recipes"
)

// ForSearch returns the table as a search takes it, for a drawer with these kinds of
// spring and sets of weights in this order and so many places: the best values and
// the draws. It refuses names that the table does not hold. What the runs do not
// determine must be left out of the drawer, or out of the recipes: see
// [Result.Determine].
func (t *Table) ForSearch(springs, weights []string, places int) (*recipes.Shares, []recipes.Shares, error) {
	if len(t.Travels) == 0 {
		return nil, nil, fmt.Errorf("%w: the table is empty, valid is one that Fit returned", ErrRange)
	}
	if places < 1 || places > maxPlaces {
		return nil, nil, outOfRange("places for springs", float64(places), "", "1 to 6")
	}
	kinds := make([][]*Share, len(springs))
	for i, name := range springs {
		for p := range places {
			k := slices.IndexFunc(t.Shares, func(s Share) bool { return s.Spring == name && (s.Place == anyPlace || s.Place == p) })
			if k < 0 {
				return nil, nil, fmt.Errorf("%w: spring %q was in no run at place %d: fit it and take readings", ErrUndetermined, name, p+1)
			}
			kinds[i] = append(kinds[i], &t.Shares[k])
			if t.Shares[k].Place == anyPlace {
				break
			}
		}
	}
	factors := make([]*Factor, len(weights))
	for i, name := range weights {
		k := slices.IndexFunc(t.Factors, func(f Factor) bool { return f.Weights == name })
		if k < 0 {
			return nil, nil, fmt.Errorf("%w: weights %q were in no run: fit them and take readings", ErrUndetermined, name)
		}
		factors[i] = &t.Factors[k]
	}
	lay := func(draw int) recipes.Shares {
		of := func(values []float64, draws [][]float64) []float64 {
			if draw < 0 {
				return values
			}
			return draws[draw]
		}
		out := recipes.Shares{Angles: t.Angles}
		for _, rows := range kinds {
			var laid [][]float64
			for _, s := range rows {
				laid = append(laid, of(s.Squares, s.Draws))
			}
			out.Springs = append(out.Springs, laid)
		}
		for _, f := range factors {
			out.Weights = append(out.Weights, of(f.Values, f.Draws))
		}
		if len(t.Drag.Squares) > 0 {
			out.Drag = of(t.Drag.Squares, t.Drag.Draws)
		}
		return out
	}
	best := lay(-1)
	var draws []recipes.Shares
	for i := range t.Travels[0].Draws {
		draws = append(draws, lay(i))
	}
	return &best, draws, nil
}
