package learned

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// note fills the sentences to print with a prediction.
func (r *Result) note(p *Prediction, want Combination) {
	say := func(format string, a ...any) { p.Notes = append(p.Notes, fmt.Sprintf(format, a...)) }
	if p.FromStop {
		say("The start of the advance is not well seen. Static timing and start are uncertain; degrees below the stop are known better. Set the timing with the weights at the stop.")
	}
	if p.To < p.Travel.Value-nearEnd {
		say("Readings determine the curve up to %.1f deg crank of advance. Beyond it the curve is continued, and the band is wider.", p.To)
	}
	if p.From > nearEnd {
		say("Readings determine the curve from %.1f deg crank of advance on. Below it the curve is continued, and the band is wider.", p.From)
	}
	r.holds(want, say)
	if r.mech != nil {
		return
	}
	for _, k := range r.kinds {
		if _, seen := r.layout.set.Slack[k.spring]; seen || !slices.Contains(want.Springs, k.spring) {
			continue
		}
		if k.slack > 0.12 {
			p.Look = append(p.Look, k.spring)
		}
		switch {
		case k.slack > 0.88:
			say("The readings say that spring %s hangs loose on its post while the weights rest. Look whether it does.", k.spring)
		case k.slack > 0.12:
			say("Whether spring %s is slack at rest is not certain (chance %.0f %%). The band holds both. Look whether it hangs loose on its post while the weights rest.", k.spring, 100*k.slack)
		}
	}
	if !r.layout.set.PlacesDiffer && mixed(want) && !slices.ContainsFunc(r.runs, func(x Run) bool { return x.Combination.String() == want.String() }) {
		say("The places of the springs are taken to be alike. Swap the springs and read again: the mean in squared speed is safe, half the difference is the error.")
	}
}

// leastHold is the width, rpm, from which a hold is worth a sentence.
const leastHold = 50

// holds says where the advance stands still while a slack spring is taken up.
func (r *Result) holds(want Combination, say func(format string, a ...any)) {
	parts, err := r.table.find(want)
	if err != nil {
		return
	}
	v := r.table.add(nil, &parts, -1)
	for j := 1; j < len(v); j++ {
		from, to := math.Sqrt(v[j-1]), math.Sqrt(v[j])
		if r.table.angles[j] == r.table.angles[j-1] && r.table.angles[j] < parts.travel.Value && to > from+leastHold {
			say("At %.0f deg crank of advance a spring is taken up. The advance stands there from about %.0f to %.0f rpm.", r.table.angles[j], math.Round(from/10)*10, math.Round(to/10)*10)
		}
	}
}

// mixed reports whether a combination has springs of two kinds.
func mixed(c Combination) bool {
	first := ""
	for _, s := range c.Springs {
		switch {
		case s == "":
		case first == "":
			first = s
		case s != first:
			return true
		}
	}
	return false
}

// noteList fills the sentences to print with a fit that joins listed values. Of springs
// that no reading tells apart all are named, whether the list is contradicted or not.
func (r *Result) noteList(alone []Suspect) {
	r.Notes = append(r.Notes,
		"All speeds and all spring forces can be wrong by one factor without the readings showing it. Rates are relative to the weights as listed.",
		"A scale for the weights, a second tachometer and the distances of the posts tell these apart. Predictions on the same tachometer are not affected.",
		"Only the preload at rest is learned, not free length and initial tension separately. A calliper on the free spring tells them apart.")
	if !r.layout.falls {
		r.Notes = append(r.Notes, "Rising readings alone do not show friction. Below half a degree between rising and falling it does not matter.")
	}
	if len(r.Suspects) > 0 {
		r.Contradicts = append(r.Contradicts, "The readings contradict the list. "+explains(len(r.Suspects))+alternatives(r.Suspects)+".")
	}
	for _, group := range inseparable(r.layout, alone) {
		var names, runs []string
		named := true
		for _, s := range group {
			kind := strings.TrimPrefix(s.Part, "spring ")
			names = append(names, kind)
			runs = append(runs, strings.Join(slices.Repeat([]string{kind}, len(r.runs[0].Springs)), " + "))
			named = named && slices.ContainsFunc(r.Suspects, func(x Suspect) bool { return x.Part == s.Part })
		}
		run := fmt.Sprintf("The readings show the sum of springs %s only, so which of them is off cannot be told. Take a run with %s.", strings.Join(names, " and "), strings.Join(runs, ", or with "))
		if named {
			r.Contradicts = append(r.Contradicts, run)
			continue
		}
		r.Notes = append(r.Notes, run+" With all other parts as listed, either "+alternatives(group)+".")
	}
}

// alternatives says what each of the suspects would have to be.
func alternatives(suspects []Suspect) string {
	words := make([]string, len(suspects))
	for i := range suspects {
		words[i] = suspects[i].words()
	}
	return strings.Join(words, "; or ")
}
