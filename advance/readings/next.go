package readings

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
)

// Advice is a further reading and what it should gain.
type Advice struct {
	RPM      float64 // speed to go to; 0 for a static reading, engine at rest or cranking
	Quantity string  // what it helps most: "static timing", "start", "all-in" or "total"
	// Before and After are the widths of the quantity's 95 % interval now and, as
	// far as can be foretold, with the reading: crank degrees, or rpm for start and
	// all-in. Before is 0 where the quantity is known on one side only.
	Before, After float64
	Unit          string // of the widths, "deg crank" or "rpm crank"
	Text          string // the advice in words
	gain          float64
}

// watched are the quantities that a further reading may help.
var watched = []struct {
	name, unit string
	of         func(r *Result) Estimate
	scale      float64 // width that counts as wide
}{
	{"static timing", degCrank, func(r *Result) Estimate { return r.Static }, 2},
	{"total", degCrank, func(r *Result) Estimate { return r.Total }, 2},
	{"start", rpmCrank, func(r *Result) Estimate { return r.Start }, 300},
	{"all-in", rpmCrank, func(r *Result) Estimate { return r.AllIn }, 500},
}

// Next returns speeds at which one further reading would help, the most helpful
// first: at most five. Each candidate speed is tried with the reading that the fitted
// curve foretells there: the curves drawn keep their places and are weighed anew. Where
// the start was not seen, two readings are tried below the lowest one as if the advance
// had not begun there; where the stop was not seen, above the highest as if it had been
// reached. Few of the curves drawn suit those, so that they are fitted again. No speed
// is below [Settings.LowestRPM]; a static reading, to be fitted as
// [Settings.KnownStatic], is proposed where the start was not seen. Of readings on one
// level there is no advice. It returns the context's error if that ends first. A run of
// a joint fit is reckoned by itself.
func (r *Result) Next(ctx context.Context) ([]Advice, error) {
	if err := r.made(); err != nil {
		return nil, err
	}
	if ctx == nil {
		return nil, fmt.Errorf("%w: the context is nil", errRange)
	}
	if r.Model.Slopes == 0 {
		return nil, nil
	}
	all, err := r.advices(ctx)
	if err != nil {
		return nil, err
	}
	return ranked(all), nil
}

// ranked are the five best, the most helpful first. Of equally helpful ones the lower
// speed comes first. Another processor's last bits decide nothing: gains that are the
// same in six decimals are equal.
func ranked(all []Advice) []Advice {
	gain := func(a Advice) float64 { return math.Round(1e6*a.gain) / 1e6 }
	slices.SortStableFunc(all, func(a, b Advice) int { return cmp.Or(cmp.Compare(gain(b), gain(a)), cmp.Compare(a.RPM, b.RPM)) })
	return all[:min(len(all), 5)]
}

// advices holds what is worth saying about each speed tried, and about a static reading.
func (r *Result) advices(ctx context.Context) ([]Advice, error) {
	var out []Advice
	for _, rpm := range r.candidates() {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("readings: choosing the next reading: %w", err)
		}
		then, err := r.with(ctx, rpm)
		if err != nil {
			return nil, err
		}
		if a, ok := r.advise(rpm, then); ok {
			out = append(out, a)
		}
	}
	if a, ok, err := r.atRest(ctx); err != nil {
		return nil, err
	} else if ok {
		out = append(out, a)
	}
	return out, nil
}

// with holds the estimates with the reading, or the two past an open end, that the
// fitted curve foretells at a speed.
func (r *Result) with(ctx context.Context, rpm float64) (*Result, error) {
	second := r.second(rpm)
	if second == 0 {
		return r.weighed(observed{rpm: rpm, deg: r.foretold(rpm), sigmaRPM: r.set.SigmaRPM, sigmaDeg: r.set.SigmaDegrees}), nil
	}
	set := r.set
	return Fit(ctx, append(slices.Clone(r.Readings), Reading{RPM: rpm, Degrees: r.foretold(rpm)}, Reading{RPM: second, Degrees: r.foretold(second)}), &set)
}

// weighed holds the estimates with a further reading. By Bayes' rule each curve drawn
// counts as much more or less as it suits that better or worse than the others
// (importance weights: Gelman and others, Bayesian Data Analysis, third edition 2014,
// section 10.4).
func (r *Result) weighed(trial observed) *Result {
	p := *r.fit
	w := make([]float64, len(p.samples))
	for i := range p.samples {
		w[i] = math.Log(p.samples[i].weight) + p.samples[i].density(&trial, r.set.Outliers)
	}
	p.samples = slices.Clone(p.samples)
	for i, v := range shares(w) {
		p.samples[i].weight = v
	}
	p.low, p.high = math.Min(p.low, trial.rpm), math.Max(p.high, trial.rpm)
	then := &Result{Model: r.Model, set: r.set}
	p.sides(then)
	return then
}

