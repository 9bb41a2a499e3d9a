package balance

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// errRange is wrapped by every error of this package.
var errRange = valid.Sentinel("balance")

// Curve is an advance curve of one or two stages, the travel taken as 1.
type Curve struct {
	Start float64 // speed at which the advance begins, rpm, more than 0
	AllIn float64 // speed at which the stop is reached, rpm, more than Start and 0.001 to 1e6
	Shape float64 // alpha, -100 to 100
	// TakeUp is the travelled part at which a slack spring is taken up, more than 0
	// and less than 1; 0 is a curve of one stage.
	TakeUp float64
	// Stiffening is the slope of squared speed over angle just after the take-up over
	// that just before, more than 0; 0 means 1.
	Stiffening float64
	// Hold is the share of AllIn² - Start² by which squared speed rises at the take-up
	// while the advance stands still, 0 or more and less than 1.
	Hold float64
}

// Check refuses fields outside their ranges.
func (c Curve) Check() error {
	const most = 1e6
	for _, f := range []struct {
		name, unit, valid string
		value             float64
		ok                bool
	}{
		{"start", "rpm", "more than 0 and below all-in", c.Start, c.Start > 0 && c.Start < c.AllIn},
		{"all-in", "rpm", "more than the start and 0.001 to 1e6", c.AllIn, c.AllIn >= 1e-3 && c.AllIn <= most},
		{"shape parameter", "", "-100 to 100", c.Shape, math.Abs(c.Shape) <= maxShape},
		{"take-up", "", "0 to below 1", c.TakeUp, c.TakeUp >= 0 && c.TakeUp < 1},
		{"stiffening", "", "0.001 to 1000, or 0 for 1", c.Stiffening, c.Stiffening == 0 || c.Stiffening >= 1e-3 && c.Stiffening <= 1e3},
		{"hold", "", "0 to below 1", c.Hold, c.Hold >= 0 && c.Hold < 1},
	} {
		if !f.ok {
			return valid.Refuse(errRange, f.name, f.value, f.unit, f.valid)
		}
	}
	return nil
}

// staged reports whether the curve has two stages.
func (c *Curve) staged() bool { return c.TakeUp > 0 && c.TakeUp < 1 }

// stage returns the share of squared speed's rise at the take-up, before and after
// the hold.
func (c *Curve) stage() (before, after float64) {
	var first, second float64 // shares of the rise without stiffening
	if k := 2 * c.Shape; math.Abs(k) > straight && math.Abs(k) < 20 {
		part, whole := math.Expm1(k*c.TakeUp), math.Expm1(k)
		first, second = part, whole-part // their ratio is all that counts
	} else {
		first, _, _ = rise(c.TakeUp, c.Shape)
		second, _, _ = rise(1-c.TakeUp, -c.Shape) // 1 - first without its rounding
	}
	stiff := c.Stiffening
	if !(stiff > 0) {
		stiff = 1
	}
	hold := part(c.Hold)
	// Of what the hold leaves, the two stages take first and stiff second.
	before = (1 - hold) * first / (first + stiff*second)
	return before, before + hold
}

// Speeds returns the speeds, rpm, at which the advance stands at the travelled part
// x: one, or at the take-up of a spring with initial tension the two ends of the
// hold. At rest and at the stop they are the start and all-in. x is held between 0
// and 1.
func (c Curve) Speeds(x float64) (low, high float64) {
	at := func(u float64) float64 {
		return math.Max(c.Start, math.Sqrt(c.Start*c.Start+(c.AllIn-c.Start)*(c.AllIn+c.Start)*u))
	}
	i := c.Inverse()
	low, high = i.share(x)
	return at(low), at(high)
}

// Inverse is a curve made ready to be asked at many speeds.
type Inverse struct {
	start, allIn, square, scale float64
	takeUp, before, after       float64
	first, second               branch
}

// branch is one stage: the travelled part of it over the share of its rise, and back.
type branch struct{ k, e, per float64 }

func branchOf(alpha float64) branch {
	k := 2 * held(alpha)
	if math.Abs(k) < straight/100 {
		return branch{k: k}
	}
	return branch{k: k, e: math.Expm1(-math.Abs(k)), per: 1 / math.Abs(k)}
}

// at is travelled without its derivatives.
func (b *branch) at(u float64) float64 {
	switch {
	case b.per == 0:
		return u + b.k*u*(1-u)/2
	case b.k > 0: // ln(1 + u (exp(k) - 1)) = k + ln(1 + (1-u) (exp(-k) - 1))
		return 1 + b.per*math.Log(1+(1-u)*b.e)
	}
	return -b.per * math.Log(1+u*b.e)
}

// share is rise without its derivatives.
func (b *branch) share(x float64) float64 {
	switch {
	case b.per == 0:
		return x - b.k*x*(1-x)/2
	case b.k > 0:
		return 1 - math.Expm1(-b.k*(1-x))/b.e
	}
	return math.Expm1(b.k*x) / b.e
}

