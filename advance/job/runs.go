package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
)

// runsStage asks whether the last change did what it should, and what the runs teach of
// the parts.
func runsStage() stage {
	return stage{
		name: "before and after", doing: "comparing the runs", share: 0.25,
		needs: []string{"runs"},
		also:  []string{"readings"},
		buys:  "pass or fail of each reading after the change, what is not as listed, and what parts nobody measured will do",
		can:   func(w *work) bool { return w.fit != nil && len(w.job.runs) > 0 },
		answer: func(ctx context.Context, w *work, done func(float64)) error {
			return w.compareRuns(ctx, done)
		},
	}
}

// compareRuns fits every run by itself and holds the newest against the one before.
func (w *work) compareRuns(ctx context.Context, done func(float64)) error {
	j := w.job
	part := &RunsPart{}
	fits := make([]*readings.Result, len(j.runs))
	for i := range j.runs {
		x := &j.runs[i]
		if x.hose || !j.shows(x) {
			continue
		}
		fit, err := j.fitRun(ctx, x)
		if err != nil {
			return err
		}
		fits[i] = fit
		part.Runs = append(part.Runs, x.row(fit))
		if i != j.newest {
			hose, err := j.hoseRows(fit)
			if err != nil {
				return err
			}
			part.HoseOn = append(part.HoseOn, hose...)
		}
		done(0.5 * float64(i+1) / float64(len(j.runs)))
	}
	w.report.Runs = part
	if err := w.check(ctx, part, fits); err != nil {
		return err
	}
	done(0.7)
	return w.learn(ctx, part)
}

// shows reports whether a run has readings enough for a curve.
func (j *Job) shows(x *run) bool {
	return (&validator{}).enoughReadings("", x.list)
}

// fitRun fits one run by itself, with the slot of its day where that does not
// contradict it.
func (j *Job) fitRun(ctx context.Context, x *run) (*readings.Result, error) {
	settings := j.Settings
	settings.KnownStatic = nil
	alone, err := readings.Fit(ctx, x.list, &settings)
	if err != nil {
		return nil, fmt.Errorf("%w: runs: %s: %w", ErrJob, x.label, err)
	}
	if x.travel == 0 {
		return alone, nil
	}
	known := &readings.Known{Value: x.travel, Sigma: j.Drive.CrankDegrees(math.Sqrt2 * calliperError / x.slot.Radius)}
	if !agrees(known, alone.Travel) {
		return alone, nil
	}
	settings.KnownTravel = known
	fit, err := readings.Fit(ctx, x.list, &settings)
	if err != nil {
		return nil, fmt.Errorf("%w: runs: %s: %w", ErrJob, x.label, err)
	}
	return fit, nil
}

// row is one run in the report.
func (x *run) row(fit *readings.Result) runRow {
	const deg, rpm = "deg crank", "rpm crank"
	return runRow{
		Label: x.label, Parts: x.parts(), Machine: x.machine,
		Static: estimate(fit.Static, 1, deg), Start: estimate(fit.Start, 0, rpm), AllIn: estimate(fit.AllIn, 0, rpm),
		Travel: estimate(fit.Travel, 1, deg), Total: estimate(fit.Total, 1, deg),
	}
}

// parts names what was fitted, as far as it is known.
func (x *run) parts() string {
	var list []string
	for _, s := range x.springs {
		if s == "" {
			s = none
		}
		list = append(list, s)
	}
	text := strings.Join(list, " + ")
	if x.weights != "" {
		text = strings.TrimPrefix(text+"; weights "+x.weights, "; ")
	}
	if x.travel > 0 {
		text = strings.TrimPrefix(fmt.Sprintf("%s; slot %.2f mm, %.2f mm in it", text, x.slot.Length*1e3, x.slot.Pin*1e3), "; ")
	}
	if text == "" {
		return "not noted"
	}
	return text
}

// windows gives, at an engine speed, the readings that pass.
type windows func(rpm float64) (low, high float64, err error)

