package learned

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/workers"
)

// Verdict is what readings after a change say about the build.
type Verdict struct {
	Agrees bool
	// Suspects are, where the build does not agree, the parts that would each explain it
	// alone, most likely first. Their Factor is on the spring's force, the weights' mass
	// or the speeds shown; for the stop and the clamp it is the travel and the static
	// timing in crank degrees.
	Suspects []Suspect
	Text     string   // the verdict in words
	Do       []string // what tells the suspects apart and what to do about each
}

// anyDifference is the standard error of the logarithm of the factor by which a part
// after a change may be another than the one learned.
const anyDifference = 0.25

// A build is said not to be what was predicted where the readings are likelier, by
// unlikely in log units, with one of its springs off than with all parts as learned; or by
// otherEnd with another stop or position of the clamp. A spring that is off has, in half of
// the cases, a force that is wrong by a fifth either way, and in the other half by anything:
// of all tests, one limit of that ratio for all builds notices most of what is off so for
// the right builds that it blames (the lemma of Neyman and Pearson: Lehmann and Romano,
// Testing Statistical Hypotheses, 3rd edition 2005, section 3.2). Where a fifth shows ten
// times over, a chance difference is not held against the build. Where only a list tells of
// a spring, little shows, and chance alone often reaches that limit: there byListAlone
// holds. Weights and tachometer show in the springs' factors too. The limits were set on
// simulated builds, so that a right one passes its whole sheet in 95 of 100 cases
// (examples/learnedparts counts it on others).
const (
	unlikely    = 0.4
	byListAlone = 1.2
	otherEnd    = 2
)

// aFifth are the logarithms of a force that is off by a fifth, and their spread: as good as
// none.
var aFifth = [2]prior{{mean: math.Log(0.8), sd: 0.01}, {mean: math.Log(1.2), sd: 0.01}}

// hypothesis is one thing that may have come out otherwise.
type hypothesis struct {
	part   string
	layout *layout
	value  func(m *mode) (at, sd float64, log bool)
}

// spring reports whether it is a spring that may have come out otherwise.
func (h *hypothesis) spring() bool { return strings.HasPrefix(h.part, "spring ") }

// Judge compares a run after a change with what the runs before let expect of its
// parts. Both are fitted together: as one, and with one part of the new run after the
// other let go of. A clamp position that a run before has holds the static timing to
// it; in a new one the static timing is free.
//
// It refuses parts that the runs before do not determine.
func (r *Result) Judge(ctx context.Context, after Run) (*Verdict, error) {
	if _, err := r.Predict(after.Combination); err != nil {
		return nil, err
	}
	runs := append(slices.Clone(r.runs), after)
	fresh := func() (*layout, error) {
		set := *r.layout.set
		if r.mech != nil {
			l, _, err := listedLayout(runs, *r.mech.listed, &set)
			return l, err
		}
		return newLayout(runs, &set)
	}
	base, err := fresh()
	if err != nil {
		return nil, err
	}
	hs, err := r.hypotheses(base, fresh)
	if err != nil {
		return nil, err
	}
	layouts := make([]*layout, 0, 2*len(hs))
	for _, h := range hs {
		layouts = append(layouts, h.layout)
	}
	for _, h := range hs {
		if h.spring() {
			for _, by := range aFifth {
				l := *h.layout
				l.differBy = by
				layouts = append(layouts, &l)
			}
		}
	}
	modes, err := workers.Map(ctx, workers.Pool{}, len(layouts), func(i int) (*mode, error) {
		var all []*mode
		for _, m := range r.modelsOf(layouts[i]) {
			all = append(all, modesOf(m)...)
		}
		return together(all), nil
	})
	if err != nil {
		return nil, fmt.Errorf("learned: %w", err)
	}
	if modes[0] == nil {
		return nil, fmt.Errorf("%w: the run after the change cannot be fitted, valid are readings that rise with the speed", errRange)
	}
	v := &Verdict{Agrees: true}
	evidence := func(i int) float64 {
		if modes[i] == nil {
			return math.Inf(-1)
		}
		return modes[i].evidence - modes[0].evidence
	}
	odds, kinds, byFifth := 0.0, 0.0, len(hs)
	for i, h := range hs[1:] {
		m := modes[i+1]
		if h.spring() {
			kinds++
			if m != nil {
				odds += math.Exp(evidence(i+1))/2 + math.Exp(evidence(byFifth))/4 + math.Exp(evidence(byFifth+1))/4
			}
			byFifth += len(aFifth)
		}
		if m == nil {
			continue
		}
		at, sd, log := h.value(m)
		e := readings.Estimate{Value: at, Low: at - 1.96*sd, High: at + 1.96*sd}
		switch {
		case log:
			e = readings.Estimate{Value: math.Exp(e.Value), Low: math.Exp(e.Low), High: math.Exp(e.High)}
		case evidence(i+1) < otherEnd:
			continue // no explanation of anything
		default:
			v.Agrees = false
		}
		v.Suspects = append(v.Suspects, Suspect{h.part, e, evidence(i + 1)})
	}
	limit := unlikely
	if slices.ContainsFunc(after.Springs, func(kind string) bool { return kind != "" && !r.shown(kind) }) {
		limit = byListAlone
	}
	if odds > kinds*math.Exp(limit) {
		v.Agrees = false
	}
	slices.SortStableFunc(v.Suspects, func(a, b Suspect) int { return cmp.Compare(b.Evidence, a.Evidence) })
	v.decide()
	return v, nil
}

