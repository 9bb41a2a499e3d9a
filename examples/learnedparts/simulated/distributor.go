package simulated

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// Distributor is the truth that a timing light sees: a mechanism computed exactly,
// with springs "a" and "b" and sets of weights "" and "v".
type Distributor struct {
	Mechanism flyweights.Mechanism // with the springs a and b and the weights ""
	Laws      map[string]springs.Spring
	Heavier   float64 // mass of the weights v over that of the others
	Static    float64 // crank degrees
	curves    map[string]*flyweights.Curve
}

const drive = advance.FourStroke

func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// build is the mechanism with the parts of a combination.
func (d *Distributor) build(c learned.Combination) flyweights.Mechanism {
	m := d.Mechanism
	m.Springs, m.Weights = nil, slices.Clone(m.Weights)
	for i, kind := range c.Springs {
		if kind == "" {
			continue
		}
		s := d.Mechanism.Springs[i]
		s.Law = d.Laws[kind]
		m.Springs = append(m.Springs, s)
	}
	if c.Weights == "v" {
		for i := range m.Weights {
			m.Weights[i].Mass *= d.Heavier
		}
	}
	return m
}

// Curve returns the exact curve of a combination, nil where it has none.
func (d *Distributor) Curve(c learned.Combination) *flyweights.Curve {
	key := c.String()
	if curve, ok := d.curves[key]; ok {
		return curve
	}
	m := d.build(c)
	curve, err := m.Curve(nil)
	if err != nil {
		curve = nil
	}
	d.curves[key] = curve
	return curve
}

// Advance returns the true mechanical advance at an engine speed, crank degrees.
func (d *Distributor) Advance(c learned.Combination, rpm float64) float64 {
	return drive.CrankDegrees(d.Curve(c).Theta(drive.Omega(rpm), flyweights.Rising))
}

// Parts names a combination of a pair of springs, such as "ab", and a set of weights.
func Parts(pair, weights string) learned.Combination {
	c := learned.Combination{Weights: weights}
	for _, k := range pair {
		c.Springs = append(c.Springs, string(k))
	}
	return c
}

// Draw makes a distributor at random, with a pin on the weight in a slot of the cam or
// with meshing teeth, and with a spring b that has a long loop and is taken up on the
// way or with a plain one: two weights half a turn apart whose
// pivots, centres of mass, pins, posts and hooks are scattered about a plausible
// layout, drag of the points and a little friction. It draws again until the pairs
// aa, ab and bb, with both sets of weights, rise without a snap, begin between 700 and 2000 rpm and
// are all in below 4200 rpm; about one in fifteen does. It returns nil after 10,000 that do
// not.
func Draw(rng *rand.Rand, slot, slack bool) *Distributor {
	for range 10000 {
		if d := draw(rng, slot, slack); d.ordinary(slack) {
			return d
		}
	}
	return nil
}

func (d *Distributor) ordinary(slack bool) bool {
	pairs := []string{"aa", "ab", "bb"}
	if slack {
		pairs = pairs[:2] // two slack springs leave the weights loose
	}
	for _, pair := range pairs {
		for _, weights := range []string{"", "v"} {
			c := d.Curve(Parts(pair, weights))
			if c == nil {
				return false
			}
			for _, e := range c.Events(flyweights.Rising) {
				if e.Kind == flyweights.Snap {
					return false
				}
			}
			start, allIn := drive.RPM(c.Start(flyweights.Rising)), drive.RPM(c.AllIn(flyweights.Rising))
			if !(start > 700 && start < 2000 && allIn < 4200 && allIn > start+900) {
				return false
			}
			if travel := drive.CrankDegrees(c.Travel()); !(travel > 14 && travel < 36) {
				return false
			}
		}
	}
	if slack {
		m := d.build(Parts("ab", ""))
		at := d.Laws["b"].TakeUp()
		if !(m.SpringLength(1, 0.15*m.Stop) < at && at < m.SpringLength(1, 0.75*m.Stop)) {
			return false
		}
	}
	return true
}

