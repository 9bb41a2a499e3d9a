// Command learnedparts counts, over simulated distributors, how well parts are
// learned from runs of readings: predictions of combinations that no run shows, listed
// rates that are wrong, and verdicts on a build. It prints the full table behind the
// promises of package learned.
//
//	go run ./examples/learnedparts -n 300
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
)

func main() {
	n := flag.Int("n", 300, "distributors in each class")
	part := flag.String("part", "", "only this part: predict, least, list, judge, ends, sheet or power")
	flag.Uint64Var(&seed, "seed", seed, "of the distributors that are drawn")
	only := flag.String("only", "", "only the predictions and builds whose name holds this, such as \"slot\" or \"learned\"")
	flag.Parse()
	if err := run(context.Background(), os.Stdout, *n, *part, *only); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, w io.Writer, n int, part, only string) error {
	if n < 2 {
		return fmt.Errorf("number of distributors is %d, valid is 2 or more", n)
	}
	if part == "" || part == "predict" {
		if err := predictions(ctx, w, n, only); err != nil {
			return err
		}
	}
	if part == "" || part == "list" {
		if err := lists(ctx, w, n); err != nil {
			return err
		}
	}
	if part == "" || part == "judge" {
		if err := verdicts(ctx, w, n, only); err != nil {
			return err
		}
	}
	if part == "" || part == "ends" {
		if err := ends(ctx, w, n, only); err != nil {
			return err
		}
	}
	if part == "" || part == "sheet" {
		if err := sheets(ctx, w, n, only); err != nil {
			return err
		}
	}
	if part == "" || part == "power" {
		if err := powers(ctx, w, n); err != nil {
			return err
		}
	}
	if part == "" || part == "least" {
		return leastErrors(ctx, w, n)
	}
	return nil
}

func predictions(ctx context.Context, w io.Writer, n int, only string) error {
	fmt.Fprintf(w, "%d distributors a class, errors in crank degrees\n", n)
	fmt.Fprintf(w, "%-38s %5s %6s %6s %6s  %-34s %5s %5s %6s %6s\n", "runs -> wanted", "mean", "worst", "below", "naive", "held at 800, 1000 ... 3500 rpm, %", "below", "start", "all-in", "kinds")
	for _, c := range cases() {
		if !strings.Contains(c.Name, only) {
			continue
		}
		s, err := predictAll(ctx, c, n)
		if err != nil {
			return err
		}
		held := ""
		for _, h := range s.Held {
			held += fmt.Sprintf(" %4.0f", 100*h)
		}
		fmt.Fprintf(w, "%-38s %5.2f %6.2f %6.2f %6.2f %s %5.0f %5.0f %6.0f %6.0f\n", c.Name, s.Mean, s.Worst, s.FromStop, s.Naive, held, 100*s.HeldBelow, 100*s.Start, 100*s.AllIn, 100*s.Kinds)
		moved := ""
		for q, h := range s.HeldMoved {
			moved += fmt.Sprintf(" %3.0f/%d", 100*h, s.Moved[q])
		}
		fmt.Fprintf(w, "    of those that have left their rest, %%/number:%s\n", moved)
	}
	return nil
}

func lists(ctx context.Context, w io.Writer, n int) error {
	aa, ab := simulated.Parts("aa", ""), simulated.Parts("ab", "")
	fmt.Fprintf(w, "\nlisted rate of a wrong, %%; named: the list is contradicted, a: by spring a; printed: what each would have to be\n%-10s %7s %7s %7s %6s %8s %6s %13s %8s\n", "runs", "factor", "median", "within", "held", "named", "a", "both printed", "one only")
	for _, x := range []struct {
		name  string
		pairs []learned.Combination
		wrong float64
	}{
		{"aa", []learned.Combination{aa}, 1.5},
		{"aa", []learned.Combination{aa}, 1 / 1.5},
		{"aa", []learned.Combination{aa}, 0},
		{"aa, ab", []learned.Combination{aa, ab}, 1.5},
		{"ab", []learned.Combination{ab}, 1.5},
		{"ab", []learned.Combination{ab}, 1 / 1.5},
		{"ab", []learned.Combination{ab}, 0},
	} {
		s, err := listAll(ctx, x.wrong, x.pairs, n)
		if err != nil {
			return err
		}
		factor := "as is"
		if x.wrong != 0 {
			factor = fmt.Sprintf("%.2f", x.wrong)
		}
		fmt.Fprintf(w, "%-10s %7s %7.1f %7.0f %6.0f %8.0f %6.0f %13.0f %8.0f\n", x.name, factor, 100*s.Median, 100*s.Within, 100*s.Held, 100*s.Named, 100*s.A, 100*s.Both, 100*s.One)
	}
	return nil
}

func verdicts(ctx context.Context, w io.Writer, n int, only string) error {
	fmt.Fprintf(w, "\nverdict on ab, a spring a fifth off, %%; at 5 %%: with the limit that one right build of twenty here exceeds\n%-10s %9s %8s %6s %6s %6s\n", "parts", "factor", "noticed", "named", "alone", "at 5 %")
	for _, known := range befores {
		if !strings.Contains(known.name, only) {
			continue
		}
		var right verdictScore
		for _, factor := range factors {
			s, err := judgeAll(ctx, spring(factor), known, n)
			if err != nil {
				return err
			}
			if factor == 1 {
				right = s
			}
			fmt.Fprintf(w, "%-10s %9.2f %8.1f %6.1f %6.1f %6.1f\n", known.name, factor, 100*s.Noticed, 100*s.Named, 100*s.Alone, 100*s.above(right))
		}
	}
	return nil
}

// factors are on the rate of spring a in the build that is judged: none off first.
var factors = []float64{1, 1.2, 0.8}

func ends(ctx context.Context, w io.Writer, n int, only string) error {
	fmt.Fprintf(w, "\nverdict on ab with the clamp where it was, stop or clamp off by crank degrees, %%\n%-10s %9s %8s %6s %6s\n", "parts", "off", "noticed", "named", "alone")
	for _, known := range befores {
		if !strings.Contains(known.name, only) {
			continue
		}
		known.clamp = "one"
		for _, f := range faultsOfEnds(2) {
			s, err := judgeAll(ctx, f, known, n)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, "%-10s %9s %8.1f %6.1f %6.1f\n", known.name, f.name, 100*s.Noticed, 100*s.Named, 100*s.Alone)
		}
	}
	return nil
}