// check holds the newest run against what it should show.
func (w *work) check(ctx context.Context, part *RunsPart, fits []*readings.Result) error {
	j := w.job
	last := j.newest
	before := -1
	for i := last - 1; i >= 0; i-- {
		if fits[i] != nil {
			before = i
			break
		}
	}
	if before < 0 || fits[last] == nil {
		return nil
	}
	x, y := &j.runs[before], &j.runs[last]
	part.Changed = changes(x, y)
	if less := travelLess(fits[before], fits[last]); less > 0 && (x.travel == 0 || y.travel == 0) {
		part.Changed = append(part.Changed, fmt.Sprintf("slot: %.1f deg crank of travel less, as the readings show (not noted; slot_length or bush of the run says it)", less))
	}
	taught, verdict, err := w.partsVerdict(ctx)
	if err != nil {
		return err
	}
	should, against, err := w.should(ctx, fits, before, taught)
	if err != nil {
		return err
	}
	if should == nil {
		part.Verdict = "What it should show is not known: the parts were changed, and neither a list nor earlier runs tell what the new ones do."
		return nil
	}
	part.Against = against
	if err := w.judgeRun(part, y, fits[last], should, verdict); err != nil {
		return err
	}
	if verdict != nil && !verdict.Agrees && !slices.Equal(x.springs, y.springs) && !slices.ContainsFunc(verdict.Suspects, func(s learned.Suspect) bool { return strings.HasPrefix(s.Part, "spring") }) {
		// What was changed last is looked at first, however much another cause would explain.
		part.Do = slices.Insert(part.Do, 1, "Springs were changed for this run: see first whether those that are noted are really the ones fitted.")
	}
	return nil
}

// changes lists what differs between two runs.
func changes(x, y *run) []string {
	var out []string
	for i, s := range y.springs {
		if i < len(x.springs) && x.springs[i] != s {
			out = append(out, fmt.Sprintf("place %d: %s instead of %s", i+1, orNone(s), orNone(x.springs[i])))
		}
	}
	if x.weights != y.weights {
		out = append(out, fmt.Sprintf("weights: %s instead of %s", y.weights, x.weights))
	}
	if !x.sameSlot(y) && x.travel > 0 && y.travel > 0 {
		out = append(out, fmt.Sprintf("slot: %.1f deg crank of travel less", x.travel-y.travel))
	}
	switch {
	case y.moved == nil:
		out = append(out, "clamp: nobody knows whether it was moved")
	case *y.moved != 0:
		out = append(out, fmt.Sprintf("clamp: moved by %+.1f deg crank", *y.moved))
	}
	if x.dwell > 0 && y.dwell > 0 && x.dwell != y.dwell {
		out = append(out, fmt.Sprintf("dwell: %.1f instead of %.1f deg of the distributor", y.dwell, x.dwell))
	}
	if x.tacho != y.tacho {
		out = append(out, "tachometer: "+y.tacho+" instead of "+x.tacho)
	}
	return out
}

func orNone(s string) string {
	if s == "" {
		return none
	}
	return s
}

// should returns the windows of the newest run: of the listed parts where they are
// known, else of the run before with slot and clamp changed, else of the parts as
// learned from the runs before. nil where nothing tells.
func (w *work) should(ctx context.Context, fits []*readings.Result, before int, taught *learned.Result) (windows, string, error) {
	j := w.job
	x, y := &j.runs[before], &j.runs[j.newest]
	if j.has.mechanism && j.Fitted != nil && !j.learned() {
		return w.shouldAsListed(ctx)
	}
	if x.sameParts(y) {
		return w.shouldAsBefore(fits[before], fits[j.newest], x, y)
	}
	return w.shouldAsLearned(taught, fits[j.newest], y)
}

// shouldAsListed is the sheet of the parts that are listed as fitted, set to the wanted
// total.
func (w *work) shouldAsListed(ctx context.Context) (windows, string, error) {
	j := w.job
	p := j.problem(w.wants)
	p.Drawer.Springs = slices.Clone(j.asListed())
	for i := range p.Drawer.Springs {
		p.Drawer.Springs[i] = believed(p.Drawer.Springs[i])
	}
	total, _ := j.wantedTotal(w.wants)
	r, _, err := p.Evaluate(*j.Fitted, total-j.SlotTravel, j.SlotTravel)
	if err != nil {
		return nil, "", fmt.Errorf("job: fitted parts: %w", err)
	}
	b, err := j.toleranceBand(ctx, p, r)
	if err != nil {
		return nil, "", err
	}
	c := &choice{best: r, band: b}
	return func(rpm float64) (low, high float64, err error) {
		_, _, low, high, err = c.window(j, rpm)
		return low, high, err
	}, fmt.Sprintf("the sheet of the parts as listed, set to a total of %.1f deg", total), nil
}

