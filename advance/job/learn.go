package job

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/recipes"
)

// learnedRuns are the runs that teach: hose off, springs named, readings enough.
func (j *Job) learnedRuns(until int) []learned.Run {
	var out []learned.Run
	for i := range j.runs[:until] {
		x := &j.runs[i]
		if x.hose || len(x.springs) == 0 || !j.shows(x) {
			continue
		}
		out = append(out, learned.Run{
			Name: x.label, Combination: x.combination(), Clamp: x.clamp, From: x.from, Turned: x.turned, Tachometer: x.tacho,
			Bench: x.machine, Readings: x.list,
		})
	}
	return out
}

// learnSettings says what is known beside the runs: the light, the slots as measured, the
// weights on a scale and the springs that were looked at.
func (j *Job) learnSettings() *learned.Settings {
	s := &learned.Settings{
		SigmaRPM: j.Settings.SigmaRPM, SigmaDegrees: j.Settings.SigmaDegrees,
		Travels: map[string]readings.Known{}, Masses: map[string]learned.Mass{}, Slack: map[string]bool{}, PlacesDiffer: j.placesDiffer,
	}
	for i := range j.runs {
		if x := &j.runs[i]; x.travel > 0 {
			s.Travels[x.combination().Stop] = readings.Known{Value: x.travel, Sigma: max(0.02*x.travel, 0.3)}
		}
	}
	for i, w := range j.file.Drawer.Weights {
		if m := w.Mass.SI(); m > 0 && j.gives(fmt.Sprintf("drawer.weights[%d].mass", i)) {
			s.Masses[w.Name] = learned.Mass{Value: m, Sigma: 0.01 * m}
		}
	}
	for i, spring := range j.file.Drawer.Springs {
		if j.gives(fmt.Sprintf("drawer.springs[%d].loose_at_rest", i)) {
			s.Slack[spring.Name] = spring.Loose
		}
	}
	return s
}

// learn says what the runs teach of the parts: combinations that were never fitted, and
// where listed values contradict the readings.
func (w *work) learn(ctx context.Context, part *RunsPart) error {
	j := w.job
	runs := j.learnedRuns(len(j.runs))
	if len(runs) == 0 {
		return nil
	}
	if _, _, err := w.partsVerdict(ctx); err != nil {
		return err
	}
	found, err := w.before, error(nil)
	if w.contradicted() && !(j.has.mechanism && w.allListed(runs)) {
		part.Learned = append(part.Learned, inContradiction)
		runs = j.learnedRuns(j.newest)
	} else if found, err = w.teach(ctx, runs); err != nil {
		return err
	}
	if part.Passed == nil || !*part.Passed {
		part.Do = append(part.Do, found.Contradicts...)
	} else {
		part.Learned = append(part.Learned, found.Contradicts...)
	}
	if found.Parts != nil {
		part.Learned = append(part.Learned, listedLines(found)...)
		return nil
	}
	if len(runs) < 2 {
		part.Learned = append(part.Learned, "One run teaches its own parts only. A run with another pair of springs, the rest untouched, tells what mixed pairs do.")
	}
	never := "never fitted"
	if w.contradicted() {
		never = "by the runs before"
	}
	lines, err := predictions(found, j.untried(runs), never)
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	part.Learned = append(append(part.Learned, lines...), found.Notes...)
	return nil
}

// inContradiction stands before what the runs teach where the newest contradicts them.
const inContradiction = "The newest run contradicts the runs before it, as stands above. It was left out of what follows, and no recipe is made of learned parts until that is cleared up."

