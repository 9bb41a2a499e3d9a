package drawing_test

import (
	"fmt"
	"strings"

	"example.org/bobweight/examples/recurve/drawing"
)

// The form to measure with.
func ExampleForm() {
	picture, err := drawing.Form("svg")
	fmt.Println(strings.Contains(string(picture), "pivot_to_weight_post"), err)
	// Output:
	// true <nil>
}
