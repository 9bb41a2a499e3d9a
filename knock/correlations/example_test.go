package correlations_test

import (
	"fmt"
	"log"

	"example.org/bobweight/knock/correlations"
)

// The delay of 91 octane at the end of compression, and of the next better fuel.
func ExampleDelay_Seconds() {
	for _, octane := range []float64{91, 95} {
		s, err := correlations.Delay{}.Seconds(30*101325, 800, octane)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.0f octane: %.1f ms\n", octane, 1e3*s)
	}
	// Output:
	// 91 octane: 4.6 ms
	// 95 octane: 5.3 ms
}

// Half burned, from the two burn angles.
func ExampleWiebe_Angle() {
	half, err := correlations.Wiebe{Develop: 20, Rapid: 26}.Angle(0.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f degrees after the spark\n", half)
	// Output: 33.3 degrees after the spark
}
