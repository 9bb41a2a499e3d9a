package readings

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// Result is the curve of one run with its uncertainty. Angles are crank degrees,
// speeds engine rpm. Several goroutines may ask it at once.
type Result struct {
	Name     string      // of the run
	Model    Model       // the curve chosen
	Criteria []Candidate // the table it was chosen from

	Static Estimate // timing below the start, crank degrees
	Start  Estimate // speed at which the advance begins, rpm
	AllIn  Estimate // speed at which the stop is reached, rpm
	Travel Estimate // mechanical advance from start to stop, crank degrees
	Total  Estimate // static and travel, crank degrees
	// Slopes are the mean slopes of the ramps, crank degrees per 1,000 rpm. A
	// ramp whose start or stop was not seen counts from the outermost reading.
	Slopes []Estimate
	Knees  []Estimate // speeds between two ramps, rpm
	// Hysteresis is how many rpm the falling marks lag behind the rising ones; it
	// is Unknown unless there are readings both ways.
	Hysteresis Estimate

	Readings  []Reading // as given
	Residuals []float64 // reading less curve at its speed, crank degrees; hose-on readings too
	Outliers  []int     // places in Readings of those more likely an outlier than not
	// Scatter is the root mean square of the standardised errors of the readings
	// that are not outliers: near 1 where the errors stated are right.
	Scatter float64
	// HoseOn is what the vacuum unit added at each reading with the hose on.
	HoseOn []HoseOn
	// Curve is the fitted curve between the outermost readings.
	Curve advance.Curve

	fit *ensemble
	run int
	set Settings
}

// HoseOn is a reading with the vacuum hose on, less the mechanical curve.
type HoseOn struct {
	Place   int      // in Result.Readings
	Advance Estimate // vacuum advance, crank degrees; the reading's own error included
}

// result states the estimates of run i.
func (f *ensemble) result(i int, run *Run, places []int, s *Settings) *Result {
	r := &Result{
		Name: run.Name, Criteria: f.criteria, Readings: slices.Clone(run.Readings),
		fit: f, run: i, set: *s, Hysteresis: Estimate{Bound: Unknown},
	}
	r.Model.Slopes = f.slopes
	f.estimate(r)
	r.judge(places)
	r.draw()
	r.hoseOn()
	return r
}

// everAfter is a speed above every stop, rpm.
const everAfter = 10 * maxRPM

// estimate finds the intervals. A side is open where a curve whose start (or
// stop) no reading shows fits nearly as well.
func (f *ensemble) estimate(r *Result) {
	i := r.run
	low, high := f.span[i][0], f.span[i][1]
	q := func(k kind) figure { return figure{kind: k, run: i} }
	if f.slopes == 0 {
		r.Static, r.Total = f.atMost(q(kindStatic)), f.atLeast(q(kindStatic))
		r.Start, r.AllIn, r.Travel = Estimate{Bound: Unknown}, Estimate{Bound: Unknown}, Estimate{Bound: Unknown}
		return
	}
	var asked questions
	switch {
	case f.elsewhere[i]:
		asked.interval(&r.Static, q(kindStatic))
		asked.interval(&r.Total, q(kindTotal))
		asked.interval(&r.Travel, q(kindTravel))
		asked.interval(&r.Start, q(kindStart))
		asked.interval(&r.AllIn, q(kindAllIn))
	default:
		from, to := 0.0, float64(everAfter)
		if f.open(i, true, false) {
			from = low
			asked.atMost(&r.Static, figure{kind: kindAt, run: i, rpm: low})
			asked.atMost(&r.Start, q(kindStart))
		} else {
			asked.interval(&r.Static, q(kindStatic))
			asked.within(&r.Start, q(kindStart), low, high)
		}
		if f.open(i, false, true) {
			to = high
			asked.atLeast(&r.Total, figure{kind: kindAt, run: i, rpm: high})
			asked.atLeast(&r.AllIn, q(kindAllIn))
		} else {
			asked.interval(&r.Total, q(kindTotal))
			asked.within(&r.AllIn, q(kindAllIn), low, high)
		}
		if from > 0 || to < everAfter {
			asked.atLeast(&r.Travel, figure{kind: kindClimb, run: i, rpm: to, from: from})
		} else {
			asked.interval(&r.Travel, q(kindTravel))
		}
	}
	r.Slopes = make([]Estimate, f.slopes)
	for k := range r.Slopes {
		asked.interval(&r.Slopes[k], q(kindSlope1+kind(k)))
	}
	if f.slopes == 2 {
		r.Knees = make([]Estimate, 1)
		asked.interval(&r.Knees[0], q(kindKnee))
	}
	if f.runs[i].at[roleHysteresis] >= 0 {
		asked.interval(&r.Hysteresis, q(kindHysteresis))
	}
	asked.answer(f)
	r.Model.StartSeen = r.Start.Bound == Interval
	r.Model.AllInSeen = r.AllIn.Bound == Interval
	const perThousand = 1000
	for k := range r.Slopes {
		e := &r.Slopes[k]
		e.Value, e.Low, e.High = perThousand*e.Value, perThousand*e.Low, perThousand*e.High
	}
}

