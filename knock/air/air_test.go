package air

import (
	"errors"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %.3g", what, got, want, tol)
	}
}

// Values of the U.S. Standard Atmosphere 1976, geometric altitude tables, read in
// the test data of a public fluids library: five digits of pressure, density,
// hundredths of a kelvin.
func TestStandardAtmosphere(t *testing.T) {
	for _, c := range []struct{ z, temperature, pressure, density float64 }{
		{0, 288.15, 101325, 1.2250},
		{2000, 275.15, 79501, 1.0066},
		{5000, 255.68, 54048, 0.73643},
	} {
		a, err := Standard(c.z)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "temperature", a.Temperature, c.temperature, 0.005)
		near(t, "pressure", a.Pressure, c.pressure, 0.5)
		near(t, "density", a.Density(), c.density, 0.5e-4)
	}
	near(t, "exponent", exponent, 5.25588, 5e-6)
}

// The hydrostatic law dp/dH = -g p/(R T), by a method that does not know the
// closed form: central differences of the pressure.
func TestStandardAtmosphereIsHydrostatic(t *testing.T) {
	for z := -900.0; z <= 10900; z += 590 {
		const dz = 1.0
		lo, _ := Standard(z - dz)
		mid, _ := Standard(z)
		hi, _ := Standard(z + dz)
		g := gravity * math.Pow(earthRadius/(earthRadius+z), 2)
		near(t, "pressure fall", (lo.Pressure-hi.Pressure)/(2*dz), g*mid.Density(), 2e-6*g*mid.Density())
	}
}

// Published cases of isentropic flow, read in open companions to the textbooks.
func TestIsentropicFlow(t *testing.T) {
	// Munson, Young, Okiishi, Fundamentals of Fluid Mechanics, example 11.5: air at
	// 101 kPa, 288 K, 1.23 kg/m^3 through 1e-4 m^2. The source's density is 0.6 per
	// cent above p/(R T); it enters the flow in proportion.
	const rho, temperature = 1.23, 288.0
	denser := rho * Dry.R * temperature / 101e3
	for _, c := range []struct{ back, want, tol float64 }{{80e3, 0.0201, 0.00005}, {40e3, 0.024, 0.0005}} {
		got, err := Dry.Flow(1e-4, 101e3, temperature, c.back)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mass flow", got*denser, c.want, c.tol)
	}
	// Moran, Shapiro, Fundamentals of Engineering Thermodynamics, example 9.14.
	for _, c := range []struct{ back, want float64 }{{500e3, 2.13}, {784e3, 1.79}} {
		got, err := Dry.Flow(1e-3, 1e6, 360, c.back)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mass flow", got, c.want, 0.005)
	}
	// Cengel, Boles, Thermodynamics, example 17-4: carbon dioxide, k = 1.289.
	p, temp := Gas{R: 188.9, K: 1.289}.Critical()
	near(t, "critical temperature", temp*473, 413, 0.5)
	near(t, "critical pressure", p*1400, 767, 0.5)
	// Gupta, Fundamentals of Internal Combustion Engines, example 9.3: the throat's
	// speed at a depression of 0.06 bar, with the source's cp of 1005 J/(kg K).
	air := Gas{R: 1005 * 0.4 / 1.4, K: 1.4}
	speed, err := air.Speed(1e5, 298, 0.94e5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "throat speed", speed, 102.5, 0.05)
	back, density, err := air.Throat(1e5, 298, speed)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "throat pressure", back, 0.94e5, 1e-6)
	flow, _ := air.Flow(1, 1e5, 298, back)
	near(t, "flow from speed and density", density*speed, flow, 1e-9)
}

// At the critical ratio the speed is that of sound, and no back pressure below it
// draws more: the flow function has its maximum there.
func TestChokingIsTheMaximum(t *testing.T) {
	for _, g := range []Gas{Dry, {R: 188.9, K: 1.289}, {R: 2077, K: 5.0 / 3}} {
		p, temp := g.Critical()
		speed, err := g.Speed(1e5, 300, p*1e5)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "speed of sound", speed, math.Sqrt(g.K*g.R*300*temp), 1e-9)
		last := 0.0
		for r := 1.0; r >= 0; r -= 0.001 {
			m, err := g.Flow(1, 1e5, 300, math.Max(0, r)*1e5)
			if err != nil {
				t.Fatal(err)
			}
			if !(m >= last*(1-1e-15)) {
				t.Errorf("k %g: flow falls to %g at ratio %g", g.K, m, r)
			}
			last = m
		}
	}
}

func TestBetweenBalancesBothFlows(t *testing.T) {
	for _, in := range []float64{1e-9, 3e-7, 1e-6, 1e-4} {
		for _, low := range []float64{20e3, 60e3, 95e3, 101e3} {
			p := Between(in, 101e3, 1e-6, low)
			a, b := Through(in, 101e3, p, 300), Through(1e-6, p, low, 300)
			near(t, "flow out", b, a, 1e-12*Through(1e-6+in, 101e3, 0, 300))
		}
	}
	// Equal openings and a small difference: Bernoulli puts the pressure halfway.
	near(t, "pressure between", Between(1e-6, 100100, 1e-6, 99900), 100000, 0.5)
}

func TestBadAirIsRefused(t *testing.T) {
	sea := Ambient{Pressure: 101325, Temperature: 293}
	for name, f := range map[string]func() (float64, error){
		"vacuum above atmosphere": func() (float64, error) { return sea.Vacuum(-1) },
		"boost":                   func() (float64, error) { return sea.Vacuum(102e3) },
		"no pressure":             func() (float64, error) { return sea.Vacuum(math.NaN()) },
		"back pressure above":     func() (float64, error) { return Dry.Flow(1e-4, 1e5, 300, 1.1e5) },
		"frozen":                  func() (float64, error) { return Dry.Flow(1e-4, 1e5, 0, 1e5) },
		"odd gas":                 func() (float64, error) { return Gas{}.Flow(1e-4, 1e5, 300, 1e4) },
		"too fast":                func() (float64, error) { p, _, err := Dry.Throat(1e5, 300, 1e4); return p, err },
		"too high":                func() (float64, error) { a, err := Standard(12000); return a.Pressure, err },
	} {
		if v, err := f(); !errors.Is(err, errRange) || v != 0 {
			t.Errorf("%s: %g, error %v", name, v, err)
		}
	}
	if p, temp := (Gas{R: 287, K: 9}).Critical(); p != 0 || temp != 0 {
		t.Errorf("critical state of no gas: %g, %g", p, temp)
	}
}

// Flow through an opening has a sign and no direction of its own; what no opening
// and no air is passes nothing.
func TestThroughIsOddAndTotal(t *testing.T) {
	a, b := Through(1e-5, 9e4, 4e4, 290), Through(1e-5, 4e4, 9e4, 290)
	checked, err := Dry.Flow(1e-5, 9e4, 290, 4e4)
	if err != nil || a != checked || a != -b {
		t.Errorf("%g, back %g, checked %g, error %v", a, b, checked, err)
	}
	nan := math.NaN()
	for _, x := range []float64{Through(nan, 1, 2, 3), Through(1, nan, 2, 3), Through(1, 2, nan, 3), Through(1, 2, 1, nan), Through(-1, 2, 1, 300), Through(1, math.Inf(1), 1, 300), Between(nan, 2, 1, 1), Between(0, 2, 0, 1), Between(1, 1, 1, 2), Between(1, 2, 1, nan)} {
		if x != 0 {
			t.Errorf("%g out of nothing", x)
		}
	}
}
