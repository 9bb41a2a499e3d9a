package motion

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Whatever the numbers, a run is refused in words or gives numbers within the
// stops, and it ends with its context.
func FuzzRun(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.1, 0.0, 0.01, 0.3, 60.0, 150.0, 0.1, 8)
	f.Add(0.01, -20.0, 1e5, 0.9, 0.0, 1e5, 1e-9, 1000)
	f.Add(1e-300, 1e6, 1e-300, 1e-9, 1e6, 1e-300, 1e6, 1000000)
	f.Add(0.07, 31.3, 1e5, 0.9, 66.0, 5e4, 98.0, 1139) // a step that holds all of many sparks
	f.Add(math.NaN(), math.Inf(1), 1e17, 1.0, -1.0, math.Inf(1), math.NaN(), -3)
	f.Fuzz(func(t *testing.T, duration, rate, damping, restitution, from, to, constant float64, sparks int) {
		ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
		defer cancel()
		points, err := NewPoints([]float64{0, constant, 2 * constant}, []float64{from, to, from})
		if err != nil {
			points = nil
		}
		for _, p := range []SpeedProfile{
			steady(to), Ripple{Mean: to, Depth: restitution, PerTurn: constant, Phase: from}, FirstOrderLag{From: from, To: to, Time: constant, Delay: rate}, points,
		} {
			m := pair()
			m.Damping, m.Restitution, m.CamInertia = damping, restitution, constant
			s := Settings{Duration: duration, Rate: rate, Every: duration / 50, Sparks: sparks, Relative: 1e-4, Absolute: 1e-6}
			r, err := m.Run(ctx, p, &s)
			if err != nil && !errors.Is(err, errRange) && !errors.Is(err, context.DeadlineExceeded) {
				t.Errorf("%#v: %v", p, err)
			}
			if r == nil {
				continue
			}
			if !valid.Finite(r.EndTime, r.EndPhi, r.EndRate) || !valid.Finite(r.Phi...) || !valid.Finite(r.Theta...) || !valid.Finite(r.Rate...) || !valid.Finite(r.Times...) {
				t.Errorf("%#v, %+v: ends at %v, %v, %v", p, s, r.EndTime, r.EndPhi, r.EndRate)
			}
			for _, e := range r.Events {
				if !valid.Finite(e.Time, e.Phi, e.Theta, e.Omega, e.Rate) || e.Kind.String() == "" {
					t.Fatalf("%#v: event %+v", p, e)
				}
			}
			if x, err := ScatterOf(r.Sparks, 0); err == nil && !valid.Finite(x.Mean, x.Deviation, x.Least, x.Greatest) {
				t.Errorf("%#v: scatter %+v", p, x)
			}
		}
	})
}
