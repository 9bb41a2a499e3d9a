package flyweights

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs"
)

// simple returns a mechanism with one weight whose centre stands at a right
// angle to its pivot radius, one spring and a ratio: everything in closed form.
func simple(law springs.Spring) *Mechanism {
	return &Mechanism{
		Weights: []Weight{{Mass: 0.04, Pivot: r2.Vec{X: 0.02}, Centre: r2.Vec{X: 0.02, Y: -0.015}}},
		Springs: []Spring{{Law: law, A: Anchor{Plate, r2.Vec{X: -0.01, Y: -0.015}}, B: Anchor{OnWeight(0), r2.Vec{X: 0.02, Y: -0.015}}}},
		Linkage: Ratio{K: 1.5}, Stop: 0.2,
	}
}

// With the pivot at (a, 0) and the arm c at a right angle below it, the moment
// of the weight is m a c cos phi. The hook moves from (a, -c) along the circle
// about the pivot, so the length follows from Pythagoras.
func TestSpeedSquaredClosedForm(t *testing.T) {
	law := springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5}
	m := simple(law)
	for _, phi := range []float64{0, 0.05, 0.1, 0.2} {
		dx, dy := 0.02+0.015*math.Sin(phi)+0.01, -0.015*math.Cos(phi)+0.015
		length := math.Sqrt(dx*dx + dy*dy)
		slope := (dx*0.015*math.Cos(phi) + dy*0.015*math.Sin(phi)) / length
		want := (1.5 + 1500*(length-0.028)) * slope / (0.04 * 0.02 * 0.015 * math.Cos(phi))
		got, err := m.SpeedSquared(phi)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "omega^2", got, want, 1e-12*want)
	}
	for _, phi := range []float64{-0.01, 0.21, math.NaN()} {
		if _, err := m.SpeedSquared(phi); !errors.Is(err, errRange) {
			t.Errorf("swing %g: error %v", phi, err)
		}
	}
}

// The sweep is the inverse of the closed form: reading the curve at the speed
// of a position gives the position back, for every linkage, at swings that are
// not samples of the table.
func TestSweepInverse(t *testing.T) {
	for name := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(1, 2))
		worst := 0.0
		for range 15 {
			m := randomMechanism(t, rnd, name)
			c, err := m.Curve(nil)
			if err != nil {
				t.Fatal(name, err)
			}
			highest := 0.0
			passed := c.samples // at a spring's take-up the speed may peak between samples
			for i := range 2000 {
				phi := m.Stop * (float64(i) + 0.37) / 2000
				for ; len(passed) > 0 && passed[0].phi < phi; passed = passed[1:] {
					highest = math.Max(highest, passed[0].rise)
				}
				u, err := m.SpeedSquared(phi)
				if err != nil {
					t.Fatal(name, err)
				}
				clear := u > highest*(1+1e-5) // else unstable: the sweep skips it
				highest = math.Max(highest, u)
				if !clear || i%10 != 5 {
					continue
				}
				theta, slope, _ := m.Linkage.Cam(phi)
				// Where the curve is nearly flat in speed an error of the table is
				// magnified into angle: compare in the better of both senses.
				at := c.Phi(math.Sqrt(u), Rising)
				back, err := m.SpeedSquared(math.Min(at, m.Stop))
				if err != nil {
					t.Fatal(name, err)
				}
				off := math.Min(math.Abs(at-phi)/m.Stop, math.Abs(back-u)/u)
				worst = math.Max(worst, off)
				within(t, name+" theta", c.Theta(math.Sqrt(u), Rising), theta+slope*(at-phi), 1e-7*m.Stop*slope)
			}
		}
		t.Logf("%s: worst relative error of the table %.2g", name, worst)
		if !(worst <= 1e-8) {
			t.Errorf("%s: the table is off by %g of the stop or of the speed", name, worst)
		}
	}
}

// A sweep never falls, the rising one never lies above the falling one, and both
// run from 0 to the stop, with friction and slack in play.
func TestSweepsMonotoneAndOrdered(t *testing.T) {
	for name := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(3, 4))
		for tried := 0; tried < 40; {
			m := randomMechanism(t, rnd, name)
			m.Friction = Friction{Moment: 0.01 * rnd.Float64(), Proportion: 0.1 * rnd.Float64()}
			for i := range m.Springs[1:] {
				m.Springs[i+1].Law.Slack = 0.004 * rnd.Float64()
			}
			if !m.springsHold() {
				continue
			}
			tried++
			c, err := m.Curve(nil)
			if err != nil {
				t.Fatal(name, err)
			}
			top := 1.2 * c.AllIn(Rising)
			omegas := make([]float64, 400)
			for i := range omegas {
				omegas[i] = top * float64(i) / 399
			}
			up, down := c.Sweep(nil, omegas, Rising), c.Sweep(nil, omegas, Falling)
			for i := range omegas {
				if up[i] != c.Theta(omegas[i], Rising) || down[i] != c.Theta(omegas[i], Falling) {
					t.Fatalf("%s: sweep and single reading differ at %g rad/s", name, omegas[i])
				}
				if !(up[i] <= down[i]+1e-12) {
					t.Errorf("%s: rising %g above falling %g at %g rad/s", name, up[i], down[i], omegas[i])
				}
				if i > 0 && !(up[i] >= up[i-1]-1e-14 && down[i] >= down[i-1]-1e-14) {
					t.Errorf("%s: a sweep falls at %g rad/s", name, omegas[i])
				}
			}
			if up[0] != 0 || up[399] != c.Travel() || down[399] != c.Travel() {
				t.Errorf("%s: ends %g, %g, %g of travel %g", name, up[0], up[399], down[399], c.Travel())
			}
		}
	}
}