// shown reports whether a run has a kind of spring.
func (r *Result) shown(kind string) bool {
	return slices.ContainsFunc(r.runs, func(x Run) bool { return slices.Contains(x.Springs, kind) })
}

// modelsOf is the result's models for another layout.
func (r *Result) modelsOf(l *layout) []*model {
	if r.mech != nil {
		return []*model{newListedModel(l, r.mech, noDoubt)}
	}
	var out []*model
	for _, d := range r.modes {
		out = append(out, newFamily(l, d.m.slack))
	}
	return out
}

// together is the most probable of several modes, with the evidence of all of them;
// nil where there is none.
func together(all []*mode) *mode {
	if len(all) == 0 {
		return nil
	}
	best := slices.MaxFunc(all, func(a, b *mode) int { return cmp.Compare(a.evidence, b.evidence) })
	sum := 0.0
	for _, d := range all {
		sum += math.Exp(d.evidence - best.evidence)
	}
	out := *best
	out.evidence += math.Log(sum)
	return &out
}

// hypotheses lists what may have come out otherwise; the first is nothing.
func (r *Result) hypotheses(base *layout, fresh func() (*layout, error)) ([]hypothesis, error) {
	last := len(base.runs) - 1
	out := []hypothesis{{layout: base}}
	factor := func(m *mode) (float64, float64, bool) { return m.par[m.m.other], m.sd(m.m.other), true }
	add := func(part string, change func(l *layout), value func(m *mode) (float64, float64, bool)) error {
		l, err := fresh()
		if err != nil {
			return err
		}
		change(l)
		out = append(out, hypothesis{part, l, value})
		return nil
	}
	differ := func(d difference) func(l *layout) {
		return func(l *layout) { l.differ(last, d) }
	}
	var err error
	var seen []string
	for _, kind := range base.runs[last].springs {
		if kind != "" && !slices.Contains(seen, kind) {
			seen = append(seen, kind)
			err = cmp.Or(err, add("spring "+kind, differ(difference{spring: kind}), factor))
		}
	}
	err = cmp.Or(err, add("weights", differ(difference{weights: true}), factor))
	err = cmp.Or(err, add("tachometer", differ(difference{tachometer: true}), func(m *mode) (float64, float64, bool) {
		return m.par[m.m.other] / 2, m.sd(m.m.other) / 2, true // speeds, not their squares
	}))
	if slices.ContainsFunc(base.runs[:last], func(w wiring) bool { return w.stop == base.runs[last].stop }) {
		err = cmp.Or(err, add("stop", func(l *layout) {
			l.stops = append(l.stops, "\x00after")
			l.runs[last].stop = len(l.stops) - 1
			l.realign()
		}, func(m *mode) (float64, float64, bool) {
			j := m.m.stop0 + len(m.m.stops) - 1
			t := math.Exp(m.par[j])
			return t, t * m.sd(j), false
		}))
	}
	clamp := base.runs[last].clamp
	if base.turned[clamp] >= 0 || slices.ContainsFunc(base.runs[:last], func(w wiring) bool { return w.clamp == clamp }) {
		err = cmp.Or(err, add("clamp", func(l *layout) {
			l.clamps = append(l.clamps, "\x00after")
			l.statics, l.turned = append(l.statics, priorStatic), append(l.turned, -1)
			l.runs[last].clamp = len(l.clamps) - 1
			l.realign()
		}, func(m *mode) (float64, float64, bool) {
			c := len(m.m.clamps) - 1
			return m.m.static(c, m.par), m.sd(m.m.top0 + c), false
		}))
	}
	return out, err
}