// shouldAsBefore is the run before with slot and clamp changed. Where nobody knows how
// the clamp was moved, it is taken as set to the wanted total; where nobody noted the
// slot, its travel is what the newest run shows.
func (w *work) shouldAsBefore(fit, now *readings.Result, x, y *run) (windows, string, error) {
	j := w.job
	change := readings.Change{}
	slot := "with the slot as it was"
	if x.travel > 0 && y.travel > 0 {
		if change.Travel = x.travel - y.travel; !x.sameSlot(y) {
			slot = "with the slot changed as noted"
		}
	} else if less := travelLess(fit, now); less > 0 {
		change.Travel = less
		slot = fmt.Sprintf("with %.1f deg less travel, as the newest run shows", less)
	}
	clamp := "moved as noted"
	if y.moved != nil && *y.moved == 0 {
		clamp = "as it was"
	}
	against := "the run before " + slot + " and the clamp " + clamp
	switch {
	case y.machine != x.machine:
		return nil, "", nil
	case y.moved != nil:
		change.Turn = *y.moved
	default:
		total, _ := j.wantedTotal(w.wants)
		change.Turn = total - (fit.Total.Value - change.Travel)
		against = fmt.Sprintf("the run before %s, set to a total of %.1f deg", slot, total)
	}
	change.Turn += float64(j.Drive) / 2 * dwellLess(x, y)
	return func(rpm float64) (low, high float64, err error) {
		list, err := fit.Expect(change, []float64{rpm})
		if err != nil {
			return 0, 0, fmt.Errorf("job: runs: %w", err)
		}
		return list[0].Low, list[0].High, nil
	}, against, nil
}

// travelLess is how many crank degrees of travel a run shows less than the one before,
// where that is more than their errors explain; 0 where it is not, or where one of the two
// does not show its travel.
func travelLess(before, now *readings.Result) float64 {
	x, y := before.Travel, now.Travel
	if x.Bound != readings.Interval || y.Bound != readings.Interval {
		return 0
	}
	const beyond = 2.6 / 1.96 // one slot left alone in a hundred
	less := x.Value - y.Value
	if less < smallestTravel || less <= beyond*math.Hypot(x.Value-x.Low, y.High-y.Value) {
		return 0
	}
	return less
}

// dwellLess is by how many distributor degrees the dwell became less: each opens the
// points half a degree earlier (geometry of a symmetric cam).
func dwellLess(x, y *run) float64 {
	if x.dwell == 0 || y.dwell == 0 {
		return 0
	}
	return x.dwell - y.dwell
}

// judgeRun holds each reading against its window, and the whole run against what its
// parts were expected to do, and says what to do. A part that is not as expected shows in
// all readings together before any one of them leaves its window, so the parts are judged
// by themselves.
func (w *work) judgeRun(part *RunsPart, y *run, fit *readings.Result, should windows, verdict *learned.Verdict) error {
	var off []float64
	var middle []advance.Point
	fails, n := 0, 0
	for _, x := range y.list {
		if x.HoseOn {
			continue
		}
		low, high, err := should(x.RPM)
		if err != nil {
			return err
		}
		low, high = together(low, high, 1.96*w.job.Settings.SigmaDegrees)
		row := checkRow{
			RPM: x.RPM, Degrees: text.Round(x.Degrees), Low: text.Round(low), High: text.Round(high),
			Passes: x.Degrees >= low && x.Degrees <= high,
		}
		n++
		if !row.Passes {
			fails++
		}
		part.Check = append(part.Check, row)
		off = append(off, x.Degrees-(low+high)/2)
		if k := len(middle); k == 0 || middle[k-1].RPM < x.RPM {
			middle = append(middle, advance.Point{RPM: x.RPM, Degrees: (low + high) / 2})
		}
	}
	late, isLate, err := w.setOff(y, fit, should)
	if err != nil {
		return err
	}
	passed := fails <= outsideByChance(n, 0.005) && !isLate
	part.Verdict = fmt.Sprintf("%d of %d readings pass.", n-fails, n)
	if verdict != nil && verdict.Agrees {
		part.Verdict += " " + verdict.Text
	}
	if verdict != nil && !verdict.Agrees {
		passed = false
		part.Passed = &passed
		part.Do = append(append(part.Do, verdict.Text), verdict.Do...)
		return nil
	}
	part.Passed = &passed
	if isLate || passed && math.Abs(late) > setWithin {
		way, first := "Advance", ""
		if late > 0 {
			way = "Retard"
		}
		if passed {
			first = "The parts do what they should. "
		}
		part.Do = append(part.Do, fmt.Sprintf("%s%s the distributor by %.1f deg crank: the total is %s, %.1f was to be set. Then read again.", first, way, math.Abs(late), fit.Total.Text(1, "deg crank"), fit.Total.Value-late))
		return nil
	}
	if passed {
		part.Do = append(part.Do, "Nothing: the change did what it should.")
		return nil
	}
	return w.remedy(part, fit, off, middle)
}

