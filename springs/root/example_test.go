package root_test

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/root"
)

func ExampleBrent() {
	x, _, err := root.Brent(func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 1e-9)
	fmt.Printf("%.6f %v\n", x, err)
	_, _, err = root.Brent(math.Exp, 0, 1, 0)
	fmt.Println(err)
	// Output:
	// 0.739085 <nil>
	// root: not within the bracket: values 1 at 0 and 2.71828 at 1, valid are opposite signs
}

func ExampleEdge() {
	last, first, err := root.Edge(func(x float64) bool { return x*x < 2 }, 0, 2, 1e-6)
	fmt.Printf("%.5f %.5f %v\n", last, first, err)
	// Output: 1.41421 1.41421 <nil>
}
