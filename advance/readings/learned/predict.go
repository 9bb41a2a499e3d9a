package learned

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/valid"
)

// Prediction is the curve of a combination, fitted or not, as the runs let it be
// known: mechanical advance over engine speed, rising, as the first run's tachometer
// shows it.
type Prediction struct {
	Start, AllIn readings.Estimate // engine rpm
	Travel       readings.Estimate // crank degrees
	// FromStop is set where no run shows the start and one shows the stop, and where
	// degrees below the stop are better known than degrees of advance.
	// [Prediction.BelowStop] then comes first, and the timing is set at the stop.
	FromStop bool
	// From and To are the crank degrees of advance between which readings determine the
	// curve. Outside it is continued by the shape of the shares, with the band that this
	// leaves.
	From, To float64
	Notes    []string      // sentences to print
	Look     []string      // kinds of spring to look at, whether they hang loose while the weights rest
	Curve    advance.Curve // the medians of Advance, between standstill and beyond all-in

	angles []float64
	curves [][]float64 // squared speeds of each draw
	travel []float64
}

// predict adds and divides the parts of a combination and returns its curve. A
// combination whose parts stand in the table is not by that alone determined.
func (t *table) predict(c Combination) (*Prediction, error) {
	parts, err := t.find(c)
	if err != nil {
		return nil, err
	}
	n := len(parts.travel.draws)
	if n < 2 {
		return nil, fmt.Errorf("%w: the table holds %d draws, valid is 2 or more", errRange, n)
	}
	p := &Prediction{angles: t.angles, travel: parts.travel.draws}
	start, allIn := make([]float64, n), make([]float64, n)
	for i := range n {
		v := t.add(nil, &parts, i)
		p.curves = append(p.curves, v)
		start[i] = math.Sqrt(v[0])
		allIn[i] = math.Sqrt(along(t.angles, v, p.travel[i]))
	}
	p.Start, p.AllIn = middle(start), middle(allIn)
	p.Travel = middle(slices.Clone(p.travel))
	p.FromStop = p.stopFirst()
	return p, p.draw()
}

// along is the never falling v at an angle, linear between the nodes.
func along(x, v []float64, at float64) float64 {
	j, _ := slices.BinarySearch(x, at)
	switch {
	case j == 0:
		return v[0]
	case j >= len(x):
		return v[len(v)-1]
	case x[j] == x[j-1]:
		return v[j]
	}
	return v[j-1] + (v[j]-v[j-1])*(at-x[j-1])/(x[j]-x[j-1])
}

// advance is the mechanical advance of a draw at an engine speed.
func (p *Prediction) advance(draw int, rpm float64) float64 {
	return math.Min(p.travel[draw], invert(p.angles, p.curves[draw], rpm*rpm))
}

func (p *Prediction) collect(rpm float64, of func(draw int) float64) (readings.Estimate, error) {
	if p == nil || len(p.curves) == 0 {
		return readings.Estimate{}, fmt.Errorf("%w: the prediction is empty, valid is one that Predict returned", errRange)
	}
	if !(rpm >= 0 && rpm <= 20000) {
		return readings.Estimate{}, valid.Refuse(errRange, "speed", rpm, "rpm crank", "0 to 20000")
	}
	v := make([]float64, len(p.curves))
	for i := range v {
		v[i] = of(i)
	}
	return fromZero(v), nil
}

// Advance returns the mechanical advance at an engine speed of 0 to 20,000 rpm,
// crank degrees above the static timing, with its 95 % interval.
func (p *Prediction) Advance(rpm float64) (readings.Estimate, error) {
	return p.collect(rpm, func(i int) float64 { return p.advance(i, rpm) })
}

// BelowStop returns by how many crank degrees the advance at an engine speed of 0 to
// 20,000 rpm lies below the full travel, with its 95 % interval.
func (p *Prediction) BelowStop(rpm float64) (readings.Estimate, error) {
	return p.collect(rpm, func(i int) float64 { return p.travel[i] - p.advance(i, rpm) })
}

// stopFirst compares the mean widths of both ways of counting, at speeds of equal steps of
// advance: between rest and a stop that both were seen neither is better.
func (p *Prediction) stopFirst() bool {
	var up, down float64
	const steps = 12
	for k := range steps {
		rpm := p.speed(p.Travel.Value * (float64(k) + 0.5) / steps)
		a, errA := p.Advance(rpm)
		b, errB := p.BelowStop(rpm)
		if errA != nil || errB != nil {
			return false
		}
		up += a.High - a.Low
		down += b.High - b.Low
	}
	return down < 0.75*up
}

// speed is the engine speed at which the curve reaches an advance, in the median.
func (p *Prediction) speed(advance float64) float64 {
	v := make([]float64, len(p.curves))
	for i, squares := range p.curves {
		v[i] = math.Sqrt(along(p.angles, squares, math.Min(advance, p.travel[i])))
	}
	return middle(v).Value
}

// draw fills Curve with the medians.
func (p *Prediction) draw() error {
	top := math.Min(20000, 1.1*p.AllIn.High)
	const steps = 100
	var points []advance.Point
	for k := range steps + 1 {
		rpm := top * float64(k) / steps
		e, err := p.Advance(rpm)
		if err != nil {
			return err
		}
		points = append(points, advance.Point{RPM: rpm, Degrees: e.Value})
	}
	var err error
	p.Curve, err = advance.NewCurve(points)
	return err
}
