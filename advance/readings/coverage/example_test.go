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
	for _, c := range table.Classes[:3] {
		fmt.Printf("%s: %d engines, %d quantities\n", c.Name, c.Engines, len(c.Rows))
	}
	// Output:
	// all: 5 engines, 9 quantities
	// one stage: 3 engines, 9 quantities
	// two stages: 2 engines, 9 quantities
}
