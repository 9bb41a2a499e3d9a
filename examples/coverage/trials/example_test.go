package trials_test

import (
	"context"
	"fmt"

	"example.org/bobweight/examples/coverage/trials"
)

func ExampleRun() {
	table, err := trials.Run(context.Background(), trials.Plan{Engines: 5, Seed: 42}, nil)
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
