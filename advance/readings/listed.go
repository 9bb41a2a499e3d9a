package readings

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/balance"
	"example.org/bobweight/flyweights"
)

// Listed returns the curve that the parts of a mechanism should give, for
// [Settings.Listed]: its start, all-in, shape, and the first spring that is taken up
// on the way. It refuses a curve that jumps, for which no such curve stands, and one
// whose start or stop no speed reaches.
func Listed(c *flyweights.Curve, d advance.Drive) (balance.Curve, error) {
	if err := d.Check(); err != nil {
		return balance.Curve{}, fmt.Errorf("readings: listed parts: %w", err)
	}
	if c == nil {
		return balance.Curve{}, fmt.Errorf("%w: there is no curve of the listed parts", errRange)
	}
	out := balance.Curve{Start: d.RPM(c.Start(flyweights.Rising)), AllIn: d.RPM(c.AllIn(flyweights.Rising))}
	if err := out.Check(); err != nil {
		return balance.Curve{}, fmt.Errorf("%w: listed parts: %w", errRange, err)
	}
	square := out.AllIn*out.AllIn - out.Start*out.Start
	for _, e := range c.Events(flyweights.Rising) {
		at := e.Theta / c.Travel()
		switch {
		case e.Kind == flyweights.Snap:
			return balance.Curve{}, fmt.Errorf("%w: the curve of the listed parts jumps at %.6g rpm crank, valid is one without a jump", errRange, d.RPM(e.Omega))
		case out.TakeUp > 0 || !(at > earliest && at < latest):
		case e.Kind == flyweights.Hold:
			low, high := d.RPM(e.Omega), d.RPM(e.ToOmega)
			out.TakeUp, out.Hold = at, math.Min((high*high-low*low)/square, longestHold)
			out.Stiffening = stiffening(c, d, low, high)
		case e.Kind == flyweights.Knee:
			n := d.RPM(e.Omega)
			out.TakeUp, out.Stiffening = at, stiffening(c, d, n, n)
		}
	}
	out.Shape = nearestShape(out, func(rpm float64) float64 { return c.Theta(d.Omega(rpm), flyweights.Rising) / c.Travel() })
	return out, nil
}

// stiffening is the slope of squared speed over angle above one speed over that below
// another, held in the range of what springs give.
func stiffening(c *flyweights.Curve, d advance.Drive, low, high float64) float64 {
	const step = 20 // rpm
	theta := func(rpm float64) float64 { return c.Theta(d.Omega(rpm), flyweights.Rising) }
	before := (theta(low) - theta(low-step)) / (step * (2*low - step))
	after := (theta(high+step) - theta(high)) / (step * (2*high + step))
	ratio := before / after
	if !(ratio > 0.1) {
		return 0.1
	}
	return math.Min(ratio, 20)
}

// nearestShape is the shape parameter with which a curve follows a travelled part
// best, by its largest difference: a golden section between the shapes of a corner.
func nearestShape(c balance.Curve, travelled func(rpm float64) float64) float64 {
	off := func(alpha float64) float64 {
		c.Shape = alpha
		at := c.Inverse()
		worst := 0.0
		for k := 1; k < 24; k++ {
			n := c.Start + (c.AllIn-c.Start)*float64(k)/24
			worst = math.Max(worst, math.Abs(at.Travelled(n)-travelled(n)))
		}
		return worst
	}
	const golden = 0.6180339887498949
	low, high := -4.0, 4.0
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := off(a), off(b)
	for range 30 {
		if fa < fb {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = off(a)
		} else {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = off(b)
		}
	}
	return (low + high) / 2
}

// Spread of the parameters about those of listed parts: rates within 15 %, take-up
// within a tenth of the travel (common practice, no source).
var aboutListed = [coordinates]float64{
	ofEarly: 0.08, ofSpan: 0.08, ofShape: 0.2, ofTakeUp: 0.25, ofStiff: 0.3, ofHold: 0.05,
}

// listedPrior is the probability that the listed parts are the fitted ones.
const listedPrior = 0.5

// listedFamily returns the curves about that of the listed parts.
func listedFamily(c *balance.Curve, use []coordinate) family {
	f := family{stages: 1, listed: true, use: use, prior: listedPrior}
	set := func(k coordinate, mean float64) { f.law[k] = normal{mean, aboutListed[k]} }
	first, _ := c.Speeds(early)
	last, _ := c.Speeds(late)
	set(ofEarly, math.Log(first))
	set(ofSpan, math.Log(last*last-first*first)/2)
	set(ofShape, c.Shape)
	f.law[ofLag] = wide[ofLag]
	if c.TakeUp > 0 {
		f.stages = 2
		part := math.Min(math.Max((c.TakeUp-earliest)/(latest-earliest), 0.01), 0.99)
		set(ofTakeUp, -math.Sqrt2*math.Erfcinv(2*part))
		set(ofStiff, math.Log(c.Stiffening))
		set(ofHold, c.Hold)
	}
	return f
}
