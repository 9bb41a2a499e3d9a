package quantity_test

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/strict"
)

// A part's file, read with its units and shown for either tool box.
func Example() {
	var part struct {
		Mass quantity.Mass      `json:"mass"`
		Rate quantity.Stiffness `json:"rate"`
	}
	_, err := strict.Decode([]byte(`{"mass": "18.5 g", "rate": "9.4 lbf/in"}`), &part)
	fmt.Println(part.Mass.Both(), err)
	fmt.Println(part.Rate.Both())

	_, err = strict.Decode([]byte(`{"mass": 18.5}`), &part)
	fmt.Println(err)
	// Output:
	// 18.5 g (0.653 oz) <nil>
	// 1.646 N/mm (9.40 lbf/in)
	// line 1, column 10: mass: quantity: wrong unit: "18.5" has no unit; mass needs one of g, oz, kg, mg, lb, gr
}

// Six degrees stamped on a part are degrees of the distributor shaft; the light
// on the crankshaft shows twice as many.
func ExampleAngle_Crank() {
	var a quantity.Angle
	if err := a.UnmarshalText([]byte("6 deg dist")); err != nil {
		fmt.Println(err)
	}
	deg, err := a.Crank(advance.FourStroke)
	fmt.Printf("%.0f deg crank, %v\n", deg, err)

	err = a.UnmarshalText([]byte("6 deg"))
	fmt.Println(err)
	// Output:
	// 12 deg crank, <nil>
	// quantity: shaft not named: "6 deg" does not say on which shaft; shaft angle needs one of deg crank, deg dist, rad crank, rad dist
}

func ExampleParse() {
	q, err := quantity.Parse("14 inHg")
	fmt.Printf("%.1f Pa, %v\n", q.SI, err)
	kPa, err := q.In("kPa")
	fmt.Printf("%.2f kPa, %v\n", kPa, err)
	// Output:
	// 47409.4 Pa, <nil>
	// 47.41 kPa, <nil>
}
