package readings

import (
	"math"

	"example.org/bobweight/advance/internal/balance"
)

// coordinate is what a parameter of a curve measures.
type coordinate int

const (
	ofEarly  coordinate = iota // logarithm of the speed at the early point, rpm
	ofSpan                     // logarithm of the root of the rise of squared speed from there to the late point, rpm
	ofShape                    // shape parameter
	ofLag                      // root of the speed by which falling readings lag over commonLag, 0 where it is negative
	ofTakeUp                   // normal quantile of the take-up between its ends
	ofStiff                    // logarithm of the stiffening
	ofHold                     // hold, 0 where it is negative
	coordinates
)

// The early and the late point of the travel. The readings determine the speeds there
// better than those at the very ends, whatever the stages are.
const (
	early = 0.15
	late  = 0.85
)

// slowest is the least start, rpm: below it no engine runs.
const slowest = 50

// Ends of the take-up as a part of the travel, and the longest hold.
const (
	earliest    = 0.08
	latest      = 0.92
	longestHold = 0.8
)

// commonLag is a lag that one mechanism in six exceeds, rpm (common practice, no
// source).
const commonLag = 200

// normal is a normal law of one coordinate.
type normal struct{ mean, sd float64 }

// wide are the laws of the parameters where nothing is known of the parts. Speeds
// are those of road engines within a factor of 2.5 (common practice, no
// source). The shape parameter serves every linkage, see the package balance. Half of
// the second springs have no initial tension to speak of (common practice, no source).
//
// Stiffening follows from the balance n² = S/W of the springs' moment S and the
// weights' W: the slope of n² is (S' - n² W')/W, and the second spring adds its own S₂'
// to S', so that the slopes are in the ratio 1 + S₂'/(S₁' - n² W'). With second springs
// of one to six times the first's rate (common practice, no source) and W' = 0 that is
// 2 to 7. Weights whose moment grows with the angle take from the slope below and make
// it more. The law holds 2 to 10 in 95 of 100 cases.
var wide = [coordinates]normal{
	ofEarly: {math.Log(1250), 0.45}, ofSpan: {math.Log(2200), 0.5}, ofShape: {0, 0.6},
	ofLag: {0, 1}, ofTakeUp: {0, 1}, ofStiff: {1.5, 0.4}, ofHold: {0, 0.15},
}

// family is a set of curves with the law of their parameters: a model among those
// compared. A parameter vector holds the standardised coordinates in order.
type family struct {
	stages int
	listed bool // about the curve of the listed parts
	use    []coordinate
	law    [coordinates]normal
	prior  float64 // probability before the readings
}

// vector holds the standardised coordinates of a curve.
type vector [coordinates]float64

// curve returns the curve at a parameter vector, ready to be asked, and the lag of falling readings. It
// is not ok where squared speed at rest would be below that of the slowest start.
func (f *family) curve(z *vector) (c balance.Curve, at balance.Inverse, lag float64, ok bool) {
	var y [coordinates]float64
	for j, k := range f.use {
		y[k] = f.law[k].mean + f.law[k].sd*z[j]
	}
	c.Shape = y[ofShape]
	for _, k := range f.use {
		switch k {
		case ofLag:
			lag = commonLag * math.Pow(math.Max(y[ofLag], 0), 2)
		case ofTakeUp:
			c.TakeUp = earliest + (latest-earliest)*math.Erfc(-y[ofTakeUp]/math.Sqrt2)/2
			c.Stiffening = math.Exp(y[ofStiff])
			c.Hold = math.Min(math.Max(y[ofHold], 0), longestHold)
		}
	}
	first, span := math.Exp(y[ofEarly]), math.Exp(y[ofSpan])
	at, ok = c.Through([2]float64{early, late}, [2]float64{first, math.Sqrt(first*first + span*span)}, slowest)
	return c, at, lag, ok
}