// density is the logarithm of that of a reading of rising speed about a curve, up to a
// constant: of the normal law, or of the ten times wider one of outliers.
func (s *sample) density(o *observed, outliers float64) float64 {
	low, high := s.at.Travelled(o.rpm-o.sigmaRPM), s.at.Travelled(o.rpm+o.sigmaRPM)
	sd := s.size * math.Hypot(o.sigmaDeg, s.travel*(high-low)/2)
	z := (o.deg - s.static - s.travel*(low+high)/2) / sd
	wide := z / outlierWidth
	return math.Log(((1-outliers)*math.Exp(-z*z/2) + outliers/outlierWidth*math.Exp(-wide*wide/2) + 1e-300) / sd)
}

// atRest is the advice to read the timing where the weights cannot have moved: with
// the engine at rest and a test lamp, or cranking. It is reckoned with the error of a
// reading.
func (r *Result) atRest(ctx context.Context) (Advice, bool, error) {
	if r.Static.Bound != AtMost {
		return Advice{}, false, nil
	}
	set := r.set
	set.KnownStatic = &Known{Value: r.Static.Value, Sigma: set.SigmaDegrees}
	then, err := Fit(ctx, r.Readings, &set)
	if err != nil {
		return Advice{}, false, err
	}
	width := then.Static.High - then.Static.Low
	if then.Static.Bound != Interval || !(width > 0) {
		return Advice{}, false, nil
	}
	return Advice{
		Quantity: "static timing", After: width, Unit: degCrank, gain: 2 * math.Min(2/width, 1),
		Text: fmt.Sprintf("A static reading, taken at cranking speed or with the engine at rest and a test lamp, would show the static timing: to within about %.1f %s either side instead of on one side only.", width/2, degCrank),
	}, true, nil
}

// candidates are round speeds from half the lowest reading, where the engine runs
// there, to above the highest.
func (r *Result) candidates() []float64 {
	low, high := r.fit.low, r.fit.high
	from := math.Max(0.5*low, math.Min(r.set.LowestRPM, low))
	const count = 16
	step := math.Max(50, 50*math.Round((1.2*high-from)/count/50))
	var out []float64
	for n := 50 * math.Ceil(from/50); n <= math.Min(1.2*high, maxRPM); n += step {
		out = append(out, n)
	}
	return out
}

// foretold is the reading to expect at a speed.
func (r *Result) foretold(rpm float64) float64 {
	low, high := r.fit.low, r.fit.high
	return r.best(math.Min(math.Max(rpm, low), high))
}

// second is the speed of a second reading near one past an open end of the curve, 0
// elsewhere: one reading alone does not show a level.
func (r *Result) second(rpm float64) float64 {
	const apart = 100
	switch {
	case rpm < r.fit.low && r.Start.Bound != Interval:
		return math.Max(rpm-apart, rpm/2)
	case rpm > r.fit.high && r.AllIn.Bound != Interval:
		return math.Min(rpm+apart, maxRPM)
	}
	return 0
}

// advise compares the widths now and then.
func (r *Result) advise(rpm float64, then *Result) (Advice, bool) {
	best := Advice{RPM: rpm}
	gain := 0.0
	for _, q := range watched {
		now, new := q.of(r), q.of(then)
		if new.Bound != Interval {
			continue
		}
		after := new.High - new.Low
		before := 0.0
		one := 0.0
		if now.Bound == Interval {
			before = now.High - now.Low
			one = math.Log(before/after) * math.Min(before/q.scale, 1)
		} else if !r.beyond(rpm, q.name) {
			continue // the other end of the curve, or its middle, cannot show it
		} else {
			one = 2 * math.Min(q.scale/after, 1) // a side becomes known at all
		}
		gain += math.Max(one, 0)
		if one > best.gain+1e-6 {
			best.gain, best.Quantity, best.Unit, best.Before, best.After = one, q.name, q.unit, before, after
		}
	}
	if best.gain < 0.05 {
		return best, false
	}
	if best.Before == 0 {
		end := "if the stop is reached there"
		if rpm < r.fit.low {
			end = "if the advance has not begun there"
		}
		best.Text = fmt.Sprintf("Two readings near %.0f rpm crank would show the %s, %s: to within about %s %s either side instead of on one side only.", rpm, best.Quantity, end, half(best.After, best.Unit), best.Unit)
	} else {
		best.Text = fmt.Sprintf("A reading at %.0f rpm crank would narrow the %s from %s to about %s %s either side.", rpm, best.Quantity, half(best.Before, best.Unit), half(best.After, best.Unit), best.Unit)
	}
	best.gain = gain
	return best, true
}

// half is half a width in words: a tenth of a degree and ten rpm are what is worth
// saying.
func half(width float64, unit string) string {
	if unit == rpmCrank {
		return fmt.Sprintf("%.0f", 10*math.Round(width/2/10))
	}
	return fmt.Sprintf("%.1f", width/2)
}

// beyond reports whether a speed lies past the readings at the end of the curve
// to which a quantity belongs: static timing and start at the low one, all-in and
// total at the high one.
func (r *Result) beyond(rpm float64, quantity string) bool {
	if quantity == "all-in" || quantity == "total" {
		return rpm > r.fit.high
	}
	return rpm < r.fit.low
}
