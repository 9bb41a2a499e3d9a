package readings

import (
	"fmt"
	"math"
	"strings"

	"example.org/bobweight/advance"
)

// Change is what a builder does to the distributor between two sets of readings.
// The zero value changes nothing.
type Change struct {
	Turn   float64 // crank degrees added by turning the distributor; retarding is negative
	Travel float64 // crank degrees of travel taken away at the slot; giving more is negative
	// Springs and Weights are the factors on the moments of all springs and of all
	// weights, more than 0.05 and at most 20; 0 means unchanged. Equilibrium holds the
	// squared speed in proportion to Springs/Weights at every position.
	Springs, Weights float64
}

// speed returns the factor on every speed of the curve, after checking.
func (c Change) speed() (float64, error) {
	if !(math.Abs(c.Turn) <= maxDegrees) {
		return 0, outOfRange("turn of the distributor", c.Turn, degCrank, "-180 to 180")
	}
	if !(math.Abs(c.Travel) <= maxDegrees) {
		return 0, outOfRange("travel taken away", c.Travel, degCrank, "-180 to 180")
	}
	factor := func(name string, v float64) (float64, error) {
		if v == 0 {
			return 1, nil
		}
		if !(v > 0.05 && v <= 20) {
			return 0, outOfRange("factor on the moments of the "+name, v, "", "more than 0.05 and at most 20, or 0 for unchanged")
		}
		return v, nil
	}
	springs, err := factor("springs", c.Springs)
	if err != nil {
		return 0, err
	}
	weights, err := factor("weights", c.Weights)
	return math.Sqrt(springs / weights), err
}

// Expected is what the light should show at a speed after a change.
type Expected struct {
	RPM   float64
	Curve Estimate // the curve, crank degrees
	// Low and High are the window in which one more reading falls in 95 of 100
	// cases: the band of the curve and the error of the reading together. A side
	// that the first readings do not know is 180 degrees off.
	Low, High float64
}

// Expect predicts what the light shows after a change at engine speeds of 0 to
// 20,000 rpm. It refuses speeds and changes outside their ranges and a Result
// that no fit made.
func (r *Result) Expect(c Change, rpm []float64) ([]Expected, error) {
	if err := r.made(); err != nil {
		return nil, err
	}
	k, err := c.speed()
	if err != nil {
		return nil, err
	}
	out := make([]Expected, len(rpm))
	for i, n := range rpm {
		if !(n >= 0 && n <= maxRPM) {
			return nil, outOfRange("speed", n, rpmCrank, "0 to 20000")
		}
		e := r.stopped(r.band(n/k, false), c).plus(c.Turn)
		slope := (r.best(n/k+10) - r.best(n/k-10)) / (20 * k)
		err := r.fit.size * e.sides() * math.Hypot(r.set.SigmaDegrees, r.set.SigmaRPM*slope)
		x := Expected{RPM: n, Curve: e, Low: -maxDegrees, High: maxDegrees}
		if e.Bound == Interval || e.Bound == AtLeast {
			x.Low = e.Value - math.Hypot(e.Value-e.Low, err)
		}
		if e.Bound == Interval || e.Bound == AtMost {
			x.High = e.Value + math.Hypot(e.High-e.Value, err)
		}
		out[i] = x
	}
	return out, nil
}

// stopped holds an estimate of the curve below the stop that a change of travel
// leaves. Where the stop moves away, what lies beyond it was not seen.
func (r *Result) stopped(e Estimate, c Change) Estimate {
	t := r.Total
	switch {
	case c.Travel == 0 || t.Bound == Unknown || t.Bound == AtLeast && c.Travel > 0:
		// An unknown stop that moves inwards cannot be placed on the curve.
		return e
	case c.Travel > 0:
		top := t.plus(-c.Travel)
		e.Value = math.Min(e.Value, top.Value)
		if e.Bound != AtMost {
			e.Low = math.Min(e.Low, top.Low)
		}
		if e.Bound != AtLeast {
			e.High = math.Min(e.High, top.High)
		}
	case e.Bound == Interval && e.High >= t.Low:
		e.Bound, e.High = AtLeast, 0
	}
	return e
}

// best is the likeliest curve at a speed.
func (r *Result) best(rpm float64) float64 { return r.fit.best.advance(rpm) }

