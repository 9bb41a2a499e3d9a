package vacuum

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
)

// square is a four-cylinder engine of a displacement in m^3 with stroke equal to bore.
func square(displacement float64, filling ...knock.Filling) knock.Engine {
	bore := math.Cbrt(displacement / math.Pi)
	e := knock.NewEngine(4, bore, bore, 2*bore, 8.5, knock.Fuel{RON: 95, MON: 85})
	e.Filling = filling
	return e
}

// rate is an engine speed in rpm at which the distributor turns at omega rad/s.
func rate(omega float64) float64 { return omega * 60 / math.Pi }

// ordinary is an engine of our own: 1.6 litre, a single throttle of
// 36 mm, a unit behind a fine drilling.
func ordinary() *System {
	return &System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * math.Pi / 180, Discharge: 0.8, Bypass: 8e-6},
		Intake: airpath.Intake{
			Engine: square(1.6e-3, knock.Filling{RPM: rate(30), Efficiency: 0.72}, knock.Filling{RPM: rate(200), Efficiency: 0.85}, knock.Filling{RPM: rate(300), Efficiency: 0.8}),
			Volume: 2.5e-3, Temperature: 320, BackPressure: 2e3, OverlapFactor: 0.4, FilledThrottled: true,
		},
		Air:    air.Ambient{Pressure: 101325, Temperature: 293.15},
		Source: FromManifold,
		Port:   Port{Height: 1.2e-3, Diameter: 1.2e-3},
		Hose:   Hose{Restriction: 2e-7, Volume: 35e-6},
		Unit:   plain(),
	}
}

func TestPortPassesFromAirToManifold(t *testing.T) {
	s := ordinary()
	centre, err := s.Port.opens(s.Throttle)
	if err != nil {
		t.Fatal(err)
	}
	half := s.Port.passed(s.Throttle, centre)
	near(t, "share passed at the centre", half, 0.5, 1e-9)
	last := math.Inf(1)
	for deg := 8.0; deg <= 30; deg += 0.25 {
		p := s.Port.pressure(s.Throttle, deg*math.Pi/180, s.Air, 40e3)
		if !(p <= last) {
			t.Errorf("port pressure rises to %g Pa at %g deg", p, deg)
		}
		last = p
	}
	shut := s.Port.pressure(s.Throttle, s.Throttle.Closed, s.Air, 40e3)
	near(t, "closed", shut, s.Air.Pressure, 0)
	near(t, "open", last, 40e3, 0)
	if _, err := (Port{Height: 0.05, Diameter: 1e-3}).opens(s.Throttle); !errors.Is(err, errRange) {
		t.Errorf("a port out of reach: error %v", err)
	}
}

// Effective areas: the volume of the cone, swept by rings; and the published rolling
// diaphragm.
func TestEffectiveAreas(t *testing.T) {
	const n = 100000
	clamp, plate := 0.06, 0.03
	swept := 0.0
	for i := range n {
		r := (float64(i) + 0.5) / n * clamp / 2
		w := math.Min(1, (clamp/2-r)/(clamp/2-plate/2))
		swept += w * 2 * math.Pi * r * clamp / 2 / n
	}
	a, err := FlatArea(clamp, plate)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "cone", a, swept, 1e-8*a)
	near(t, "cone", a, 1649.34e-6, 5e-9)
	disc, _ := FlatArea(clamp, 0)
	near(t, "share of the disc", disc/(math.Pi/4*clamp*clamp), 1.0/3, 1e-12)

	const inch = 0.0254
	a, _ = ConvolutedArea(3*inch, (3-2*0.156)*inch)
	near(t, "rolling diaphragm", a/(inch*inch), 6.35, 0.005)
	a, _ = ConvolutedArea(clamp, plate)
	near(t, "mean diameter", a, 1590.43e-6, 5e-9)

	if _, err := FlatArea(0.03, 0.06); !errors.Is(err, errRange) {
		t.Errorf("plate beyond clamp: error %v", err)
	}
}

func TestBadHosesAreRefused(t *testing.T) {
	s := ordinary()
	for name, h := range map[string]Hose{
		"leak":      {Restriction: 2e-7, Volume: 35e-6, Leak: 2e-7},
		"no volume": {Restriction: 2e-7, Volume: 1e-6},
		"none":      {},
	} {
		if v, err := h.Chamber(s.Unit, s.Air, 5e4); !errors.Is(err, errRange) || v != 0 {
			t.Errorf("%s: %g, error %v", name, v, err)
		}
	}
	_, err := Hose{Restriction: 2e-7, Volume: 35e-6, Leak: 3e-7}.Chamber(s.Unit, s.Air, 5e4)
	if !errors.Is(err, errRange) || !strings.Contains(err.Error(), "leak larger than supply") {
		t.Errorf("leak larger than supply: %v", err)
	}
}
