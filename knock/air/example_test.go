package air_test

import (
	"fmt"

	"example.org/bobweight/knock/air"
)

// The air at 1600 m, and how rich it makes a carburettor that was set at sea level.
func ExampleStandard() {
	sea, err := air.Standard(0)
	if err != nil {
		fmt.Println(err)
		return
	}
	high, err := air.Standard(1600)
	if err != nil {
		fmt.Println(err)
		return
	}
	ratio, err := high.MixtureRatio(14.7, sea)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f kPa, %.1f C, air-fuel ratio %.1f\n", high.Pressure/1e3, high.Temperature-273.15, ratio)
	// Output:
	// 83.5 kPa, 4.6 C, air-fuel ratio 13.6
}