// open reports whether a curve without a visible start or stop lies inside the
// region of an interval: each end of that may be wrong in 2.5 of 100 cases, and at
// the edge of what can be seen the likelihood ratio is one-sided, see [allowed].
func (e *ensemble) open(i int, start, stop bool) bool {
	for _, f := range e.families {
		if f.slopes == 0 {
			continue
		}
		d, err := f.without(i, start, stop)
		if err != nil || d+f.charge-e.level < e.both {
			return true
		}
	}
	return false
}

// judge names the outliers and measures the scatter.
func (r *Result) judge(places []int) {
	f := r.fit
	r.Residuals = make([]float64, len(r.Readings))
	var dm, ds gradient
	sum, count := 0.0, 0
	c := f.curve(f.best, &f.runs[r.run].at)
	for k, o := range f.runs[r.run].obs {
		m, slope := c.expected(o.rpm, o.sigmaRPM, o.falling, &dm, &ds)
		res := o.deg - m
		r.Residuals[places[k]] = res
		z := res / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
		if outlier(z, f.outliers) > 0.5 {
			r.Outliers = append(r.Outliers, places[k])
			continue
		}
		sum += z * z
		count++
	}
	r.Scatter = math.Sqrt(sum / math.Max(float64(count), 1))
}

// draw makes the curve through the ends of the ramps and points along them.
func (r *Result) draw() {
	f := r.fit
	low, high := f.span[r.run][0], f.span[r.run][1]
	speeds := []float64{low, high}
	c := f.curve(f.best, &f.runs[r.run].at)
	for _, ramp := range c.ramp[:c.ramps] {
		const pieces = 12
		for p := range pieces + 1 {
			n := ramp.a + (ramp.b-ramp.a)*float64(p)/pieces
			if n > low && n < high {
				speeds = append(speeds, n)
			}
		}
	}
	slices.Sort(speeds)
	speeds = slices.Compact(speeds)
	points := make([]advance.Point, len(speeds))
	var dm, ds gradient
	for k, n := range speeds {
		m, _ := c.expected(n, 0, false, &dm, &ds)
		points[k] = advance.Point{RPM: n, Degrees: m}
	}
	r.Curve, _ = advance.NewCurve(points) // sorted and finite: cannot be refused
}

// hoseOn compares the readings with the hose on with the mechanical curve.
func (r *Result) hoseOn() {
	f := r.fit
	for k, o := range r.Readings {
		if !o.HoseOn {
			continue
		}
		e := r.band(o.RPM, o.Direction == flyweights.Falling)
		r.Residuals[k] = o.Degrees - e.Value
		err := o.SigmaDegrees
		if err == 0 {
			err = r.set.SigmaDegrees
		}
		if e.Bound == Interval {
			err *= math.Sqrt(f.both)
		} else {
			err *= math.Sqrt(f.single)
		}
		add := Estimate{Value: o.Degrees - e.Value, Bound: Interval}
		add.Low = add.Value - math.Hypot(e.High-e.Value, err)
		add.High = add.Value + math.Hypot(e.Value-e.Low, err)
		switch e.Bound {
		case AtMost: // the mechanical part may be less, so the unit may give more
			add.Bound, add.High = AtLeast, add.Value
		case AtLeast:
			add.Bound, add.Low = AtMost, add.Value
		case Unknown:
			add = Estimate{Bound: Unknown}
		}
		r.HoseOn = append(r.HoseOn, HoseOn{Place: k, Advance: add})
	}
}

// band is the estimate of the curve at a speed.
func (r *Result) band(rpm float64, falling bool) Estimate {
	f := r.fit.clone()
	low, high := f.span[r.run][0], f.span[r.run][1]
	q := figure{kind: kindAt, run: r.run, rpm: rpm, falling: falling}
	if rpm < low && r.Static.Bound != Interval {
		q.rpm = low
		return f.atMost(q)
	}
	if rpm > high && r.Total.Bound != Interval {
		q.rpm = high
		return f.atLeast(q)
	}
	return f.interval(q)
}

// Band returns the curve (rising) at an engine speed with its 95 % interval,
// crank degrees. Below the lowest reading, where the start was not seen, the
// curve is [AtMost] what it is there; above the highest, where the stop was not
// seen, [AtLeast]. It refuses a speed outside 0 to 20,000 rpm and a Result that
// no fit made.
func (r *Result) Band(rpm float64) (Estimate, error) {
	if err := r.made(); err != nil {
		return Estimate{}, err
	}
	if !(rpm >= 0 && rpm <= maxRPM) {
		return Estimate{}, outOfRange("speed", rpm, "rpm crank", "0 to 20000")
	}
	return r.band(rpm, false), nil
}

// Predict returns the curve (rising) at an engine speed and the ends of its 95 %
// interval, crank degrees. Where the readings know one side only, see
// [Result.Band], it returns an error that wraps [ErrOneSided] and states the
// limit in words.
func (r *Result) Predict(rpm float64) (value, low, high float64, err error) {
	e, err := r.Band(rpm)
	if err != nil {
		return 0, 0, 0, err
	}
	if e.Bound != Interval {
		return 0, 0, 0, fmt.Errorf("%w: the advance at %.6g rpm crank is %s", ErrOneSided, rpm, e.Text(1, "deg crank"))
	}
	return e.Value, e.Low, e.High, nil
}
