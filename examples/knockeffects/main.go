// Command knockeffects prints what publications say of the knock limit and of best torque
// beside what the model computes: the effects of spark, compression, inlet air, coolant,
// inlet pressure, back pressure, altitude, mixture, dilution and humidity on the octane
// needed, the loss of torque by retard, and where half has burned at best torque in every
// class of chamber.
//
//	go run ./examples/knockeffects
//
// Octane is that of the fuel needed at a spark held at the limit of 91 octane, 2000 rpm,
// full load, in a four-cylinder engine of 80.3 by 88.9 mm and 8.5 to 1, unless the row says
// otherwise. Beside it stand the same with the burn as before, and with a spark that keeps
// its distance from best torque. A value outside what is published says why.
package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"text/tabwriter"

	"example.org/bobweight/advance/sheet"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "knockeffects:", err)
		os.Exit(1)
	}
}

// part prints a part of an effect, if the row is taken apart.
func part(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.3g", x)
}

func run(ctx context.Context, out io.Writer) error {
	effects, err := study(ctx)
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "effect\tpublished\tcomputed\t\tburn as before\tspark kept off best torque\tset by it\tsource")
	for _, e := range effects {
		verdict := "inside"
		if !e.inside() {
			verdict = "OUTSIDE"
		}
		used := "no"
		if e.used {
			used = "yes"
		}
		fmt.Fprintf(w, "%s\t%s\t%.3g\t%s\t%s\t%s\t%s\t%s\n", e.name, e.published(), e.computed, verdict, part(e.burnHeld), part(e.offBest), used, e.source)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	chambers, err := phasing(ctx)
	if err != nil {
		return err
	}
	printPhasing(out, chambers)
	for _, e := range effects {
		if e.why != "" {
			fmt.Fprintf(out, "\n%s: %s\n", e.name, e.why)
		}
	}
	fmt.Fprintln(out)
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
	return nil
}
