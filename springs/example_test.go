package springs_test

import (
	"fmt"

	"example.org/bobweight/springs"
)

// A light spring between posts 21 mm apart at rest and 25 mm at the stop. Its
// long loop leaves 1 mm of play, so at rest it still holds nothing beyond what
// its coils were wound with.
func ExampleSpring() {
	s := springs.Spring{Rate: 900, FreeLength: 0.019, InitialTension: 1.5, Slack: 0.001}
	for _, mm := range []float64{19.5, 21, 23, 25} {
		fmt.Printf("%4.1f mm: %.2f N\n", mm, s.Tension(mm/1000))
	}
	// Output:
	// 19.5 mm: 0.00 N
	// 21.0 mm: 2.40 N
	// 23.0 mm: 4.20 N
	// 25.0 mm: 6.00 N
}

// The rate of nine coils of 0.8 mm music wire on a 6 mm mean diameter.
func ExampleWire_Rate() {
	w := springs.Wire{Diameter: 0.8e-3, MeanDiameter: 6e-3, ActiveCoils: 9, ShearModulus: 81.7e9}
	k, err := w.Rate()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f N/mm\n", k/1000)
	// Output:
	// 2.15 N/mm
}
