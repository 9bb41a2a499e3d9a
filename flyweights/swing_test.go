package flyweights_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"

	"example.org/bobweight/springs/valid"
)

// The swing found turns the cam by what was asked for, to rounding, and what no
// linkage reaches is refused.
func TestSwingInvertsTheLinkage(t *testing.T) {
	for _, l := range []flyweights.Linkage{
		flyweights.Ratio{K: 0.8},
		flyweights.PinInSlot{Pivot: r2.Vec{X: 0.023}, Pin: r2.Vec{X: 0.008, Y: -0.006}},
	} {
		_, hi := l.Travel()
		most, _, _ := l.Cam(hi)
		for _, part := range []float64{0, 0.1, 0.5, 0.99} {
			want := part * math.Min(most, 1)
			phi, err := flyweights.Swing(l, want)
			if err != nil {
				t.Fatal(err)
			}
			if got, _, _ := l.Cam(phi); !(math.Abs(got-want) <= 4e-16) {
				t.Errorf("%T: a swing of %g turns the cam by %g, want %g", l, phi, got, want)
			}
		}
		for _, bad := range []float64{-1e-9, math.Nextafter(most, 9) + 1e-9, math.NaN(), math.Inf(1)} {
			if _, err := flyweights.Swing(l, bad); !errors.Is(err, valid.ErrRange) {
				t.Errorf("%T: a turn of %g gave the error %v", l, bad, err)
			}
		}
	}
	if _, err := flyweights.Swing(nil, 0.1); !errors.Is(err, valid.ErrRange) {
		t.Errorf("no linkage gave the error %v", err)
	}
}
