package coverage_test

import (
	"context"
	"fmt"

	"example.org/bobweight/advance/readings/coverage"
)

func ExampleRun() {
	table, err := coverage.Run(context.Background(), coverage.Plan{Engines: 5, Seed: 42}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(table.Engines, "engines,", len(table.Rows), "quantities, first:", table.Rows[0].Quantity)
	// Output:
	// 5 engines, 9 quantities, first: static timing
}
