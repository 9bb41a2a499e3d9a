package air

import (
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// Whatever the arguments, numbers come out or an error does, and nothing panics.
func FuzzAir(tf *testing.F) {
	f := fuzzing.New(tf)
	hostile := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, 5e-324, 1e-300, 1e-9, 1e9, 1e300, math.MaxFloat64}
	for i, x := range hostile {
		f.Add(x, 9e4, 300.0, 5e4, 1e-5)
		f.Add(1500.0, x, 300.0, 5e4, 1e-5)
		f.Add(1500.0, 9e4, x, 5e4, 1e-5)
		f.Add(1500.0, 9e4, 300.0, x, 1e-5)
		f.Add(1500.0, 9e4, 300.0, 5e4, x)
		f.Add(x, hostile[(i+1)%len(hostile)], hostile[(i+2)%len(hostile)], hostile[(i+3)%len(hostile)], hostile[(i+5)%len(hostile)])
	}
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64) {
		finite := func(what string, err error, xs ...float64) {
			t.Helper()
			for _, x := range xs {
				if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
					t.Errorf("%s: %g without an error", what, x)
				}
			}
		}
		s, err := Standard(a)
		finite("Standard", err, s.Pressure, s.Temperature, s.Density())
		here := Ambient{Pressure: b, Temperature: c}
		finite("Density", nil, here.Density())
		x, err := here.Vacuum(d)
		finite("Vacuum", err, x)
		x, err = here.MixtureRatio(e, Ambient{Pressure: d, Temperature: c})
		finite("MixtureRatio", err, x)
		for _, g := range []Gas{Dry, {R: a, K: e}, {R: 287, K: e}} {
			p, temp := g.Critical()
			finite("Critical", nil, p, temp)
			x, err = g.Flow(e, b, c, d)
			finite("Flow", err, x)
			x, err = g.Speed(b, c, d)
			finite("Speed", err, x)
			x, y, err := g.Throat(b, c, a)
			finite("Throat", err, x, y)
		}
		finite("Through, Between", nil, Through(e, b, d, c), Between(e, b, a, d), Between(e, d, e, b))
	})
}
