package balance

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
	"gonum.org/v1/gonum/integrate/quad"
)

var shapes = []float64{-100, -30, -3, -1.1, -0.4, -1e-3, -4e-4, -1e-6, 0, 1e-9, 5.1e-4, 4.9e-4, 0.02, 0.8, 1.5, 7, 60, 100}

// The closed form is the integral that defines it, by Gauss and Legendre's rule.
func TestRiseIsTheIntegral(t *testing.T) {
	for _, alpha := range shapes {
		if math.Abs(alpha) > 7 {
			continue // too steep for the rule
		}
		f := func(z float64) float64 { return math.Exp(alpha * z) }
		whole := quad.Fixed(f, -1, 1, 40, nil, 0)
		for x := 0.05; x < 1; x += 0.05 {
			got, dx, _ := rise(x, alpha)
			if want := quad.Fixed(f, -1, 2*x-1, 40, nil, 0) / whole; !(math.Abs(got-want) <= 1e-13) {
				t.Errorf("I(%g; %g) = %.15g, integral %.15g", x, alpha, got, want)
			}
			if want := 2 * f(2*x-1) / whole; !(math.Abs(dx-want) <= 1e-12*(1+want)) {
				t.Errorf("dI/dx(%g; %g) = %.15g, integrand %.15g", x, alpha, dx, want)
			}
		}
	}
}

// Derivatives by alpha agree with central differences, and the inverse with the
// function, for straight and for steep curves.
func TestDerivativesAndInverse(t *testing.T) {
	for _, alpha := range shapes {
		last := -1.0
		for x := 0.0; x <= 1; x += 1.0 / 32 {
			u, dx, by := rise(x, alpha)
			if !(u >= last && u <= 1 && dx >= 0) {
				t.Errorf("I(%g; %g) = %g after %g, slope %g", x, alpha, u, last, dx)
			}
			last = u
			const h = 1e-5
			if math.Abs(alpha) < 99 {
				up, _, _ := rise(x, alpha+h)
				down, _, _ := rise(x, alpha-h)
				if want := (up - down) / (2 * h); !(math.Abs(by-want) <= 1e-9) {
					t.Errorf("dI/dalpha(%g; %g) = %.12g, differences %.12g", x, alpha, by, want)
				}
			}
			back, du, da := travelled(u, alpha)
			if math.Abs(alpha) > 7 {
				continue // u has lost what x was
			}
			if !(math.Abs(back-x) <= 1e-9) {
				t.Errorf("inverse of I(%g; %g) is %.12g", x, alpha, back)
			}
			if !(math.Abs(du*dx-1) <= 1e-6) || !(math.Abs(da*dx+by) <= 1e-8*(1+math.Abs(da*dx))) {
				t.Errorf("derivatives of the inverse at x = %g, alpha = %g: %g, %g", x, alpha, du, da)
			}
		}
	}
}

// random returns curves of one and two stages.
func random(rng *rand.Rand) Curve {
	c := Curve{Start: 300 + 1500*rng.Float64(), Shape: 4*rng.Float64() - 2}
	c.AllIn = c.Start + 100 + 4000*rng.Float64()
	if rng.IntN(2) == 0 {
		c.TakeUp = 0.05 + 0.9*rng.Float64()
		c.Stiffening = 0.5 + 6*rng.Float64()
		if rng.IntN(2) == 0 {
			c.Hold = 0.5 * rng.Float64()
		}
	}
	return c
}

// Speed from angle and angle from speed agree, rise together, and the slope of
// squared speed breaks at the take-up by the stiffening.
func TestCurve(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 0))
	for range 500 {
		c := random(rng)
		if err := c.Check(); err != nil {
			t.Fatal(err)
		}
		if low, _ := c.Speeds(0); !(math.Abs(low-c.Start) <= 1e-9) {
			t.Errorf("%+v: at rest %g rpm", c, low)
		}
		if low, _ := c.Speeds(1); !(math.Abs(low-c.AllIn) <= 1e-9) {
			t.Errorf("%+v: at the stop %g rpm", c, low)
		}
		at := c.Inverse()
		last := 0.0
		for x := 1.0 / 64; x < 1; x += 1.0 / 64 {
			low, high := c.Speeds(x)
			if !(low > last && high >= low) {
				t.Errorf("%+v: %g to %g rpm at %g after %g", c, low, high, x, last)
			}
			last = high
			if got := at.Travelled(low); !(math.Abs(got-x) <= 1e-9) {
				t.Errorf("%+v: at %g rpm travelled %.12g, want %.12g", c, low, got, x)
			}
		}
		if c.TakeUp == 0 {
			continue
		}
		low, high := c.Speeds(c.TakeUp)
		if got := at.Travelled((low + high) / 2); !(math.Abs(got-c.TakeUp) <= 1e-9) {
			t.Errorf("%+v: within the hold %.12g", c, got)
		}
		share := (high*high - low*low) / (c.AllIn*c.AllIn - c.Start*c.Start)
		if !(math.Abs(share-c.Hold) <= 1e-9) {
			t.Errorf("%+v: hold %g", c, share)
		}
		const h = 1e-6
		before, _ := c.Speeds(c.TakeUp - h)
		after, _ := c.Speeds(c.TakeUp + h)
		ratio := (after*after - high*high) / (low*low - before*before)
		if !(math.Abs(ratio/c.Stiffening-1) <= 1e-4) {
			t.Errorf("%+v: slopes in the ratio %g", c, ratio)
		}
	}
}

