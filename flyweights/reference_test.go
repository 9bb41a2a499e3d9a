package flyweights_test

import (
	"math"
	"testing"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/reference"
)

// Full mechanisms, one or more for every linkage, rising and falling, agree with
// curves made by SciPy from the contact conditions and differences of energies.
// The differences limit the reference to about 1e-9 of the travel, and the
// table of the curve is good to 1e-8 of the squared speed.
func TestReferenceCurves(t *testing.T) {
	curves, _, err := reference.Load("testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(curves) < 12 {
		t.Fatalf("%d mechanisms, want 12 or more", len(curves))
	}
	for _, r := range curves {
		t.Run(r.Name, func(t *testing.T) {
			if err := r.Mechanism.Check(); err != nil {
				t.Fatal(err)
			}
			c, err := r.Mechanism.Curve(nil)
			if err != nil {
				t.Fatal(err)
			}
			worst, between := 0.0, 0
			for i, omega := range r.Speeds {
				for dir, want := range map[flyweights.Direction]float64{flyweights.Rising: r.Rising[i], flyweights.Falling: r.Falling[i]} {
					got := c.Theta(omega, dir)
					worst = math.Max(worst, math.Abs(got-want)/c.Travel())
					if !(math.Abs(got-want) <= 1e-8*c.Travel()) {
						t.Errorf("%s at %.4f rad/s: %.9f, SciPy %.9f", dir, omega, got, want)
					}
					if want > 0 && want < 0.999*c.Travel() {
						between++
					}
				}
			}
			t.Logf("worst difference %.2g of the travel, %d readings between the stops", worst, between)
			if between < 4 {
				t.Errorf("only %d readings between the stops", between)
			}
		})
	}
}
