// Command coverage counts how often the 95 % intervals of the readings package
// hold the truth, over distributors simulated from physics, and prints the table.
//
//	go run ./examples/coverage -engines 1000 -seed 1
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"

	"example.org/bobweight/advance/readings/coverage"
)

func main() {
	engines := flag.Int("engines", 1000, "number of simulated engines, 1 to 1000000")
	seed := flag.Uint64("seed", 1, "seed of the simulation")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	progress := func(done, total int) { fmt.Fprintf(os.Stderr, "\r%d of %d", done, total) }
	t, err := coverage.Run(ctx, *engines, *seed, progress)
	fmt.Fprintln(os.Stderr)
	if err == nil {
		err = t.Write(os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
