package motion

import (
	"context"
	"testing"
)

// One second of motion at a tolerance of 1e-8: a snapped throttle with damping
// and friction, and an undamped swing across a spring's take-up.
func BenchmarkOneSecond(b *testing.B) {
	damped := pair()
	damped.Damping = 0.01
	damped.Mechanism.Friction.Moment = 0.002
	for _, c := range []struct {
		name string
		m    *Model
		h    SpeedProfile
	}{
		{"snap", damped, FirstOrderLag{From: 50, To: 200, Time: 0.15, Delay: 0.1}},
		{"free", pair(), steady(75)},
		{"ripple", damped, Ripple{Mean: 75, Depth: 0.03, PerTurn: 4}},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			var steps, calls int
			for b.Loop() {
				r, err := c.m.Run(context.Background(), c.h, &Settings{Duration: 1, Phi: 0.02})
				if err != nil {
					b.Fatal(err)
				}
				steps, calls = r.Steps, r.Evaluations
			}
			b.ReportMetric(float64(steps), "steps")
			b.ReportMetric(float64(calls), "evals")
		})
	}
}
