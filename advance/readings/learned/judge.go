package learned

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/workers"
)

// Verdict is what readings after a change say about the build.
type Verdict struct {
	Agrees bool
	// Evidence is the logarithm of the probability of the readings with one of the springs
	// off over that with all parts as predicted.
	Evidence float64
	// Suspects are, where the build does not agree, the parts that would each explain it
	// alone, most likely first. Their Factor is on the spring's force, the weights' mass
	// or the speeds shown; for the stop and the clamp it is the travel and the static
	// timing in crank degrees.
	Suspects []Suspect
	Text     string   // the verdict in words
	Do       []string // what tells the suspects apart and what to do about each
}

// anyDifference is the standard error of the logarithm of the factor by which a part
// after a change may be another than the one learned, where its size is asked for. Where it
// is asked whether there is one, a spring is taken to be off by soMuch either way: the rate
// of one a fifth off moves its force, initial tension and all, by an eighth to a fifth.
const anyDifference = 0.25

// anySpring is the same of a spring's force. Of the springs that are off one in ten is
// another spring altogether, a third or three times as strong.
var anySpring = prior{sd: anyDifference, wide: 1}

var soMuch = prior{mean: 0.17, sd: 0.05}

// offBySoMuch is what the logarithm of the prior of a factor's logarithm gains where the
// difference is soMuch in place of any.
func offBySoMuch(x float64) float64 {
	up := soMuch.log(x)
	down := soMuch.log(-x)
	return max(up, down) + math.Log1p(math.Exp(-math.Abs(up-down))) - math.Ln2 - anySpring.log(x)
}

// A build is said not to be what was predicted where the readings are likelier, by
// unlikely in log units, with one of its springs off than with all parts as learned; or by
// otherEnd with another stop or position of the clamp. Of all tests, one limit of that
// ratio for all builds notices most of what is off so for the right builds that it blames
// (the lemma of Neyman and Pearson: Lehmann and Romano, Testing Statistical Hypotheses, 3rd
// edition 2005, section 3.2). Where only a list tells of a spring, byListAlone holds. Weights
// and tachometer show in the springs' factors too. The limits were set on simulated builds,
// so that a right one passes its whole sheet in 95 of 100 cases (examples/learnedparts counts
// it on others).
const (
	unlikely    = 0.5
	byListAlone = 0.9
	otherEnd    = 1
)

// hypothesis is one thing that may have come out otherwise.
type hypothesis struct {
	part   string
	layout *layout
	value  func(m *mode) (at, sd float64, log bool)
}

// spring reports whether it is a spring that may have come out otherwise.
func (h *hypothesis) spring() bool { return strings.HasPrefix(h.part, "spring ") }

// apart is the parameter of a model that the hypothesis lets go of, -1 for none.
func (h *hypothesis) apart(m *model) int {
	switch h.part {
	case "":
		return -1
	case "stop":
		return m.stop0 + len(m.stops) - 1
	case "clamp":
		return m.top0 + len(m.clamps) - 1
	}
	return m.other
}

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
	found, err := workers.Map(ctx, workers.Pool{}, len(hs), func(i int) (*judged, error) {
		return r.judge(&hs[i]), nil
	})
	if err != nil {
		return nil, fmt.Errorf("learned: %w", err)
	}
	if found[0] == nil {
		return nil, fmt.Errorf("%w: the run after the change cannot be fitted, valid are readings that rise with the speed", errRange)
	}
	v := &Verdict{Agrees: true}
	var springs []float64 // evidence of each that it is off
	for i, h := range hs[1:] {
		m := found[i+1]
		if m == nil {
			continue
		}
		evidence := m.evidence - found[0].evidence
		if h.spring() {
			springs = append(springs, m.bySoMuch-found[0].evidence)
		}
		at, sd, log := h.value(m.mode)
		e := readings.Estimate{Value: at, Low: at - 1.96*sd, High: at + 1.96*sd}
		switch {
		case log:
			e = readings.Estimate{Value: math.Exp(e.Value), Low: math.Exp(e.Low), High: math.Exp(e.High)}
		case evidence < otherEnd:
			continue // no explanation of anything
		default:
			v.Agrees = false
		}
		v.Suspects = append(v.Suspects, Suspect{h.part, e, evidence})
	}
	limit := unlikely
	if slices.ContainsFunc(after.Springs, func(kind string) bool { return kind != "" && !r.shown(kind) }) {
		limit = byListAlone
	}
	if len(springs) > 0 {
		v.Evidence = floats.LogSumExp(springs) - math.Log(float64(len(springs)))
	}
	if v.Evidence > limit {
		v.Agrees = false
	}
	slices.SortStableFunc(v.Suspects, func(a, b Suspect) int { return cmp.Compare(b.Evidence, a.Evidence) })
	v.decide()
	return v, nil
}

// judged is what came of a hypothesis: the most probable mode, and the evidence of all.
type judged struct {
	*mode
	evidence float64
	bySoMuch float64 // with a spring off by so much
}

// judge fits what a hypothesis lets go of; nil where nothing can be fitted.
func (r *Result) judge(h *hypothesis) *judged {
	var modes []*mode
	var evidence, bySoMuch []float64
	var other func(x float64) float64
	if h.spring() {
		other = offBySoMuch
	}
	for _, m := range r.modelsOf(h.layout) {
		all := modesOf(m)
		if len(all) == 0 {
			continue
		}
		e, by, ok := weighed(all, h.apart(m), other)
		if !ok {
			continue
		}
		modes, evidence, bySoMuch = append(modes, all[0]), append(evidence, e), append(bySoMuch, by)
	}
	if len(modes) == 0 {
		return nil
	}
	return &judged{modes[floats.MaxIdx(evidence)], floats.LogSumExp(evidence), floats.LogSumExp(bySoMuch)}
}

// shown reports whether a run has a kind of spring.
func (r *Result) shown(kind string) bool {
	return slices.ContainsFunc(r.runs, func(x Run) bool { return slices.Contains(x.Springs, kind) })
}

// modelsOf is the result's models for another layout.
func (r *Result) modelsOf(l *layout) []*model {
	if r.mech != nil {
		d := noDoubt
		d.believed = func(kind string) bool { return !r.shown(kind) }
		return []*model{newListedModel(l, r.mech, d)}
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
