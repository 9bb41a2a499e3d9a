package learned

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/workers"
)

// strange is the evidence, in log units, from which a run is named as one that
// contradicts the others.
const strange = 2

// odd lets go of one run after the other, by a factor on all of its squared speeds,
// and lists those without which the rest agrees better. A run that the others do not
// determine cannot be odd: its own freedom explains it already.
func (r *Result) odd(ctx context.Context) ([]Suspect, error) {
	top := r.modes[0]
	found, err := workers.Map(ctx, workers.Pool{}, len(r.runs), func(i int) (*Suspect, error) {
		l := *r.layout
		l.runs = slices.Clone(l.runs)
		l.differ(i, difference{weights: true})
		m := newFamily(&l, top.m.slack)
		last := len(top.par) - 1
		start := slices.Insert(slices.Clone(top.par), last, 0)
		t := newTarget(m)
		d, err := climb(t, start)
		if err != nil || !d.measure(t) || d.evidence-top.evidence < strange {
			return nil, nil
		}
		f := func(z float64) float64 { return math.Exp(-(d.par[m.other] + z*d.sd(m.other))) }
		return &Suspect{r.runs[i].label(i), readings.Estimate{Value: f(0), Low: f(1.96), High: f(-1.96)}, d.evidence - top.evidence}, nil
	})
	if err != nil {
		return nil, fmt.Errorf("learned: %w", err)
	}
	var out []Suspect
	for _, s := range found {
		if s != nil {
			out = append(out, *s)
		}
	}
	return nearBest(out), nil
}

// nearBest keeps, best first, the suspects that readings do not tell from the best.
func nearBest(all []Suspect) []Suspect {
	slices.SortStableFunc(all, func(a, b Suspect) int {
		switch {
		case a.Evidence > b.Evidence:
			return -1
		case a.Evidence < b.Evidence:
			return 1
		}
		return 0
	})
	for i, s := range all {
		if s.Evidence < all[0].Evidence-rivals {
			return all[:i]
		}
	}
	return all
}

// noteOdd says which runs contradict the others.
func (r *Result) noteOdd() {
	if len(r.Suspects) == 0 {
		return
	}
	names := make([]string, len(r.Suspects))
	for i, s := range r.Suspects {
		names[i] = fmt.Sprintf("%s has %.2f times the squared speeds that the others let expect", s.Part, s.Factor.Value)
	}
	r.Contradicts = append(r.Contradicts,
		"The runs contradict one another: "+strings.Join(names, "; or ")+".",
		"Look first whether the parts are noted rightly, then at the tachometer, the vacuum hose and whether both places are alike.")
}
