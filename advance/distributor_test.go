package advance_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/vacuum"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/valid"
)

// slider is a mechanism with a closed form: two weights that slide straight out
// from radius r0 by s = phi * 1 m/rad against a spring each, whose tension is
// k (s + e). Equilibrium is m w^2 (r0 + s) = k (s + e).
const (
	sliderMass, sliderR0, sliderK, sliderE = 0.02, 0.03, 1500.0, 0.001
	sliderStop                             = 0.006 // m of slide, rad of swing
)

func slider(t testing.TB) *flyweights.Curve {
	t.Helper()
	m := flyweights.Mechanism{Linkage: flyweights.Ratio{K: 10}, Stop: sliderStop}
	for i, sign := range []float64{1, -1} {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: sliderMass, Centre: r2.Vec{X: sign * sliderR0}, Slide: r2.Vec{X: sign},
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: sliderK, FreeLength: 0.02},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: sign * (sliderR0 - 0.02 - sliderE)}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Vec{X: sign * sliderR0}},
		})
	}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func distributor(t testing.TB) advance.Distributor {
	return advance.Distributor{
		Drive: advance.FourStroke, Static: 8, Mechanism: slider(t), Delay: 50e-6,
		Vacuum: &vacuum.Unit{Area: 2e-3, Rate: 4000, Preload: 12, Travel: 4e-3, ArmRadius: 0.025},
	}
}

// Total against the sum written out by hand: the slider's speed at a given slide
// is closed, the vacuum unit's rod moves (A p - F)/k, its arm turns by
// asin(x/r), and the delay is 6 degrees per ms and 1000 rpm.
func TestTotalIsTheSumOfItsParts(t *testing.T) {
	d := distributor(t)
	const degree = math.Pi / 180
	for _, s := range []float64{0.001, 0.003, 0.005} {
		omega := math.Sqrt(sliderK * (s + sliderE) / (sliderMass * (sliderR0 + s)))
		rpm := omega / (2 * math.Pi) * 60 * 2 // a four-stroke distributor turns at half crank speed
		const port = 12e3                     // Pa: 24 N against 12 N of preload, 3 mm of rod
		want := 8 + 2*10*s/degree + 2*math.Asin(3e-3/0.025)/degree - 6*0.05*rpm/1000
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			got, err := d.Total(rpm, port, dir)
			if err != nil {
				t.Fatal(err)
			}
			if !(math.Abs(got-want) <= 1e-6) {
				t.Errorf("%v at %.1f rpm: %.9f deg, want %.9f", dir, rpm, got, want)
			}
		}
	}
}

func TestMechanicalIsHeldByItsStops(t *testing.T) {
	d := distributor(t)
	if a := d.Mechanical(0, flyweights.Rising); a != 0 {
		t.Errorf("standing still it shows %g deg", a)
	}
	travel := d.Drive.CrankDegrees(10 * sliderStop)
	if a := d.Mechanical(20000, flyweights.Rising); !(math.Abs(a-travel) <= 1e-9) {
		t.Errorf("at 20000 rpm it shows %g deg, want the whole travel %g", a, travel)
	}
	if a := (&advance.Distributor{}).Mechanical(3000, flyweights.Rising); a != 0 {
		t.Errorf("without a mechanism it shows %g deg", a)
	}
}

func TestTotalRefuses(t *testing.T) {
	for name, spoil := range map[string]func(d *advance.Distributor, rpm, port *float64){
		"zero value":  func(d *advance.Distributor, _, _ *float64) { *d = advance.Distributor{} },
		"no curve":    func(d *advance.Distributor, _, _ *float64) { d.Mechanism = nil },
		"static":      func(d *advance.Distributor, _, _ *float64) { d.Static = math.NaN() },
		"delay":       func(d *advance.Distributor, _, _ *float64) { d.Delay = -1 },
		"speed":       func(_ *advance.Distributor, rpm, _ *float64) { *rpm = math.Inf(1) },
		"port":        func(d *advance.Distributor, _, port *float64) { d.Vacuum = nil; *port = -1 },
		"port beyond": func(d *advance.Distributor, _, port *float64) { d.Vacuum = nil; *port = math.NaN() },
	} {
		d, rpm, port := distributor(t), 1000.0, 0.0
		spoil(&d, &rpm, &port)
		if _, err := d.Total(rpm, port, flyweights.Rising); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: error is %v", name, err)
		}
	}
	d := distributor(t)
	if _, err := d.Total(1000, math.NaN(), flyweights.Rising); !errors.Is(err, valid.ErrRange) {
		t.Errorf("vacuum NaN: error is %v", err)
	}
	d.Vacuum = &vacuum.Unit{}
	if _, err := d.Total(1000, 0, flyweights.Rising); !errors.Is(err, valid.ErrRange) {
		t.Errorf("empty unit: error is %v", err)
	}
}

func ExampleDistributor_Total() {
	m := flyweights.Mechanism{
		Linkage: flyweights.Ratio{K: 10}, Stop: 0.02,
		Weights: []flyweights.Weight{{Mass: 0.02, Centre: r2.Vec{X: 0.03}, Slide: r2.Vec{X: 1}}},
		Springs: []flyweights.Spring{{
			Law: springs.Spring{Rate: 1500, FreeLength: 0.02},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: 0.009}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{X: 0.03}},
		}},
	}
	curve, err := m.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	d := advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve}
	for _, rpm := range []float64{800, 1500, 2500} {
		total, err := d.Total(rpm, 0, flyweights.Rising)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f rpm: %.1f deg\n", rpm, total)
	}
	// Output:
	//  800 rpm: 10.0 deg
	// 1500 rpm: 11.8 deg
	// 2500 rpm: 18.7 deg
}

// Whatever the numbers, a distributor is refused or gives finite degrees; nil is
// refused with a sentence.
func FuzzDistributor(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(2.0, 8.0, 50e-6, 2e-3, 4e-3, 1500.0, 3e4)
	f.Add(0.5, -60.0, 0.0, 5e-324, 1.0, 20000.0, 0.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e300, math.MaxFloat64, math.NaN(), math.Inf(-1))
	f.Fuzz(func(t *testing.T, drive, static, delay, area, travel, rpm, port float64) {
		d := distributor(t)
		d.Drive, d.Static, d.Delay = advance.Drive(drive), static, delay
		d.Vacuum.Area, d.Vacuum.Travel = area, travel
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			total, err := d.Total(rpm, port, dir)
			fuzzing.Finite(t, "total", err, total)
			if d.Check() == nil {
				fuzzing.Finite(t, "mechanical", nil, d.Mechanical(rpm, dir))
			}
		}
	})
}

func TestNilDistributorIsRefused(t *testing.T) {
	var d *advance.Distributor
	if err := d.Check(); !errors.Is(err, valid.ErrRange) {
		t.Errorf("error %v", err)
	}
	if _, err := d.Total(1000, 0, flyweights.Rising); !errors.Is(err, valid.ErrRange) {
		t.Errorf("total: error %v", err)
	}
}
