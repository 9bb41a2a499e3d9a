package advance_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.org/bobweight/advance"
	"github.com/google/go-cmp/cmp"

	"example.org/bobweight/springs/valid"
)

// One revolution is 2 pi rad, a minute 60 s, and a four-stroke distributor turns
// at half crank speed (common practice, no source).
func TestDriveHalvesOnce(t *testing.T) {
	d := advance.FourStroke
	if w := d.Omega(3000); !(math.Abs(w-2*math.Pi*25) <= 1e-12*w) {
		t.Errorf("3000 rpm crank is %g rad/s at the distributor, want 25 turns a second", w)
	}
	if a := d.CrankDegrees(math.Pi / 12); !(math.Abs(a-30) <= 1e-12) {
		t.Errorf("15 deg of the distributor are %g deg crank, want 30", a)
	}
	if a := advance.CrankSpeed.CrankDegrees(math.Pi / 6); !(math.Abs(a-30) <= 1e-12) {
		t.Errorf("30 deg at crank speed are %g deg crank", a)
	}
}

func TestDriveRoundTrips(t *testing.T) {
	for _, d := range []advance.Drive{advance.FourStroke, advance.CrankSpeed, 3} {
		for _, x := range []float64{0, 1, 850.5, 6000} {
			if got := d.RPM(d.Omega(x)); !(math.Abs(got-x) <= 1e-12*math.Abs(x)) {
				t.Errorf("drive %g: %g rpm came back as %g", d, x, got)
			}
			if got := d.CrankDegrees(d.ShaftRadians(x)); !(math.Abs(got-x) <= 1e-12*math.Abs(x)) {
				t.Errorf("drive %g: %g deg came back as %g", d, x, got)
			}
		}
	}
}

func TestDriveCheck(t *testing.T) {
	for _, d := range []advance.Drive{0, -2, 5, 5e-324, advance.Drive(math.NaN()), advance.Drive(math.Inf(1))} {
		if err := d.Check(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("drive %g: error is %v", d, err)
		}
	}
	if err := advance.FourStroke.Check(); err != nil {
		t.Error(err)
	}
}

// At 6000 rpm the crank turns 36 degrees in a millisecond.
func TestDelayDegrees(t *testing.T) {
	if d := advance.DelayDegrees(1e-3, 6000); !(math.Abs(d-36) <= 1e-12) {
		t.Errorf("1 ms at 6000 rpm is %g deg", d)
	}
}

func TestCurve(t *testing.T) {
	points := []advance.Point{{RPM: 600, Degrees: 10}, {RPM: 2600, Degrees: 34}}
	c, err := advance.NewCurve(points)
	if err != nil {
		t.Fatal(err)
	}
	points[0].Degrees = 99 // the curve keeps its own copy
	if d := cmp.Diff([]advance.Point{{RPM: 600, Degrees: 10}, {RPM: 2600, Degrees: 34}}, c.Points()); d != "" {
		t.Error(d)
	}
	for _, p := range []advance.Point{{600, 10}, {1600, 22}, {2600, 34}} {
		if got, err := c.At(p.RPM); err != nil || got != p.Degrees {
			t.Errorf("at %g rpm: %g, %v; want %g", p.RPM, got, err, p.Degrees)
		}
	}
	for _, p := range []advance.Point{{0, 10}, {599, 10}, {2601, 34}, {9000, 34}} {
		if got, err := c.Held(p.RPM); err != nil || got != p.Degrees {
			t.Errorf("held at %g rpm: %g, %v; want %g", p.RPM, got, err, p.Degrees)
		}
		if _, err := c.At(p.RPM); !errors.Is(err, valid.ErrRange) {
			t.Errorf("at %g rpm, outside: error is %v", p.RPM, err)
		}
	}
}

func TestCurveRefuses(t *testing.T) {
	for name, points := range map[string][]advance.Point{
		"none":     nil,
		"repeated": {{600, 10}, {600, 12}},
		"falling":  {{900, 10}, {600, 12}},
		"negative": {{-1, 10}},
		"NaN rpm":  {{math.NaN(), 10}},
		"NaN deg":  {{600, math.NaN()}},
		"Inf":      {{math.Inf(1), 10}},
	} {
		if _, err := advance.NewCurve(points); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: error is %v", name, err)
		}
	}
	var zero advance.Curve
	if _, err := zero.At(0); !errors.Is(err, valid.ErrRange) {
		t.Errorf("empty curve: error is %v", err)
	}
	if _, err := zero.Held(1000); !errors.Is(err, valid.ErrRange) {
		t.Errorf("empty curve, held: error is %v", err)
	}
	c, _ := advance.NewCurve([]advance.Point{{600, 10}})
	if _, err := c.Held(math.NaN()); !errors.Is(err, valid.ErrRange) {
		t.Errorf("held at NaN: error is %v", err)
	}
}

func ExampleDrive() {
	d := advance.FourStroke
	fmt.Printf("%.0f rpm of the distributor is %.0f rpm of the engine\n", 1300.0, d.RPM(1300*2*math.Pi/60))
	fmt.Printf("6 degrees of its cam are %.0f crank degrees\n", d.CrankDegrees(6*math.Pi/180))
	// Output:
	// 1300 rpm of the distributor is 2600 rpm of the engine
	// 6 degrees of its cam are 12 crank degrees
}

func ExampleCurve() {
	c, err := advance.NewCurve([]advance.Point{{RPM: 600, Degrees: 10}, {RPM: 2600, Degrees: 34}})
	if err != nil {
		fmt.Println(err)
		return
	}
	idle, _ := c.At(800)
	fmt.Printf("%.1f deg at 800 rpm\n", idle)
	_, err = c.At(4000)
	fmt.Println(err)
	// Output:
	// 12.4 deg at 800 rpm
	// advance: value out of range: speed is 4000 rpm crank, valid is 600 to 2600 rpm crank
}