// decide states the verdict and what to do.
func (v *Verdict) decide() {
	if v.Agrees {
		v.Suspects = nil
		v.Text = "The parts do what was predicted."
		return
	}
	top := v.Suspects[0].Evidence
	v.Suspects = slices.DeleteFunc(v.Suspects, func(s Suspect) bool { return s.Evidence < top-rivals })
	v.Text = "The parts do not do what was predicted. " + explains(len(v.Suspects)) + alternatives(v.Suspects) + "."
	v.Do = advice(v.Suspects)
}

// explains begins the list of so many suspects.
func explains(n int) string {
	if n == 1 {
		return "This explains it: "
	}
	return "One of these explains it: "
}

// words says what a suspect would have to be.
func (s *Suspect) words() string {
	f := s.Factor
	switch {
	case strings.HasPrefix(s.Part, "spring "):
		return fmt.Sprintf("%s pulls %.2f times as much as reckoned with (95 %% interval %.2f to %.2f)", s.Part, f.Value, f.Low, f.High)
	case strings.HasPrefix(s.Part, "weights"):
		return fmt.Sprintf("%s act %.2f times as much as reckoned with (95 %% interval %.2f to %.2f)", s.Part, f.Value, f.Low, f.High)
	case s.Part == "stop":
		return fmt.Sprintf("the stop leaves %.1f deg crank of travel (95 %% interval %.1f to %.1f)", f.Value, f.Low, f.High)
	case s.Part == "clamp":
		return fmt.Sprintf("the distributor was turned: static timing is %.1f deg crank (95 %% interval %.1f to %.1f)", f.Value, f.Low, f.High)
	}
	return fmt.Sprintf("the tachometer shows %.3f times the speeds reckoned with (95 %% interval %.3f to %.3f)", f.Value, f.Low, f.High)
}

// advice says what tells suspects apart and what to do about each.
func advice(suspects []Suspect) []string {
	var out []string
	var kinds []string
	for _, s := range suspects {
		if k, ok := strings.CutPrefix(s.Part, "spring "); ok {
			kinds = append(kinds, k)
		}
	}
	switch {
	case len(kinds) > 1:
		out = append(out, fmt.Sprintf("The springs are told apart by a run with %s + %s, or with another pair of one kind.", kinds[0], kinds[0]))
	case len(kinds) == 1:
		out = append(out, fmt.Sprintf("Look at spring %s: the right one, hooked at the right post, not bent or overstretched; else take its learned force from this run.", kinds[0]))
	}
	for _, s := range suspects {
		switch {
		case strings.HasPrefix(s.Part, "weights"):
			out = append(out, "A scale tells whether the weights are those of before.")
		case s.Part == "tachometer":
			out = append(out, "A second tachometer on one steady speed tells whether the first has changed.")
		case s.Part == "stop":
			out = append(out, "Look at the stop: bush, slot and whether the weights reach it.")
		case s.Part == "clamp":
			out = append(out, "Set the timing anew and tighten the clamp.")
		}
	}
	return out
}
