package readings

import (
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// Result is the curve of one run with its uncertainty. Angles are crank degrees,
// speeds engine rpm. Several goroutines may ask it at once.
type Result struct {
	Model    Model       // the curve chosen
	Criteria []Candidate // the table it was chosen from

	Static Estimate // timing below the start, crank degrees
	Start  Estimate // speed at which the advance begins, rpm
	AllIn  Estimate // speed at which the stop is reached, rpm
	Travel Estimate // mechanical advance from start to stop, crank degrees
	Total  Estimate // static and travel, crank degrees
	// Slopes are the mean slopes of the stages, crank degrees per 1,000 rpm.
	Slopes []Estimate
	Knees  []Estimate // speed at which a second spring is taken up, rpm
	// Hysteresis is how many rpm the falling marks lag behind the rising ones; it
	// is Unknown unless there are readings both ways.
	Hysteresis Estimate

	Readings  []Reading // as given
	Residuals []float64 // reading less curve at its speed, crank degrees; hose-on readings too
	Outliers  []int     // places in Readings of the probable outliers
	// Scatter is the root mean square of the standardised errors of the readings
	// that are not outliers: near 1 where the errors stated are right.
	Scatter float64
	// HoseOn is what the vacuum unit added at each reading with the hose on, crank
	// degrees, the reading's own error included, by its place in Readings.
	HoseOn map[int]Estimate
	// Curve is the likeliest curve between the outermost readings.
	Curve advance.Curve

	fit *posterior
	set Settings
}

// result states the estimates.
func (p *posterior) result(rs []Reading, places []int, s *Settings) *Result {
	r := &Result{
		Criteria: p.criteria(), Readings: slices.Clone(rs),
		fit: p, set: *s, Hysteresis: Estimate{Bound: Unknown},
	}
	for _, c := range r.Criteria {
		if c.Chosen {
			r.Model = c.Model
		}
	}
	p.estimate(r)
	r.judge(places)
	r.draw()
	r.hoseOn()
	return r
}

// A quantity is stated on one side only from so probable a start below the lowest
// reading, or stop above the highest, on. Below it the interval holds the curves whose
// start or stop was not seen with their share. Three level readings on top, which a
// workshop takes for the stop, leave up to one chance in six of a second spring that holds
// the weights there.
const (
	startUnseen = 0.1
	stopUnseen  = 0.2
)

// Shares from which on curves of one stage and of two, or with the start below all
// readings and among them, count each by themselves.
const (
	openStages = 0.35
	openStart  = 0.1
)

// estimate finds the intervals.
func (p *posterior) estimate(r *Result) {
	if r.Model.Slopes == 0 {
		half := 1.96 * p.level.size / math.Sqrt(float64(len(p.obs)))
		v := p.level.static
		r.Static, r.Total = Estimate{Value: v, High: v + half, Bound: AtMost}, Estimate{Value: v, Low: v - half, Bound: AtLeast}
		r.Start, r.AllIn, r.Travel = Estimate{Bound: Unknown}, Estimate{Bound: Unknown}, Estimate{Bound: Unknown}
		return
	}
	p.sides(r)
	for i := range r.Criteria {
		m := &r.Criteria[i].Model
		m.StartSeen, m.AllInSeen = r.Model.StartSeen, r.Model.AllInSeen
	}
	p.stages(r)
	if p.bothWays {
		r.Hysteresis = p.interval(func(s *sample) float64 { return s.lag })
	}
}

// sides estimates both ends of the curve and what lies between them. A side is open
// where it is too probable that no reading shows the start (or the stop).
func (p *posterior) sides(r *Result) {
	start := p.probability(p.hiddenStart) < startUnseen
	stop := p.probability(func(s *sample) bool { return s.curve.AllIn > p.high }) < stopUnseen
	// A fact from elsewhere shows what no reading does.
	travel := r.set.KnownTravel != nil && (start || stop)
	start, stop = start || travel || r.set.KnownStatic != nil, stop || travel
	r.Model.StartSeen, r.Model.AllInSeen = start, stop
	from, to := 0.0, float64(everAfter)
	if start {
		r.Static = p.interval(func(s *sample) float64 { return s.static })
		r.Start = p.interval(func(s *sample) float64 { return s.curve.Start })
	} else {
		from = p.low
		r.Static = p.atMost(func(s *sample) float64 { return s.advance(p.low) })
		r.Start = p.atMost(func(s *sample) float64 { return s.curve.Start })
	}
	if stop {
		r.Total = p.interval(func(s *sample) float64 { return s.static + s.travel })
		r.AllIn = p.forEither(ofTwoStages, openStages, func(s *sample) float64 { return s.curve.AllIn })
	} else {
		to = p.high
		r.Total = p.atLeast(func(s *sample) float64 { return s.advance(p.high) })
		r.AllIn = p.atLeastForEither(ofTwoStages, openStages, func(s *sample) float64 { return s.curve.AllIn })
	}
	if start && stop {
		r.Travel = p.interval(func(s *sample) float64 { return s.travel })
	} else {
		r.Travel = p.atLeast(func(s *sample) float64 { return s.advance(to) - s.advance(from) })
	}
}

// everAfter is a speed above every stop, rpm.
const everAfter = 10 * maxRPM

// stages estimates the slopes and the take-up of the stages over the curves that have
// as many.
func (p *posterior) stages(r *Result) {
	const perThousand = 1000
	some := &posterior{best: p.best, samples: make([]sample, 0, len(p.samples))}
	for _, s := range p.samples {
		if (s.curve.TakeUp > 0) == (r.Model.Slopes == 2) {
			some.samples = append(some.samples, s)
		}
	}
	some.even()
	if r.Model.Slopes == 1 {
		r.Slopes = []Estimate{some.interval(func(s *sample) float64 {
			return perThousand * s.travel / (s.curve.AllIn - s.curve.Start)
		})}
		return
	}
	r.Slopes = []Estimate{
		some.interval(func(s *sample) float64 {
			low, _ := s.curve.Speeds(s.curve.TakeUp)
			return perThousand * s.travel * s.curve.TakeUp / (low - s.curve.Start)
		}),
		some.interval(func(s *sample) float64 {
			_, high := s.curve.Speeds(s.curve.TakeUp)
			return perThousand * s.travel * (1 - s.curve.TakeUp) / (s.curve.AllIn - high)
		}),
	}
	r.Knees = []Estimate{some.interval(func(s *sample) float64 {
		low, _ := s.curve.Speeds(s.curve.TakeUp)
		return low
	})}
}

// namedFrom is the chance from which on one of so many readings is named a probable
// outlier: less than even, since to read it again costs less than a slip believed. Of
// fewer than eight each bears too much of the curve for that.
func namedFrom(readings int) float64 {
	if readings < 8 {
		return 0.5
	}
	return 1.0 / 3
}

// judge names the outliers and measures the scatter about the likeliest curve.
func (r *Result) judge(places []int) {
	p := r.fit
	r.Residuals = make([]float64, len(r.Readings))
	sum, count := 0.0, 0
	for k, o := range p.obs {
		n := o.rpm
		if o.falling {
			n += p.best.lag
		}
		res := o.deg - p.best.advance(n)
		r.Residuals[places[k]] = res
		slope := (p.best.advance(n+instant) - p.best.advance(n-instant)) / (2 * instant)
		z := res / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
		if p.outlier[k] > namedFrom(len(p.obs)) {
			r.Outliers = append(r.Outliers, places[k])
			continue
		}
		sum += z * z
		count++
	}
	r.Scatter = math.Sqrt(sum / math.Max(float64(count), 1))
}

// instant is the distance in speed, rpm, over which a slope is taken.
const instant = 10

// draw makes the curve through the ends of the stages and points along them.
func (r *Result) draw() {
	p := r.fit
	low, high := p.low, p.high
	speeds := []float64{low, high}
	c := &p.best.curve
	add := func(a, b float64) {
		const pieces = 12
		for k := range pieces + 1 {
			n := a + (b-a)*float64(k)/pieces
			if n > low && n < high {
				speeds = append(speeds, n)
			}
		}
	}
	if c.TakeUp > 0 {
		from, to := c.Speeds(c.TakeUp)
		add(c.Start, from)
		add(to, c.AllIn)
	} else {
		add(c.Start, c.AllIn)
	}
	slices.Sort(speeds)
	speeds = slices.Compact(speeds)
	points := make([]advance.Point, len(speeds))
	for k, n := range speeds {
		points[k] = advance.Point{RPM: n, Degrees: p.best.advance(n)}
	}
	r.Curve, _ = advance.NewCurve(points) // sorted and finite: cannot be refused
}

// hoseOn compares the readings with the hose on with the mechanical curve.
func (r *Result) hoseOn() {
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
		err *= r.fit.size * e.sides()
		add := Estimate{Value: o.Degrees - e.Value, Bound: e.Bound}
		switch e.Bound {
		case Interval:
			add.Low, add.High = add.Value-math.Hypot(e.High-e.Value, err), add.Value+math.Hypot(e.Value-e.Low, err)
		case AtMost: // the mechanical part may be less, so the unit may give more
			add.Bound, add.Low = AtLeast, add.Value-math.Hypot(e.High-e.Value, err)
		case AtLeast:
			add.Bound, add.High = AtMost, add.Value+math.Hypot(e.Value-e.Low, err)
		case Unknown:
			add = Estimate{Bound: Unknown}
		}
		if r.HoseOn == nil {
			r.HoseOn = map[int]Estimate{}
		}
		r.HoseOn[k] = add
	}
}

