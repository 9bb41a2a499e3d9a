package governors_test

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights/governors"
)

// A Porter governor with pivots on the axis: balls of 5 kg, a sleeve of 30 kg.
func ExampleGovernor_SpeedAtRadius() {
	g := governors.Governor{
		Linkage:  governors.Arms{Upper: 0.25, Lower: 0.25},
		BallMass: 5, SleeveMass: 30, Gravity: 9.81,
	}
	for _, radius := range []float64{0.15, 0.20} {
		omega, err := g.SpeedAtRadius(radius, 0)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("balls at %.0f mm: %.1f rpm\n", radius*1e3, omega*30/math.Pi)
	}
	// Output:
	// balls at 150 mm: 176.9 rpm
	// balls at 200 mm: 204.3 rpm
}

// The spring that makes a spring loaded governor isochronous: any position is in
// balance at one speed, and the least friction decides. A useful one is stiffer.
func ExampleGovernor_SleeveSpring() {
	g := governors.Governor{
		Linkage:  governors.Crank{BallArm: 0.12, SleeveArm: 0.10, Radius: 0.14, Straight: true},
		BallMass: 2,
	}
	const rpm = math.Pi / 30
	s, err := g.SleeveSpring(0.13, 300*rpm, 0.15, 300*rpm)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f N at the lower end, %.1f N/mm\n", s.Force, s.Rate/1e3)
	// Output:
	// 616 N at the lower end, 5.7 N/mm
}
