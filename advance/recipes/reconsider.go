package recipes

import (
	"context"
	"errors"
)

// Reconsider judges a recipe, found for another problem, by this one: the same
// distributor and drawer with one default or guess otherwise. So a report can name
// each default that decided. The recipe stands if it keeps the limits of this problem
// and nothing in its drawer is better by more than the differences of [NewLadder];
// best is the first of the search here, nil where nothing fits. It takes one
// evaluation and one search. Errors are those of [Problem.Evaluate] and [Search],
// but that nothing fits is an answer here.
func (p *Problem) Reconsider(ctx context.Context, r *Recipe, s *Settings) (best *Recipe, stands bool, err error) {
	if s == nil {
		s = &Settings{}
	}
	if r == nil {
		return nil, false, refuse("recipe is empty")
	}
	if err := firstOf(p.check(), s.check()); err != nil {
		return nil, false, err
	}
	here, breaches, err := p.Evaluate(r.Choice, r.Static, r.Travel)
	if err != nil {
		return nil, false, err
	}
	own := *s
	own.Keep, own.NoReasons = 1, true
	found, err := Search(ctx, p, &own)
	switch {
	case errors.Is(err, ErrNoRecipe):
		return nil, false, nil
	case err != nil:
		return nil, false, err
	}
	best = &found.Recipes[0]
	l := &ladder{p: p, s: &own}
	return best, len(breaches) == 0 && !l.ahead(best, here), nil
}