// sides is the normal quantile of an estimate's ends: 95 % between two or on one
// side.
func (e Estimate) sides() float64 {
	if e.Bound == Interval {
		return 1.959964
	}
	return 1.644854
}

// band is the estimate of the curve at a speed.
func (r *Result) band(rpm float64, falling bool) Estimate {
	p := r.fit
	at := func(s *sample) float64 {
		n := rpm
		if falling {
			n += s.lag
		}
		return s.advance(n)
	}
	if r.Model.Slopes == 0 {
		half := 1.96 * p.level.size / math.Sqrt(float64(len(p.obs)))
		e := Estimate{Value: p.level.static, Low: p.level.static - half, High: p.level.static + half}
		switch {
		case rpm < p.low:
			e.Bound, e.Low = AtMost, 0
		case rpm > p.high:
			e.Bound, e.High = AtLeast, 0
		}
		return e
	}
	if rpm < p.low && r.Static.Bound != Interval {
		rpm = p.low
		return p.atMost(at)
	}
	if rpm > p.high && r.Total.Bound != Interval {
		rpm = p.high
		return p.atLeast(at)
	}
	if rpm < p.low3 && r.Static.Bound != Interval {
		return p.forEither(p.hiddenStart, openStart, at)
	}
	return p.interval(at)
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
		return Estimate{}, valid.Refuse(errRange, "speed", rpm, "rpm crank", "0 to 20000")
	}
	return r.band(rpm, false), nil
}
