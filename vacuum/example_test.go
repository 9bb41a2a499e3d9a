package vacuum_test

import (
	"fmt"
	"math"

	"example.org/bobweight/vacuum"
)

// unit is a diaphragm of 9 cm^2 with a spring of 4.1 N/mm on an arm of 32 mm.
func unit() vacuum.Unit {
	return vacuum.Unit{
		Area:      9e-4,
		Rate:      4100,
		Preload:   18.3,
		Travel:    4.4e-3,
		ArmRadius: 32e-3,
		Friction:  0.5,
	}
}

// A hand pump on the unit: where does it begin, where does it end, and what does
// it give in between?
func Example() {
	u := unit()
	fmt.Printf("begins at %.1f inHg, fully pulled at %.1f inHg\n", u.Onset()/vacuum.InchOfMercury, u.Full()/vacuum.InchOfMercury)
	for _, inHg := range []float64{5, 8, 11, 14} {
		up, err := u.Advance(inHg * vacuum.InchOfMercury)
		if err != nil {
			fmt.Println(err)
			return
		}
		down, err := u.Retreat(inHg * vacuum.InchOfMercury)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f inHg: %.1f deg dist pulling, %.1f deg dist releasing\n", inHg, up*180/math.Pi, down*180/math.Pi)
	}
	// Output:
	// begins at 6.2 inHg, fully pulled at 12.1 inHg
	//    5 inHg: 0.0 deg dist pulling, 0.0 deg dist releasing
	//    8 inHg: 2.4 deg dist pulling, 2.9 deg dist releasing
	//   11 inHg: 6.4 deg dist pulling, 6.9 deg dist releasing
	//   14 inHg: 7.9 deg dist pulling, 7.9 deg dist releasing
}

// A limiter set beyond the diaphragm's stroke is refused with the range.
func ExampleUnit_Check() {
	u := unit()
	u.Stroke = 4e-3
	fmt.Println(u.Check())
	// Output:
	// vacuum: value out of range: limiter travel is 0.0044 m, valid is at most the stroke of 0.004 m
}