// share returns the share of squared speed's rise that is reached at the travelled
// part x: one value, or at the take-up of a spring with initial tension the two ends
// of the hold. x is held between 0 and 1.
func (i *Inverse) share(x float64) (low, high float64) {
	x = part(x)
	var u float64
	switch {
	case x == i.takeUp && i.before < 1:
		return i.before, i.after
	case x <= i.takeUp: // a part of a curve of the family is again one of it
		u = i.before * i.first.share(x/i.takeUp)
	default:
		u = i.after + (1-i.after)*i.second.share((x-i.takeUp)/(1-i.takeUp))
	}
	return u, u
}

// between gives the curve other speeds of start and all-in, rpm, more than 0 and
// rising; its shape stays.
func (i *Inverse) between(start, allIn float64) {
	i.start, i.allIn, i.square = start, allIn, start*start
	i.scale = 1 / ((allIn - start) * (allIn + start))
}

// Inverse makes the curve ready to be asked at many speeds.
func (c Curve) Inverse() Inverse {
	var i Inverse
	i.between(c.Start, c.AllIn)
	if !c.staged() {
		i.before = 1
		i.takeUp = 1
		i.first = branchOf(c.Shape)
		return i
	}
	i.takeUp = c.TakeUp
	i.before, i.after = c.stage()
	i.first, i.second = branchOf(c.Shape*c.TakeUp), branchOf(c.Shape*(1-c.TakeUp))
	return i
}

// Travelled returns the travelled part at a speed, rpm: 0 up to the start, 1 from
// all-in on, and 0 of a nil one.
func (i *Inverse) Travelled(rpm float64) float64 {
	if i == nil || !(rpm > i.start) {
		return 0
	}
	if rpm >= i.allIn {
		return 1
	}
	u := part((rpm*rpm - i.square) * i.scale)
	switch {
	case u < i.before:
		return part(i.takeUp * i.first.at(u/i.before))
	case u <= i.after:
		return i.takeUp
	}
	return part(i.takeUp + (1-i.takeUp)*i.second.at((u-i.after)/(1-i.after)))
}

// Both returns the travelled parts at two speeds near each other, rpm, to 1e-8: where both
// lie in one stage one logarithm serves.
func (i *Inverse) Both(a, b float64) (at, bt float64) {
	if i == nil || !(a > i.start && b > i.start && a < i.allIn && b < i.allIn) {
		return i.Travelled(a), i.Travelled(b)
	}
	u, v := part((a*a-i.square)*i.scale), part((b*b-i.square)*i.scale)
	switch {
	case u < i.before && v < i.before:
		at, bt = i.first.both(u/i.before, v/i.before)
		return part(i.takeUp * at), part(i.takeUp * bt)
	case u > i.after && v > i.after && i.before < 1:
		rest := 1 - i.after
		at, bt = i.second.both((u-i.after)/rest, (v-i.after)/rest)
		return part(i.takeUp + (1-i.takeUp)*at), part(i.takeUp + (1-i.takeUp)*bt)
	}
	return i.Travelled(a), i.Travelled(b)
}

// both is at for two shares. The difference of the logarithms is the series of the
// inverse hyperbolic tangent (Abramowitz and Stegun, Handbook of Mathematical Functions,
// 1964, 4.1.27).
func (b *branch) both(u, v float64) (x, y float64) {
	if b.per == 0 {
		return b.at(u), b.at(v)
	}
	base, sign := 0.0, -b.per
	if b.k > 0 {
		u, v, base, sign = 1-u, 1-v, 1, b.per
	}
	p, q := 1+u*b.e, 1+v*b.e
	t := (q - p) / (q + p)
	if !(math.Abs(t) < 0.12) {
		return base + sign*math.Log(p), base + sign*math.Log(q)
	}
	s := t * t
	half, apart := math.Log(p*q)/2, t*(1+s*(1.0/3+s*(1.0/5+s/7)))
	return base + sign*(half-apart), base + sign*(half+apart)
}

// Through gives the curve the speeds of start and all-in with which it passes through
// two points: the travelled part x and its speed, rpm, both rising and more than 0. It
// returns the curve made ready to be asked, and false where the squared speed at rest
// would not exceed that of slowest, rpm, or the curve is nil.
func (c *Curve) Through(x, rpm [2]float64, slowest float64) (Inverse, bool) {
	if c == nil {
		return Inverse{}, false
	}
	c.Start, c.AllIn = 1, 2 // until the shape is known
	i := c.Inverse()
	low, _ := i.share(x[0])
	high, _ := i.share(x[1])
	rise := (rpm[1] - rpm[0]) * (rpm[1] + rpm[0]) / (high - low)
	square := rpm[0]*rpm[0] - low*rise
	if !(square > slowest*slowest) {
		return i, false
	}
	c.Start, c.AllIn = math.Sqrt(square), math.Sqrt(square+rise)
	i.between(c.Start, c.AllIn)
	return i, true
}