// teach learns the parts from runs: with the list where all of them are described, else
// from the readings alone. The runs of the whole job are fitted once.
func (w *work) teach(ctx context.Context, runs []learned.Run) (*learned.Result, error) {
	all := len(runs) == len(w.job.learnedRuns(len(w.job.runs)))
	if all && w.taught != nil {
		return w.taught, nil
	}
	var found *learned.Result
	var err error
	if w.job.has.mechanism && w.allListed(runs) {
		found, err = learned.FitListed(ctx, runs, w.job.listedParts(), w.job.learnSettings())
	} else {
		found, err = learned.Fit(ctx, runs, w.job.learnSettings())
	}
	if err != nil {
		return nil, fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	if all {
		w.taught = found
	}
	return found, nil
}

// predictions says in a line each what combinations would do that no run had, those that
// the runs determine first, and then what is to be known of all of them.
func predictions(found *learned.Result, list []learned.Combination, never string) ([]string, error) {
	var known, open []string
	notes := map[string][]string{} // combinations that a note is about
	var order, look []string
	for _, c := range list {
		p, err := found.Predict(c)
		switch {
		case errors.Is(err, learned.ErrUndetermined):
			line, err := runToMake(found, c)
			if err != nil {
				return nil, err
			}
			open = append(open, line)
			continue
		case err != nil:
			return nil, err
		case len(known) == mostPredicted:
			continue
		}
		name := partsOf(c)
		line, err := predicted(p)
		if err != nil {
			return nil, err
		}
		known = append(known, name+" ("+never+"): "+line)
		for _, spring := range p.Look {
			if !slices.Contains(look, spring) {
				look = append(look, spring)
			}
		}
		for _, n := range p.Notes {
			if notes[n] == nil {
				order = append(order, n)
			}
			notes[n] = append(notes[n], name)
		}
	}
	if more := len(open) - mostOpen; more > 0 {
		open = append(open[:mostOpen], fmt.Sprintf("The runs leave %s open.", counted(more, "further combination")))
	}
	out := append(known, open...)
	for _, n := range order {
		if len(known) > 1 && len(notes[n]) < len(known) {
			n = strings.Join(notes[n], "; ") + ": " + n
		}
		out = append(out, n)
	}
	for _, spring := range look {
		out = append(out, fmt.Sprintf(`What you see of it goes into the drawer: {"name": %q, "loose_at_rest": true} where it hangs loose, false where it pulls.`, spring))
	}
	return out, nil
}

// predicted says in a line what a combination would do. Where the start was not seen,
// degrees below the stop come first: static timing and start are guesses then.
func predicted(p *learned.Prediction) (string, error) {
	const rpm, deg = "rpm crank", "deg crank"
	ends := fmt.Sprintf("begins %s, all in %s, travel %s.", p.Start.Text(0, rpm), p.AllIn.Text(0, rpm), p.Travel.Text(1, deg))
	if !p.FromStop {
		return ends, nil
	}
	var below []string
	for at := 500.0; at < p.AllIn.Value; at += 500 {
		e, err := p.BelowStop(at)
		if err != nil {
			return "", err
		}
		below = append(below, fmt.Sprintf("%s at %.0f rpm", e.Text(1, deg), at))
	}
	if len(below) == 0 {
		return ends, nil
	}
	below = below[max(0, len(below)-3):]
	return "below the stop by " + strings.Join(below, ", ") + "; its start was not seen well: " + ends, nil
}

// runToMake says of a combination that the runs leave open which run would tell.
func runToMake(found *learned.Result, c learned.Combination) (string, error) {
	d, err := found.Determine(c)
	if err != nil {
		return "", err
	}
	var names []string
	for _, p := range d.Propose {
		if name := partsOf(p); len(names) < 2 && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return fmt.Sprintf("The runs do not determine %s. Take a run with %s.", partsOf(c), strings.Join(names, ", or with ")), nil
}

// partsOf names the springs and the weights of a combination.
func partsOf(c learned.Combination) string {
	c.Stop = ""
	return c.String()
}

// Combinations that no run had: how many are asked after, how many are printed with
// their curve, and how many with the run that would tell.
const (
	mostUntried   = 120
	mostPredicted = 6
	mostOpen      = 4
)

// untried lists combinations, at the newest stop, that no run had, of the springs and
// weights that were fitted or stand in the drawer.
func (j *Job) untried(runs []learned.Run) []learned.Combination {
	last := runs[len(runs)-1]
	kinds, _ := kindsOf(runs)
	var weights []string
	tried := map[string]bool{}
	empty := false
	for _, x := range runs {
		if !slices.Contains(weights, x.Weights) {
			weights = append(weights, x.Weights)
		}
		empty = empty || slices.Contains(x.Springs, "")
		tried[j.partsKey(x.Springs, x.Weights)] = true
	}
	for _, s := range j.file.Drawer.Springs {
		if s.Name != "" && !slices.Contains(kinds, s.Name) {
			kinds = append(kinds, s.Name)
		}
	}
	for _, x := range j.file.Drawer.Weights {
		if x.Name != "" && weights[0] != "" && !slices.Contains(weights, x.Name) {
			weights = append(weights, x.Name)
		}
	}
	if empty {
		kinds = append(kinds, "")
	}
	var out []learned.Combination
	for _, v := range weights {
		for _, springs := range j.fillings(kinds, len(last.Springs)) {
			if key := j.partsKey(springs, v); !tried[key] && len(out) < mostUntried && slices.ContainsFunc(springs, func(s string) bool { return s != "" }) {
				out = append(out, learned.Combination{Springs: springs, Weights: v, Stop: last.Stop})
			}
		}
	}
	return out
}

// fillings lists the ways to fill so many places with kinds of springs. Where the places
// are alike, which spring hangs at which of them does not matter.
func (j *Job) fillings(kinds []string, places int) [][]string {
	var out [][]string
	var fill func(springs []string, from int)
	fill = func(springs []string, from int) {
		if len(out) >= mostUntried {
			return
		}
		if len(springs) == places {
			out = append(out, slices.Clone(springs))
			return
		}
		for i := from; i < len(kinds); i++ {
			next := i
			if j.placesDiffer {
				next = 0
			}
			fill(append(springs, kinds[i]), next)
		}
	}
	fill(nil, 0)
	return out
}

// partsKey is the same for springs whichever hangs at which place, where the places are
// alike.
func (j *Job) partsKey(springs []string, weights string) string {
	list := slices.Clone(springs)
	if !j.placesDiffer {
		slices.Sort(list)
	}
	return strings.Join(list, "\x00") + "\x01" + weights
}

// allListed reports whether every part of the runs is described in the drawer.
func (w *work) allListed(runs []learned.Run) bool {
	listed := map[string]bool{"": true}
	for _, s := range w.job.Drawer.Springs {
		listed[s.Name] = true
	}
	for _, x := range w.job.Drawer.Weights {
		listed["weights "+x.Name] = true
	}
	for _, r := range runs {
		if !listed["weights "+r.Weights] || len(r.Springs) != len(w.job.Places) {
			return false
		}
		for _, s := range r.Springs {
			if !listed[s] {
				return false
			}
		}
	}
	return true
}

// listedLines holds the listed values against all runs together.
func listedLines(found *learned.Result) []string {
	var out []string
	for _, p := range found.Parts {
		if !p.Fitted {
			continue
		}
		value, unit := 1.0, p.Unit
		if unit == "N/m" {
			value, unit = 1e-3, "N/mm"
		}
		if unit == "kg" {
			value, unit = 1e3, "g"
		}
		e := p.Learned
		out = append(out, fmt.Sprintf("%s, %s: as listed %.2f %s; as the readings say %.2f (95 %% interval %.2f to %.2f).",
			upper(p.Name), p.Quantity, value*p.Listed, unit, value*e.Value, value*e.Low, value*e.High))
	}
	return append(out, found.Notes...)
}

// A spring in its place against its entry in a list, one standard deviation: where the
// loops rest on the posts and what the loops gave when they were hooked on goes into the
// free length (common practice, no source).
const (
	placedLength  = 0.3e-3 // m
	placedTension = 0.1    // N
)

// believed is a listed spring with the errors with which a run is held against it.
func believed(s recipes.SpringPart) recipes.SpringPart {
	s.LengthSigma, s.TensionSigma = max(s.LengthSigma, placedLength), max(s.TensionSigma, placedTension)
	return s
}

// asListed is the springs of the drawer as they are listed.
func (j *Job) asListed() []recipes.SpringPart {
	if j.listedSprings != nil {
		return j.listedSprings
	}
	return j.Drawer.Springs
}

// listedParts is the mechanism with the drawer as it is listed.
func (j *Job) listedParts() learned.Listed {
	out := learned.Listed{Drive: j.Drive, Springs: map[string]learned.ListedSpring{}, Weights: map[string]learned.ListedWeights{}}
	out.Mechanism = j.withPlaces()
	for _, s := range j.asListed() {
		s = believed(s)
		out.Springs[s.Name] = learned.ListedSpring{Law: s.Spring, RateSigma: s.RateSigma, LengthSigma: s.LengthSigma, TensionSigma: s.TensionSigma}
	}
	for _, x := range j.Drawer.Weights {
		out.Weights[x.Name] = learned.ListedWeights{Weights: x.Weights, MassSigma: x.MassSigma}
	}
	return out
}

// shouldAsLearned is the curve of the newest parts as the runs before teach them, set to
// the wanted total.
func (w *work) shouldAsLearned(before *learned.Result, fit *readings.Result, y *run) (windows, string, error) {
	j := w.job
	if before == nil {
		return nil, "", nil
	}
	p, err := before.Predict(j.known(before, y.combination()))
	if errors.Is(err, learned.ErrUndetermined) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	// Set at the stop, the curve is known below it; what a slot that no run before had
	// takes away is missing at the top.
	total, _ := j.wantedTotal(w.wants)
	removed := 0.0
	if _, ok := before.Travels[y.combination().Stop]; !ok {
		travel := fit.Travel.Value // of this run: the slot is whoever closed it to answer for
		if y.travel > 0 {
			travel = y.travel
		}
		removed = max(0, p.Travel.Value-travel)
	}
	light := 1.96 * j.Settings.SigmaDegrees
	below := func(rpm float64) (readings.Estimate, error) {
		e, err := p.BelowStop(rpm)
		if err != nil {
			return e, fmt.Errorf("job: runs: %w", err)
		}
		e.Value, e.Low, e.High = max(0, e.Value-removed), max(0, e.Low-removed), max(0, e.High-removed)
		return e, nil
	}
	return func(rpm float64) (low, high float64, err error) {
		e, err := below(rpm)
		if err != nil {
			return 0, 0, err
		}
		next, err := below(rpm + j.Settings.SigmaRPM)
		if err != nil {
			return 0, 0, err
		}
		// The total has the error of the light by which it was set, the reading its own.
		own := math.Hypot(math.Sqrt2*light, 1.96*(e.Value-next.Value))
		return total - e.Value - math.Hypot(e.High-e.Value, own), total - e.Value + math.Hypot(e.Value-e.Low, own), nil
	}, fmt.Sprintf("the parts as the runs before teach them, set to a total of %.1f deg", total), nil
}

// known is a combination with a stop that the runs know: where its own was in none, that
// of the run before.
func (j *Job) known(before *learned.Result, c learned.Combination) learned.Combination {
	if _, ok := before.Travels[c.Stop]; !ok {
		runs := j.learnedRuns(j.newest)
		c.Stop = runs[len(runs)-1].Stop
	}
	return c
}

// teachBefore learns the parts from the runs before the newest; nil where the newest names
// no springs or nothing teaches.
func (w *work) teachBefore(ctx context.Context, y *run) (*learned.Result, error) {
	runs := w.job.learnedRuns(w.job.newest)
	if len(runs) == 0 || y.hose || len(y.springs) == 0 || len(y.springs) != len(runs[0].Springs) {
		return nil, nil
	}
	return w.teach(ctx, runs)
}

// judgeParts asks whether the newest run shows the parts that are noted, as the list and
// the runs before let expect them, wherever the clamp stands; nil where nothing tells.
func (w *work) judgeParts(ctx context.Context, before *learned.Result) (*learned.Verdict, error) {
	all := w.job.learnedRuns(w.job.newest + 1)
	after := all[len(all)-1]
	v, err := before.Judge(ctx, after)
	if errors.Is(err, learned.ErrUndetermined) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	return v, nil
}

// partsVerdict is what the runs before the newest teach, and what they say of its parts;
// both are worked once, and nil where they say nothing.
func (w *work) partsVerdict(ctx context.Context) (*learned.Result, *learned.Verdict, error) {
	if w.asked {
		return w.before, w.judged, nil
	}
	var err error
	if w.before, err = w.teachBefore(ctx, &w.job.runs[w.job.newest]); err != nil {
		return nil, nil, err
	}
	if w.before != nil {
		if w.judged, err = w.judgeParts(ctx, w.before); err != nil {
			return nil, nil, err
		}
	}
	w.asked = true
	return w.before, w.judged, nil
}

// contradicted reports whether the newest run does not show the parts that are noted for
// it: what all runs together would teach is then in doubt.
func (w *work) contradicted() bool { return w.judged != nil && !w.judged.Agrees }

// teaches reports whether there are runs enough to learn parts from.
func (j *Job) teaches() bool {
	switch runs := j.learnedRuns(len(j.runs)); len(runs) {
	case 0:
		return false
	case 1:
		return len(j.learnSettings().Masses) > 1 // other weights, as the scale tells
	}
	return true
}

// learned reports whether the drawer is known by what the runs teach.
func (j *Job) learned() bool { return j.shares != nil }

// adoptLearned takes the parts that the runs determine as the drawer, where no mechanism
// is described.
func (w *work) adoptLearned(ctx context.Context) error {
	j := *w.job
	if _, _, err := w.partsVerdict(ctx); err != nil || w.contradicted() {
		return err // the report says so
	}
	runs := j.learnedRuns(len(j.runs))
	found, err := w.teach(ctx, runs)
	if err != nil {
		return err
	}
	last := runs[len(runs)-1]
	kinds, counts := kindsOf(runs)
	if kinds, err = j.determined(found, kinds, counts, last); err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	if len(kinds) == 0 {
		return nil
	}
	weights, err := j.determinedWeights(found, last)
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	shares, draws, err := found.ForSearch(kinds, weights, len(last.Springs))
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	j.shares, j.draws = shares, draws
	j.Drawer = recipes.Drawer{}
	for _, x := range weights {
		j.Drawer.Weights = append(j.Drawer.Weights, recipes.WeightPart{Name: cmp.Or(x, "as they are")})
	}
	for _, k := range kinds {
		j.Drawer.Springs = append(j.Drawer.Springs, recipes.SpringPart{Name: k, Count: counts[k]})
	}
	j.placesOf(last, kinds)
	if !j.has.slot {
		j.SlotTravel = found.Travels[last.Stop].Value
	}
	j.SlotTravel = min(j.SlotTravel, shares.Angles[len(shares.Angles)-1])
	w.job = &j
	return nil
}

// determinedWeights lists the weights of the newest run, and after them those that runs or
// a scale let reckon with.
func (j *Job) determinedWeights(found *learned.Result, last learned.Run) ([]string, error) {
	out := []string{last.Weights}
	var names []string
	for _, x := range j.learnedRuns(len(j.runs)) {
		names = append(names, x.Weights)
	}
	for _, x := range j.file.Drawer.Weights {
		names = append(names, x.Name)
	}
	for _, name := range names {
		if name == "" || last.Weights == "" || slices.Contains(out, name) {
			continue
		}
		d, err := found.Determine(learned.Combination{Springs: last.Springs, Weights: name, Stop: last.Stop})
		if err != nil {
			return nil, err
		}
		if d.Determined {
			out = append(out, name)
		}
	}
	return out, nil
}

// placesOf names the places of the newest run, and what is fitted there if the runs
// determine it.
func (j *Job) placesOf(last learned.Run, kinds []string) {
	fitted := recipes.Choice{}
	j.Places, j.Fitted = nil, nil
	known := true
	for i, s := range last.Springs {
		name := fmt.Sprintf("place %d", i+1)
		if i < len(j.file.Distributor.Places) && j.file.Distributor.Places[i].Name != "" {
			name = j.file.Distributor.Places[i].Name
		}
		j.Places = append(j.Places, recipes.Position{Name: name, Posts: []recipes.Post{{Name: name}}})
		fitted.Springs, fitted.Posts = append(fitted.Springs, slices.Index(kinds, s)), append(fitted.Posts, 0)
		known = known && (s == "" || slices.Contains(kinds, s))
	}
	if known {
		j.Fitted = &fitted
	}
}

// kindsOf lists the kinds of springs that the runs had, and how many of each there are
// at the least.
func kindsOf(runs []learned.Run) (kinds []string, counts map[string]int) {
	counts = map[string]int{}
	for _, r := range runs {
		now := map[string]int{}
		for _, s := range r.Springs {
			if s == "" {
				continue
			}
			now[s]++
			counts[s] = max(counts[s], now[s])
			if !slices.Contains(kinds, s) {
				kinds = append(kinds, s)
			}
		}
	}
	return kinds, counts
}

// determined leaves out kinds of springs until the runs determine every combination of
// those that are left.
func (j *Job) determined(found *learned.Result, kinds []string, counts map[string]int, last learned.Run) ([]string, error) {
	for range len(kinds) {
		bad := map[string]int{}
		for _, springs := range j.fillings(kinds, len(last.Springs)) {
			if slices.ContainsFunc(kinds, func(k string) bool { return count(springs, k) > counts[k] }) {
				continue
			}
			d, err := found.Determine(learned.Combination{Springs: springs, Weights: last.Weights, Stop: last.Stop})
			if err != nil {
				return nil, err
			}
			if !d.Determined {
				for _, k := range kinds {
					bad[k] += count(springs, k)
				}
			}
		}
		if len(bad) == 0 {
			return kinds, nil
		}
		worst := kinds[0]
		for _, k := range kinds {
			if bad[k] > bad[worst] {
				worst = k
			}
		}
		kinds = slices.DeleteFunc(slices.Clone(kinds), func(k string) bool { return k == worst })
	}
	return kinds, nil
}