// setOff is how far the total of a run lies from what was to be set, and whether that is
// more than the light's error explains. Where the run does not show its total, or on a
// machine, it is not.
func (w *work) setOff(y *run, fit *readings.Result, should windows) (float64, bool, error) {
	if fit.Total.Bound != readings.Interval || y.machine || len(y.list) == 0 {
		return 0, false, nil
	}
	top := slices.MaxFunc(y.list, func(a, b readings.Reading) int { return cmp.Compare(a.RPM, b.RPM) })
	low, high, err := should(top.RPM)
	if err != nil {
		return 0, false, err
	}
	own := 1.96 * w.job.Settings.SigmaDegrees
	set := math.Sqrt(max(0, (high-low)*(high-low)/4-own*own))
	const beyond = 3.2 / 1.96 // of right builds less than one in a hundred: the parts are judged too
	late := fit.Total.Value - settable((low+high)/2)
	return late, math.Abs(late) > beyond*math.Hypot(set, (fit.Total.High-fit.Total.Low)/2), nil
}

// jointly is by how much the common part of a window grows until it holds for all lines
// together.
const jointly = 1.4

// together widens a window that holds 95 of 100 readings of right builds. All lines of one
// build share the errors of its setting and of its parts, so that many fail at once where
// these are large: what a reading's own error leaves of the window is taken for 2.7
// standard errors instead of two. The rest then misses by chance, each line for itself.
func together(low, high, own float64) (float64, float64) {
	middle, half := (low+high)/2, (high-low)/2
	common := math.Sqrt(max(0, half*half-own*own))
	half = math.Hypot(jointly*common, own)
	return middle - half, middle + half
}

// outsideByChance is how many of n readings may lie outside of windows that hold 95 of
// 100: more do so with the chance luck at the most (binomial).
func outsideByChance(n int, luck float64) int {
	outside := distuv.Binomial{N: float64(n), P: 0.05}
	for k := range n {
		if 1-outside.CDF(float64(k)) <= luck {
			return k
		}
	}
	return n
}

// remedy says what to do about a run that does not pass: turn the distributor where all
// readings lie to one side, else look for the part that is not as listed.
func (w *work) remedy(part *RunsPart, fit *readings.Result, off []float64, middle []advance.Point) error {
	mean, scatter := 0.0, 0.0
	for _, x := range off {
		mean += x / float64(len(off))
	}
	for _, x := range off {
		scatter += (x - mean) * (x - mean) / float64(len(off))
	}
	scatter = math.Sqrt(scatter)
	const alike = 1.7 // standard errors of the light within which the rest is its own scatter
	if math.Abs(mean) > 1 && scatter <= alike*w.job.Settings.SigmaDegrees+0.5 {
		way := "Retard"
		if mean < 0 {
			way = "Advance"
		}
		part.Do = append(part.Do, fmt.Sprintf("%s the distributor by %.1f deg crank: the curve has the right shape and lies %.1f deg to one side. Then read again.", way, math.Abs(mean), math.Abs(mean)))
		return nil
	}
	curve, err := advance.NewCurve(middle)
	if err != nil || len(middle) < 3 {
		part.Do = append(part.Do, "Read the curve again with more readings before anything is changed.")
		return nil
	}
	a, err := fit.CompareTo(curve)
	if err != nil {
		return fmt.Errorf("job: runs: %w", err)
	}
	if a.Scale.Value != 1 {
		f := a.Scale.Value
		part.Do = append(part.Do, fmt.Sprintf("The advance comes at %.2f times the speeds that it should. Either the springs pull %.2f times as hard against the weights as reckoned with, or the tachometer shows wrong; these readings cannot tell the two apart. Check the tachometer against a second one, then which springs and weights are really fitted.", f, f*f))
		return nil
	}
	noted := ""
	if y := &w.job.runs[w.job.newest]; len(y.springs) == 0 || y.weights == "" {
		noted = " If springs or weights were changed, note in both runs which were fitted."
	}
	part.Do = append(part.Do, "The curve has another shape than it should."+noted+" See which springs are at which place, that the weights move freely to both stops, and measure the slot.")
	return nil
}
