package motion_test

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/motion"
	"example.org/bobweight/springs"
)

// The throttle is snapped open: the shaft goes from 400 to 1400 rpm with a time
// constant of 0.3 s. The weights leave rest a little after the static start and
// reach the end of the slot a little after all-in.
func ExampleModel_Run() {
	mechanism := &flyweights.Mechanism{
		Weights: []flyweights.Weight{{
			Mass: 0.060, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 8e-6,
		}},
		Springs: []flyweights.Spring{{
			Law: springs.Spring{Rate: 4000, FreeLength: 0.0185},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.012, Y: -0.003}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{Y: -0.018}},
		}},
		Linkage: flyweights.Ratio{K: 2},
		Stop:    0.1,
	}
	model := &motion.Model{Mechanism: mechanism, CamInertia: 5e-6, Damping: 0.01}
	const rpm = 2 * math.Pi / 60
	result, err := model.Run(context.Background(),
		motion.FirstOrderLag{From: 400 * rpm, To: 1400 * rpm, Time: 0.3}, &motion.Settings{Duration: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	curve, err := mechanism.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("static: starts at %.0f, all in at %.0f rpm dist\n",
		curve.Start(flyweights.Rising)/rpm, curve.AllIn(flyweights.Rising)/rpm)
	for _, e := range result.Events {
		fmt.Printf("%-6s after %3.0f ms at %4.0f rpm dist\n", e.Kind, e.Time*1e3, e.Omega/rpm)
	}
	// Output:
	// static: starts at 576, all in at 1268 rpm dist
	// leave  after  66 ms at  599 rpm dist
	// arrive after 615 ms at 1271 rpm dist
}

// How far sparks scatter behind a shaft whose speed ripples once a turn.
func ExampleScatterOf() {
	model := &motion.Model{
		Mechanism: &flyweights.Mechanism{
			Weights: []flyweights.Weight{{
				Mass: 0.060, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 8e-6,
			}},
			Springs: []flyweights.Spring{{
				Law: springs.Spring{Rate: 4000, FreeLength: 0.0185},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.012, Y: -0.003}},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{Y: -0.018}},
			}},
			Linkage: flyweights.Ratio{K: 2},
			Stop:    0.1,
		},
		CamInertia: 5e-6, Damping: 0.01,
	}
	ripple := motion.Ripple{Mean: 900 * 2 * math.Pi / 60, Depth: 0.05, PerTurn: 1}
	result, err := model.Run(context.Background(), ripple, &motion.Settings{Duration: 2, Phi: 0.05, Sparks: 8})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := motion.ScatterOf(result.Sparks, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f deg dist on average, %.2f deg wide\n", s.Mean*180/math.Pi, (s.Greatest-s.Least)*180/math.Pi)
	// Output:
	// 4.1 deg dist on average, 1.78 deg wide
}