// Without preload the advance starts at standstill; a rigid spring allows none.
func TestLimits(t *testing.T) {
	c, err := simple(springs.Spring{Rate: 1500, FreeLength: 0.03}).Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "start without preload", c.Start(Rising), 0, 1e-6)
	if !(c.Theta(1, Rising) > 0) {
		t.Errorf("no advance at 1 rad/s without preload")
	}
	c, err = simple(springs.Spring{Rate: 1e12, FreeLength: 0.0299}).Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "advance of a rigid spring at 1000 rad/s", c.Theta(1000, Rising), 0, 0)
	c, err = simple(springs.Spring{Rate: 1e12, FreeLength: 0.03}).Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "advance of a rigid spring that just touches", c.Theta(1000, Rising), 0, 1e-6)

	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.03})
	m.Springs = nil
	if c, err = m.Curve(nil); err != nil {
		t.Fatal(err)
	}
	within(t, "advance without springs", c.Theta(0.1, Rising), 1.5*0.2, 1e-15)
}

// All speeds scale with the square root of stiffness over mass (similarity of
// the balance), and position does not.
func TestSimilarity(t *testing.T) {
	a := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	b := simple(springs.Spring{Rate: 3 * 1500, FreeLength: 0.028, InitialTension: 3 * 1.5})
	b.Weights[0].Mass *= 0.7
	ca, err := a.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	cb, err := b.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	k := math.Sqrt(3 / 0.7)
	for _, omega := range []float64{50, 80, 120, 150, 200} {
		within(t, "scaled curve", cb.Theta(k*omega, Rising), ca.Theta(omega, Rising), 1e-12)
	}
}

// Friction widens the sweep by exactly ±F at every position.
func TestFrictionBand(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5})
	m.Friction = Friction{Moment: 0.002, Proportion: 0.05}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, phi := range []float64{0.03, 0.11, 0.17} {
		s := m.SpringMoment(0, phi)
		f := 0.002 + 0.05*s
		w := m.WeightMoment(0, phi)
		within(t, "rising", c.Phi(math.Sqrt((s+f)/w), Rising), phi, 1e-9)
		within(t, "falling", c.Phi(math.Sqrt((s-f)/w), Falling), phi, 1e-9)
	}
}

// Drag on the cam holds it back by Drag g'(phi).
func TestDrag(t *testing.T) {
	m := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
	free, err := m.SpeedSquared(0.1)
	if err != nil {
		t.Fatal(err)
	}
	m.Drag = 0.01
	held, err := m.SpeedSquared(0.1)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "drag", held-free, 0.01*1.5/m.WeightMoment(0, 0.1), 1e-9)
}

func TestSlope(t *testing.T) {
	c, err := simple(springs.Spring{Rate: 1500, FreeLength: 0.028, InitialTension: 1.5}).Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range []Direction{Rising, Falling} {
		omega := (c.Start(dir) + c.AllIn(dir)) / 2
		const h = 1e-3
		within(t, "slope "+dir.String(), c.slope(omega, dir), (c.Theta(omega+h, dir)-c.Theta(omega-h, dir))/(2*h), 1e-8)
		within(t, "slope below start", c.slope(c.Start(dir)/2, dir), 0, 0)
		within(t, "slope above all-in", c.slope(c.AllIn(dir)*2, dir), 0, 0)
	}
}

func TestReadingIsTotal(t *testing.T) {
	c, err := simple(springs.Spring{Rate: 1500, FreeLength: 0.028}).Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	var zero Curve
	for _, dir := range []Direction{Rising, Falling, Direction(7)} {
		within(t, "NaN", c.Theta(math.NaN(), dir), 0, 0)
		within(t, "infinite speed", c.Theta(math.Inf(1), dir), c.Travel(), 0)
		within(t, "backwards", c.Theta(-120, dir), c.Theta(120, dir), 0)
		within(t, "zero curve", zero.Theta(100, dir)+zero.Phi(100, dir)+zero.slope(100, dir)+zero.Start(dir)+zero.AllIn(dir)+zero.Travel(), 0, 0)
	}
	if len(zero.Events(Rising)) != 0 {
		t.Error("a zero curve has events")
	}
}

// Reusing a curve gives the same answers as a fresh one and allocates nothing.
func TestReuse(t *testing.T) {
	var c Curve
	heavy := simple(springs.Spring{Rate: 9000, FreeLength: 0.028, Slack: 0.003, InitialTension: 4})
	light := simple(springs.Spring{Rate: 1500, FreeLength: 0.028})
	if _, err := heavy.Curve(&c); err != nil {
		t.Fatal(err)
	}
	if _, err := light.Curve(&c); err != nil {
		t.Fatal(err)
	}
	fresh, err := light.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	omegas := []float64{300, 10, 100, 50, 200}
	got := c.Sweep(nil, omegas, Falling)
	for i, want := range fresh.Sweep(nil, omegas, Falling) {
		within(t, "reused", got[i], want, 0)
	}
	allocs := testing.AllocsPerRun(100, func() {
		if _, err := light.Curve(&c); err != nil {
			t.Fatal(err)
		}
		got = c.Sweep(got, omegas, Rising)
		got = c.Sweep(got, omegas, Falling)
	})
	if allocs != 0 {
		t.Errorf("%g allocations into given memory", allocs)
	}
}
