package job

import (
	"cmp"
	"context"
	"errors"
	"fmt"
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
			Name: x.label, Combination: x.combination(), Clamp: x.clamp, Tachometer: x.tacho,
			Bench: x.machine, Readings: x.list,
		})
	}
	return out
}

// learnSettings says what is known beside the runs: the light, the slots as measured and
// the weights on a scale.
func (j *Job) learnSettings() *learned.Settings {
	s := &learned.Settings{SigmaRPM: j.Settings.SigmaRPM, SigmaDegrees: j.Settings.SigmaDegrees, Travels: map[string]readings.Known{}, Masses: map[string]learned.Mass{}}
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
	if j.has.mechanism && w.allListed(runs) {
		return w.learnListed(ctx, part, runs)
	}
	if len(runs) < 2 {
		part.Learned = append(part.Learned, "One run teaches its own parts only. A run with another pair of springs, the rest untouched, tells what mixed pairs do.")
		return nil
	}
	found, err := learned.Fit(ctx, runs, j.learnSettings())
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	for _, c := range untried(runs) {
		line, err := predicted(found, c)
		if err != nil {
			return fmt.Errorf("%w: runs: %w", ErrJob, err)
		}
		part.Learned = append(part.Learned, line)
	}
	return nil
}

// mostPredicted is how many untried combinations are printed.
const mostPredicted = 6

// untried lists combinations of the kinds that were fitted, at the newest stop, that no
// run had: pairs of one kind, then mixed ones, with each set of weights.
func untried(runs []learned.Run) []learned.Combination {
	last := runs[len(runs)-1]
	if len(last.Springs) != 2 {
		return nil
	}
	var kinds, weights []string
	tried := map[string]bool{}
	for _, x := range runs {
		for _, s := range x.Springs {
			if !slices.Contains(kinds, s) && s != "" {
				kinds = append(kinds, s)
			}
		}
		if !slices.Contains(weights, x.Weights) {
			weights = append(weights, x.Weights)
		}
		tried[pairKey(x.Springs, x.Weights)] = true
	}
	var out []learned.Combination
	for _, v := range weights {
		for i, a := range kinds {
			for _, b := range kinds[i:] {
				if key := pairKey([]string{a, b}, v); !tried[key] && len(out) < mostPredicted {
					out = append(out, learned.Combination{Springs: []string{a, b}, Weights: v, Stop: last.Stop})
				}
			}
		}
	}
	return out
}

// pairKey is the same for a pair of springs whichever hangs at which place.
func pairKey(springs []string, weights string) string {
	list := slices.Clone(springs)
	slices.Sort(list)
	return strings.Join(list, "\x00") + "\x01" + weights
}

// predicted says in a line what an untried combination would do, or which run would
// tell.
func predicted(found *learned.Result, c learned.Combination) (string, error) {
	p, err := found.Predict(c)
	if errors.Is(err, learned.ErrUndetermined) {
		_, why, _ := strings.Cut(err.Error(), "not determined by the runs: ")
		return why, nil
	}
	if err != nil {
		return "", err
	}
	name := strings.Join(c.Springs, " + ")
	if c.Weights != "" {
		name += ", weights " + c.Weights
	}
	text := fmt.Sprintf("%s (never fitted): begins %s, all in %s, travel %s.", name,
		p.Start.Text(0, "rpm crank"), p.AllIn.Text(0, "rpm crank"), p.Travel.Text(1, "deg crank"))
	if p.FromStop {
		text += " No run shows the start well: count in degrees below the stop, and set the timing at the stop."
	}
	return text, nil
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

// learnListed holds the listed values against all runs together.
func (w *work) learnListed(ctx context.Context, part *RunsPart, runs []learned.Run) error {
	found, err := learned.FitListed(ctx, runs, w.job.listedParts(), w.job.learnSettings())
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
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
		part.Learned = append(part.Learned, fmt.Sprintf("%s, %s: as listed %.2f %s; as the readings say %.2f (95 %% interval %.2f to %.2f).",
			upper(p.Name), p.Quantity, value*p.Listed, unit, value*e.Value, value*e.Low, value*e.High))
	}
	part.Learned = append(part.Learned, "Rates are told relative to the weights as listed, on this tachometer: all speeds and all spring forces can be wrong by one factor without the readings showing it. A scale for the weights and a second tachometer tell them apart.")
	var list []string
	for _, s := range found.Suspects {
		list = append(list, fmt.Sprintf("%s %.2f times the listed value (%.2f to %.2f)", s.Part, s.Factor.Value, s.Factor.Low, s.Factor.High))
	}
	switch {
	case len(list) == 1:
		part.Do = append(part.Do, "The readings contradict the list. One part by itself explains it: "+list[0]+". Measure it.")
	case len(list) > 1:
		part.Do = append(part.Do, "The readings contradict the list. Each of these would explain it by itself, and the readings do not tell which: "+strings.Join(list, "; or ")+". Measure them, or fit one pair of springs of one kind and read again.")
	}
	return nil
}