func draw(rng *rand.Rand, slot, slack bool) *Distributor {
	near := func(x, y, by float64) r2.Vec {
		return r2.Vec{X: x + between(rng, -by, by), Y: y + between(rng, -by, by)}
	}
	weight := flyweights.Weight{
		Mass: between(rng, 0.015, 0.05), Pivot: r2.Vec{X: between(rng, 0.02, 0.03)},
		Centre: near(0.008, -0.016, 0.005),
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := near(-0.012, -0.003, 0.004), near(0, -0.018, 0.004)
	length := r2.Norm(r2.Sub(post, hook))
	law := func() springs.Spring {
		return springs.Spring{
			Rate:           math.Exp(between(rng, math.Log(400), math.Log(6000))),
			FreeLength:     length * between(rng, 0.85, 0.99),
			InitialTension: between(rng, 0, 1.5),
		}
	}
	d := &Distributor{
		Laws:    map[string]springs.Spring{"a": law(), "b": law()},
		Heavier: math.Exp(between(rng, -0.35, 0.35)),
		Static:  between(rng, 0, 18),
		curves:  map[string]*flyweights.Curve{},
	}
	if slack {
		b := d.Laws["b"]
		b.FreeLength = length * between(rng, 0.95, 1)
		b.Slack = between(rng, 0, 0.004)
		d.Laws["b"] = b
	}
	d.Mechanism = flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{Law: d.Laws["a"], A: flyweights.Anchor{Body: flyweights.Plate, Point: post}, B: flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook}},
			{Law: d.Laws["b"], A: flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)}, B: flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)}},
		},
		Stop:     between(rng, 0.08, 0.3),
		Drag:     between(rng, 0.0002, 0.002),
		Friction: flyweights.Friction{Moment: between(rng, 0, 0.0003)},
	}
	if slot {
		d.Mechanism.Linkage = flyweights.PinInSlot{Pivot: weight.Pivot, Pin: near(-0.004, -0.008, 0.003)}
	} else {
		d.Mechanism.Linkage = flyweights.Ratio{K: between(rng, 0.6, 2)}
	}
	return d
}

// Light is how a builder reads: errors of his light and tachometer, and the range of
// speeds.
type Light struct {
	SigmaRPM, SigmaDegrees float64
	Low, High              float64 // rpm
	Readings               int
}

// Usual is twelve readings from 650 to 4100 rpm with errors of 20 rpm and 0.7 crank
// degree.
var Usual = Light{20, 0.7, 650, 4100, 12}

// Read takes a run of readings of a combination with the distributor turned to a
// static timing of its own, or where clamp is not empty to the distributor's.
func (d *Distributor) Read(rng *rand.Rand, c learned.Combination, light Light, clamp string) learned.Run {
	static := d.Static
	if clamp == "" {
		static = between(rng, 0, 18)
	}
	r := learned.Run{Combination: c, Clamp: clamp}
	step := (light.High - light.Low) / float64(max(light.Readings-1, 1))
	for k := range light.Readings {
		rpm := light.Low + step*(float64(k)+between(rng, -0.25, 0.25))
		deg := static + d.Advance(c, rpm) + light.SigmaDegrees*rng.NormFloat64()
		r.Readings = append(r.Readings, readings.Reading{
			RPM:     math.Max(1, rpm+light.SigmaRPM*rng.NormFloat64()),
			Degrees: math.Round(2*deg) / 2,
		})
	}
	return r
}

// Off returns the distributor with a kind of spring whose rate is so many times what
// it was.
func (d *Distributor) Off(kind string, factor float64) *Distributor {
	o := *d
	o.Laws, o.curves = maps.Clone(d.Laws), map[string]*flyweights.Curve{}
	law := o.Laws[kind]
	law.Rate *= factor
	o.Laws[kind] = law
	return &o
}

// Stopped returns the distributor with a stop that leaves so many crank degrees more of
// travel, as far as the linkage goes.
func (d *Distributor) Stopped(by float64) *Distributor {
	o := *d
	o.curves = map[string]*flyweights.Curve{}
	travel := func(stop float64) float64 {
		theta, _, _ := d.Mechanism.Linkage.Cam(stop)
		return math.Abs(drive.CrankDegrees(theta))
	}
	want := travel(d.Mechanism.Stop) + by
	_, most := d.Mechanism.Linkage.Travel()
	lo, hi := 0.0, min(most, 2*d.Mechanism.Stop)
	for range 50 { // the cam turns with the weights
		if mid := (lo + hi) / 2; travel(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	o.Mechanism.Stop = hi
	return &o
}
