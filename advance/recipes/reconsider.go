package recipes

import (
	"context"
	"errors"
)

// Verdict is what another problem says of a recipe.
type Verdict struct {
	// Stands says that the recipe keeps the limits of that problem, and that nothing
	// in its drawer is better by more than the equality.
	Stands   bool
	Breaches []Breach
	Best     *Recipe // first of the search there; nil where nothing fits
}

// Reconsider judges a recipe, found for another problem, by this one: the same
// distributor and drawer with one default or guess otherwise. So a report can name
// each default that decided. It takes one evaluation and one search; the equality's
// zero value stands for its defaults. Errors are those of [Problem.Evaluate] and
// [Search], but that nothing fits is an answer here.
func (p *Problem) Reconsider(ctx context.Context, r *Recipe, s *Settings, e Equality) (*Verdict, error) {
	if s == nil {
		s = &Settings{}
	}
	if r == nil {
		return nil, refuse("recipe is empty")
	}
	if err := firstOf(p.check(), s.check(), e.check()); err != nil {
		return nil, err
	}
	here, breaches, err := p.Evaluate(r.Choice, r.Static, r.Travel)
	if err != nil {
		return nil, err
	}
	v := &Verdict{Breaches: breaches}
	own := *s
	own.Keep, own.NoFront, own.NoReasons = 1, true, true
	found, err := Search(ctx, p, &own)
	switch {
	case errors.Is(err, ErrNoRecipe):
		return v, nil
	case err != nil:
		return nil, err
	}
	v.Best = &found.Recipes[0]
	l := &ladder{Ladder: Ladder{Equality: e.orDefault()}, p: p, s: &LadderSettings{Search: own}}
	v.Stands = len(breaches) == 0 && !l.ahead(v.Best, here)
	return v, nil
}