// listedParts is the mechanism with the drawer as it is listed.
func (j *Job) listedParts() learned.Listed {
	out := learned.Listed{Drive: j.Drive, Springs: map[string]learned.ListedSpring{}, Weights: map[string]learned.ListedWeights{}}
	out.Mechanism = j.withPlaces()
	for _, s := range j.Drawer.Springs {
		out.Springs[s.Name] = learned.ListedSpring{Law: s.Spring, RateSigma: s.RateSigma}
	}
	for _, x := range j.Drawer.Weights {
		out.Weights[x.Name] = learned.ListedWeights{Weights: x.Weights, MassSigma: x.MassSigma}
	}
	return out
}

// shouldAsLearned is the curve of the newest parts as the runs before teach them, set to
// the wanted total.
func (w *work) shouldAsLearned(ctx context.Context, fit *readings.Result, y *run) (windows, string, error) {
	j := w.job
	runs := j.learnedRuns(j.newest)
	if len(runs) < 2 || len(y.springs) == 0 {
		return nil, "", nil
	}
	found, err := learned.Fit(ctx, runs, j.learnSettings())
	if err != nil {
		return nil, "", fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	c := y.combination()
	if !slices.ContainsFunc(runs, func(r learned.Run) bool { return r.Stop == c.Stop }) {
		c.Stop = runs[len(runs)-1].Stop
	}
	p, err := found.Predict(c)
	if errors.Is(err, learned.ErrUndetermined) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	total, _ := j.wantedTotal(w.wants)
	travel := fit.Travel.Value // of this run: the slot is whoever closed it to answer for
	if y.travel > 0 {
		travel = y.travel
	}
	return func(rpm float64) (low, high float64, err error) {
		e, err := p.Advance(rpm)
		if err != nil {
			return 0, 0, fmt.Errorf("job: runs: %w", err)
		}
		eye := 1.96 * j.Settings.SigmaDegrees
		cut := func(x float64) float64 { return total - travel + min(x, travel) }
		return cut(e.Low) - eye, cut(e.High) + eye, nil
	}, fmt.Sprintf("the parts as the runs before teach them, set to a total of %.1f deg", total), nil
}

// teaches reports whether there are runs enough to learn parts from.
func (j *Job) teaches() bool { return len(j.learnedRuns(len(j.runs))) >= 2 }

// learned reports whether the drawer is known by what the runs teach.
func (j *Job) learned() bool { return j.shares != nil }

// adoptLearned takes the parts that the runs determine as the drawer, where no mechanism
// is described.
func (w *work) adoptLearned(ctx context.Context) error {
	j := *w.job
	runs := j.learnedRuns(len(j.runs))
	found, err := learned.Fit(ctx, runs, j.learnSettings())
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	last := runs[len(runs)-1]
	kinds, counts := kindsOf(runs)
	if kinds, err = determined(found, kinds, counts, last); err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	if len(kinds) == 0 {
		return nil
	}
	shares, draws, err := found.ForSearch(kinds, []string{last.Weights}, len(last.Springs))
	if err != nil {
		return fmt.Errorf("%w: runs: %w", ErrJob, err)
	}
	j.shares, j.draws = shares, draws
	j.Drawer = recipes.Drawer{Weights: []recipes.WeightPart{{Name: cmp.Or(last.Weights, "as they are")}}}
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

// determined leaves out kinds of springs until the runs determine every pair of those
// that are left.
func determined(found *learned.Result, kinds []string, counts map[string]int, last learned.Run) ([]string, error) {
	for range len(kinds) {
		bad := map[string]int{}
		for i, a := range kinds {
			for _, b := range kinds[i:] {
				if a == b && counts[a] < 2 || len(last.Springs) != 2 {
					continue
				}
				d, err := found.Determine(learned.Combination{Springs: []string{a, b}, Weights: last.Weights, Stop: last.Stop})
				if err != nil {
					return nil, err
				}
				if !d.Determined {
					bad[a]++
					bad[b]++
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
