package sensitivity_test

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/sensitivity"
	"example.org/bobweight/springs"
)

// What 1 % does to a mechanism of our own: the spring's free length, which a bent
// loop changes, moves the advance far more than its rate.
func ExampleAt() {
	weight := flyweights.Weight{Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}}
	m := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight},
		Springs: []flyweights.Spring{{
			Law: springs.Spring{Rate: 1800, FreeLength: 0.0185},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.012, Y: -0.003}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{Y: -0.018}},
		}},
		Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
		Stop:    0.1,
	}
	const omega = 800 * 2 * math.Pi / 60 // 800 rpm dist
	table, err := sensitivity.At(m, omega, flyweights.Rising)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range table {
		if s.Name == "weight 1 mass" || strings.HasPrefix(s.Name, "spring 1") && !strings.Contains(s.Name, "anchor") && s.Percent != 0 {
			fmt.Printf("%-20s 1 %% more: %+.2f deg dist\n", s.Name, s.Percent*180/math.Pi)
		}
	}
	// Output:
	// weight 1 mass        1 % more: +0.06 deg dist
	// spring 1 rate        1 % more: -0.06 deg dist
	// spring 1 free length 1 % more: +0.73 deg dist
}
