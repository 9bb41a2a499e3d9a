// Coverage counts how often the 95 % intervals of the readings package hold the
// truth, over distributors simulated from physics, and prints the table.
//
//	go run ./examples/coverage -engines 1000 -seed 1
//	go run ./examples/coverage -widths
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"

	"example.org/bobweight/examples/coverage/trials"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run is the program without its surroundings; it returns the exit status.
func run(ctx context.Context, args []string, out, problems io.Writer) int {
	flags := flag.NewFlagSet("coverage", flag.ContinueOnError)
	flags.SetOutput(problems)
	engines := flags.Int("engines", 1000, "number of simulated engines, 1 to 1000000")
	seed := flags.Uint64("seed", 1, "seed of the simulation")
	each := flags.Int("readings", 0, "readings of each engine, 4 to 100; 0 means 6, 8, 12 or 20")
	widths := flags.Bool("widths", false, "compare the widths of one-stage sets with those of an earlier fit")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	if flags.NArg() > 0 {
		fmt.Fprintf(problems, "coverage: %q is not understood\n", flags.Arg(0))
		return 2
	}
	progress := func(done, total int) { fmt.Fprintf(problems, "%d of %d\n", done, total) }
	if *widths {
		if err := trials.Widths(ctx, out, progress); err != nil {
			fmt.Fprintln(problems, err)
			return 1
		}
		return 0
	}
	t, err := trials.Run(ctx, trials.Plan{Engines: *engines, Seed: *seed, Readings: *each}, progress)
	if err == nil {
		err = t.Write(out)
	}
	if err != nil {
		fmt.Fprintln(problems, err)
		return 1
	}
	return 0
}
