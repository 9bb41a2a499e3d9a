// Command knockbands asks how often the 90 % band of the knock-limited spark holds on
// engines that are not of the model's own physics (see packages rivals and entrained), from 800 rpm to
// the top, after what an owner may have told of the engine.
//
//	go run ./examples/knockbands -engines 500
//	go run ./examples/knockbands -engines 500 -population entrained -first 1000
//
// Engines are drawn by number, from -first on. Those of "rivals" from 0 on were in view when
// the model's constants were chosen; others were not.
//
// It prints, for each kind of telling and each speed, the share of engines whose limit
// lies inside the band, the share whose limit lies below it (the dangerous side), and
// the mean width of the band. The engines are simulated; a real one may be none of them.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
)

func main() {
	engines := flag.Int("engines", 100, "number of engines, 1 to 5000")
	first := flag.Int("first", 0, "number of the first engine")
	population := flag.String("population", "rivals", "physics of the engines: rivals or entrained")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, *population, *first, *engines, os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "knockbands:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, population string, first, engines int, out, problems io.Writer) error {
	draw, ok := populations[population]
	if !ok {
		return fmt.Errorf("-population is %q, valid are rivals and entrained", population)
	}
	if engines < 1 || engines > 5000 {
		return fmt.Errorf("-engines is %d, valid is 1 to 5000", engines)
	}
	if first < 0 || first > 1e9 {
		return fmt.Errorf("-first is %d, valid is 0 to 1e9", first)
	}
	table, err := study(ctx, draw, first, engines, func(done, total int) {
		if done%50 == 0 {
			fmt.Fprintf(problems, "%d of %d engines\n", done, total)
		}
	})
	if err != nil {
		return err
	}
	table.print(out)
	return nil
}