// Two speeds asked together give what each gives alone.
func TestBoth(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 0))
	for range 3000 {
		c := random(rng)
		at := c.Inverse()
		a := c.Start - 100 + (c.AllIn-c.Start+200)*rng.Float64()
		b := a + 300*rng.Float64()*rng.Float64()
		x, y := at.Both(a, b)
		if wx, wy := at.Travelled(a), at.Travelled(b); !(math.Abs(x-wx) <= 1e-8 && math.Abs(y-wy) <= 1e-8) {
			t.Errorf("%+v at %g and %g rpm: %.12g and %.12g, alone %.12g and %.12g", c, a, b, x, y, wx, wy)
		}
	}
	var none *Inverse
	if x, y := none.Both(1000, 1050); x != 0 || y != 0 {
		t.Errorf("none gives %g and %g", x, y)
	}
}

func TestCheckRefuses(t *testing.T) {
	good := Curve{Start: 900, AllIn: 3000, TakeUp: 0.4, Stiffening: 3, Hold: 0.1}
	for name, change := range map[string]func(c *Curve){
		"start":      func(c *Curve) { c.Start = 0 },
		"all-in":     func(c *Curve) { c.AllIn = math.Inf(1) },
		"order":      func(c *Curve) { c.AllIn = 800 },
		"shape":      func(c *Curve) { c.Shape = math.NaN() },
		"take-up":    func(c *Curve) { c.TakeUp = 1 },
		"stiffening": func(c *Curve) { c.Stiffening = -1 },
		"hold":       func(c *Curve) { c.Hold = 1 },
	} {
		c := good
		change(&c)
		if err := c.Check(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

func FuzzCurve(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(900.0, 3000.0, 0.5, 0.4, 3.0, 0.1, 0.3, 1500.0)
	f.Add(1.5e-217, 2.8e-162, 0.5, 0.4, 3.0, 0.1, math.MaxFloat64, 1500.0) // both squares lose their digits
	f.Add(6e-221, 3000.0, 0.5, 0.4, 3.0, 0.1, -1.0, 1500.0)                // whose square is 0
	f.Add(math.Inf(1), math.NaN(), 1e300, -1.0, math.Inf(-1), 2.0, math.NaN(), 5e-324)
	f.Fuzz(func(t *testing.T, start, allIn, shape, takeUp, stiff, hold, x, rpm float64) {
		for _, v := range [2]float64{x, rpm} {
			if a, b, c := rise(v, shape); math.IsNaN(a+b+c) || math.IsInf(a+b+c, 0) {
				t.Errorf("rise(%g, %g) = %g, %g, %g", v, shape, a, b, c)
			}
			if a, _, _ := travelled(v, shape); !(a >= 0 && a <= 1) {
				t.Errorf("travelled(%g, %g) = %g", v, shape, a)
			}
		}
		c := Curve{Start: start, AllIn: allIn, Shape: shape, TakeUp: takeUp, Stiffening: stiff, Hold: hold}
		if c.Check() != nil {
			return
		}
		at := c.Inverse()
		if got := at.Travelled(rpm); !(got >= 0 && got <= 1) {
			t.Errorf("%+v travelled %g at %g rpm", c, got, rpm)
		}
		if low, high := c.Speeds(x); !(low > 0 && high >= low && high <= 1.000001*allIn) {
			t.Errorf("%+v speeds %g to %g at %g", c, low, high, x)
		}
	})
}

// A curve through two points passes through them with its shape.
func TestThrough(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 0))
	for range 200 {
		want := random(rng)
		x := [2]float64{0.15, 0.85}
		low, _ := want.Speeds(x[0])
		high, _ := want.Speeds(x[1])
		got := want
		got.Start, got.AllIn = 0, 0
		if _, ok := got.Through(x, [2]float64{low, high}, 50); !ok || !(math.Abs(got.Start-want.Start) <= 1e-6) || !(math.Abs(got.AllIn-want.AllIn) <= 1e-6) {
			t.Errorf("through two points of %+v: %+v, %v", want, got, ok)
		}
	}
	var c Curve
	if _, ok := c.Through([2]float64{0.1, 0.9}, [2]float64{100, 4000}, 50); ok {
		t.Errorf("a squared speed below 0 at rest was taken: %+v", c)
	}
}