// Verdict says whether readings taken after a change agree with the prediction.
type Verdict struct {
	Agrees   bool
	Outside  []int      // places in the new readings that fall outside their windows
	Expected []Expected // one per new reading with the hose off, at its speed
	Places   []int      // of these in the new readings
	// Against is how the new readings lie to the predicted curve: by how many
	// degrees above, and by what factor on its speeds.
	Against Against
	Text    string // the verdict in words
}

// Judge compares readings taken after a change with what they should show. It
// needs three or more with the hose off and refuses what [Result.Expect] and
// [Reading.Check] refuse.
func (r *Result) Judge(c Change, after []Reading) (Verdict, error) {
	if err := r.made(); err != nil {
		return Verdict{}, err
	}
	if len(after) > MaxReadings {
		return Verdict{}, fmt.Errorf("%w: there are %d readings, valid is at most %d", errRange, len(after), MaxReadings)
	}
	for i, o := range after {
		if err := o.Check(); err != nil {
			return Verdict{}, fmt.Errorf("reading %d after the change: %w", i+1, err)
		}
	}
	obs, places := observations(after, &r.set)
	speeds := make([]float64, len(obs))
	for i, o := range obs {
		speeds[i] = o.rpm
	}
	expected, err := r.Expect(c, speeds)
	if err != nil {
		return Verdict{}, err
	}
	v := Verdict{Expected: expected, Places: places}
	for i, x := range expected {
		if d := obs[i].deg; d < x.Low || d > x.High {
			v.Outside = append(v.Outside, places[i])
		}
	}
	if v.Against, err = compare(obs, r.predicted(c)); err != nil {
		return Verdict{}, err
	}
	v.decide()
	return v, nil
}

// predicted is the fitted curve after a change, for all speeds of its readings.
func (r *Result) predicted(c Change) advance.Curve {
	k, _ := c.speed() // checked by Expect
	var points []advance.Point
	for _, p := range r.Curve.Points() {
		e := r.stopped(Estimate{Value: p.Degrees, Low: p.Degrees, High: p.Degrees}, c)
		points = append(points, advance.Point{RPM: p.RPM * k, Degrees: e.Value + c.Turn})
	}
	curve, _ := advance.NewCurve(points) // a positive factor keeps the order
	return curve
}

// decide states the verdict. One reading outside is chance up to 15 of them, two
// up to 30: more happen in less than one of ten cases (binomial law with 5 %).
func (v *Verdict) decide() {
	n := len(v.Expected)
	half := 0.0
	for _, x := range v.Expected {
		if x.Curve.Bound == Interval {
			half = math.Max(half, (x.Curve.High-x.Curve.Low)/2)
		}
	}
	s := v.Against.Shift
	shifted := s.Low > half || s.High < -half
	v.Agrees = len(v.Outside) <= 1+n/16 && !shifted && v.Against.Scale.Value == 1
	var text strings.Builder
	fmt.Fprintf(&text, "%d of %d readings lie where they should after the change", n-len(v.Outside), n)
	switch {
	case v.Agrees && len(v.Outside) == 0:
		text.WriteString(": the change did what it should.")
	case v.Agrees:
		fmt.Fprintf(&text, ": the change did what it should; take reading %s again.", list(v.Outside))
	case v.Against.Scale.Value != 1:
		f := v.Against.Scale.Value
		fmt.Fprintf(&text, ". The advance comes in at %.2f times the expected speeds (95 %% interval %.2f to %.2f), as springs with %.2f times the moment reckoned with would make it, or a tachometer that shows wrong.", f, v.Against.Scale.Low, v.Against.Scale.High, f*f)
	case shifted:
		side := "above"
		if s.Value < 0 {
			side = "below"
		}
		fmt.Fprintf(&text, ". On the whole they lie %.1f deg crank %s the prediction (95 %% interval %.1f to %.1f): the distributor was turned by another angle than reckoned with, or the mark or the hose has changed.", math.Abs(s.Value), side, s.Low, s.High)
	default:
		fmt.Fprintf(&text, ". Outside are reading %s: the curve has another shape than predicted.", list(v.Outside))
	}
	v.Text = text.String()
}

// list writes places as readings are counted, from one.
func list(places []int) string {
	names := make([]string, len(places))
	for i, p := range places {
		names[i] = fmt.Sprint(p + 1)
	}
	return strings.Join(names, ", ")
}
