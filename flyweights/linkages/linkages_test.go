package linkages

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/flank"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// A straight radial slot is a profile without turn: the same cam as the pin in a
// slot that the mechanism has in closed form, either way round.
func TestProfiledRadialSlot(t *testing.T) {
	for _, clockwise := range []bool{false, true} {
		want := flyweights.PinInSlot{Pivot: r2.Vec{X: 0.025}, Pin: r2.Vec{X: -0.004, Y: -0.008}, Clockwise: clockwise}
		rest := r2.Norm(want.Pin)
		phi := 0.15
		end := r2.Norm(r2.Rotate(want.Pin, map[bool]float64{false: 1, true: -1}[clockwise]*phi, want.Pivot))
		l, err := NewProfiled(want.Pivot, want.Pin, clockwise, []float64{rest, (rest + end) / 2, end}, []float64{0, 0, 0})
		if err != nil {
			t.Fatal(err)
		}
		if _, most := l.Travel(); !(math.Abs(most-phi) <= 1e-9) {
			t.Errorf("ends at a swing of %v rad, want %v", most, phi)
		}
		for x := 0.0; x <= phi; x += 0.01 {
			got, slope, _ := l.Cam(x)
			theta, d1, _ := want.Cam(x)
			// Monotone cubics over steps of 1/64: the table's own error.
			if !(math.Abs(got-theta) <= 1e-6 && math.Abs(slope-d1) <= 1e-2) {
				t.Errorf("at %v rad: %v and %v, want %v and %v", x, got, slope, theta, d1)
			}
		}
	}
}

func TestProfiledRefuses(t *testing.T) {
	pivot, pin := r2.Vec{X: 0.025}, r2.Vec{X: -0.004, Y: -0.008}
	rest, nan := r2.Norm(pin), math.NaN()
	for name, c := range map[string]struct {
		pivot, roller r2.Vec
		radius, angle []float64
	}{
		"two points":   {pivot, pin, []float64{rest, rest + 1e-3}, []float64{0, 0}},
		"unequal":      {pivot, pin, []float64{rest, rest + 1e-3, rest + 2e-3}, []float64{0, 0}},
		"not at rest":  {pivot, pin, []float64{rest + 1e-3, rest + 2e-3, rest + 3e-3}, []float64{0, 0, 0}},
		"turns back":   {pivot, pin, []float64{rest, rest + 2e-3, rest + 1e-3}, []float64{0, 0, 0}},
		"stands":       {pivot, pin, []float64{rest, rest, rest + 1e-3}, []float64{0, 0, 0}},
		"NaN radius":   {pivot, pin, []float64{rest, nan, rest + 1e-3}, []float64{0, 0, 0}},
		"NaN angle":    {pivot, pin, []float64{rest, rest + 1e-3, rest + 2e-3}, []float64{0, nan, 0}},
		"NaN pivot":    {r2.Vec{X: nan}, pin, []float64{rest, rest + 1e-3, rest + 2e-3}, []float64{0, 0, 0}},
		"NaN roller":   {pivot, r2.Vec{Y: nan}, []float64{rest, rest + 1e-3, rest + 2e-3}, []float64{0, 0, 0}},
		"out of reach": {pivot, pin, []float64{rest, rest + 0.1, rest + 0.2}, []float64{0, 0, 0}},
		"cam turns":    {pivot, pin, []float64{rest, rest + 1e-3, rest + 2e-3}, []float64{0, 3, -3}},
	} {
		if _, err := NewProfiled(c.pivot, c.roller, false, c.radius, c.angle); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// wild reads four numbers as each kind of linkage and whatever table they make.
func wild(a, b, c, d float64) []flyweights.Linkage {
	p, q, r := r2.Vec{X: a, Y: b}, r2.Vec{X: c, Y: d}, r2.Vec{X: b, Y: c}
	all := []flyweights.Linkage{
		flyweights.Ratio{K: a}, flyweights.PinInSlot{Pivot: p, Pin: q, Offset: b, Clockwise: a > b},
		FourBar{Pivot: p, Joint: q, CamJoint: r, Clockwise: c > d}, flank.Follower{Pivot: p, Roller: q, Slope: a, Bend: d},
		SliderCrank{Rest: a, Slide: b, Crank: c, Rod: d}, RollingCams{Centres: a, Radius: b, Growth: c},
		&tabulated{}, (*tabulated)(nil),
	}
	if l, err := NewTabulated([]float64{0, a, b}, []float64{0, c, d}); err == nil {
		all = append(all, l)
	}
	if l, err := NewProfiled(p, q, false, []float64{r2.Norm(q), c, d}, []float64{0, a, b}); err == nil {
		all = append(all, l)
	}
	return all
}

// Whatever the numbers, a linkage that passes its check answers with numbers over
// its travel, starts from 0 and turns the cam forwards.
func FuzzLinkages(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.025, 0.0, -0.004, -0.008, 0.05)
	f.Add(0.018, 0.04, 0.011, 0.016, 0.1)
	f.Add(0.025, 0.0155, 0.012, 0.3, 0.2)
	f.Add(1.8, 0.1, 0.2, 0.4, 0.01)
	f.Add(math.NaN(), math.Inf(1), math.MaxFloat64, 5e-324, 1.0)
	f.Add(1e200, 1e-200, -1e200, 1e-310, 3.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, phi float64) {
		for _, l := range wild(a, b, c, d) {
			if v, ok := l.(interface{ TurnsClockwise() bool }); ok {
				v.TurnsClockwise()
			}
			if v, ok := l.(interface {
				Fits(pivot, slide r2.Vec, clockwise, camClockwise bool) error
			}); ok {
				if err := v.Fits(r2.Vec{X: a, Y: b}, r2.Vec{X: c, Y: d}, a > b, c > d); err != nil && !errors.Is(err, valid.ErrRange) {
					t.Errorf("%T: %v", l, err)
				}
			}
			if err := checked(l); err != nil {
				if !errors.Is(err, valid.ErrRange) {
					t.Errorf("%T: %v", l, err)
				}
				continue
			}
			lo, hi := l.Travel()
			if lo != 0 || !(hi >= 0 && hi <= math.Pi || hi >= 0 && !math.IsInf(hi, 0)) {
				t.Errorf("%#v travels %v to %v", l, lo, hi)
			}
			if phi >= 0 && phi <= hi {
				theta, d1, d2 := l.Cam(phi)
				if math.IsNaN(theta+d1) || math.IsInf(theta, 0) || math.IsInf(d1, 0) || math.IsNaN(d2) {
					t.Errorf("%#v at %v: %v, %v, %v", l, phi, theta, d1, d2)
				}
			}
			if back, err := flyweights.Swing(l, 0); err == nil && !(back >= 0 && back <= hi) {
				t.Errorf("%#v: swing %v for no turn", l, back)
			}
		}
	})
}

// checked asks a linkage of this package whether it is one.
func checked(l any) error {
	switch v := l.(type) {
	case interface{ check() error }:
		return v.check()
	case interface{ Check() error }:
		return v.Check()
	}
	return nil
}
