package balance_test

import (
	"fmt"

	"example.org/bobweight/advance/internal/balance"
)

func ExampleCurve() {
	// A light spring from 900 rpm on; after four tenths of the travel a second one,
	// with some initial tension, joins it.
	c := balance.Curve{Start: 900, AllIn: 3200, Shape: -0.3, TakeUp: 0.4, Stiffening: 3, Hold: 0.1}
	if err := c.Check(); err != nil {
		fmt.Println(err)
		return
	}
	at := c.Inverse()
	low, high := c.Speeds(0.4)
	fmt.Printf("the advance stands from %.0f to %.0f rpm\n", low, high)
	fmt.Printf("at 2500 rpm %.0f %% of it have come in\n", 100*at.Travelled(2500))
	// Output:
	// the advance stands from 1662 to 1925 rpm
	// at 2500 rpm 61 % of it have come in
}
