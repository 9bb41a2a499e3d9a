// Command knockeffects prints what publications say of the knock limit and of best torque
// beside what the model computes: the effects of spark, compression, inlet air, coolant,
// inlet pressure, back pressure, altitude, mixture, dilution and humidity on the octane
// needed, the loss of torque by retard, and where half has burned at best torque.
//
//	go run ./examples/knockeffects
//
// Octane is that of the fuel needed at a spark held at the limit of 91 octane, 2000 rpm,
// full load, in a four-cylinder engine of 80.3 by 88.9 mm and 8.5 to 1, unless the row says
// otherwise. A value outside what is published says why.
package main

import (
	"context"
	"fmt"
	"io"
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

func run(ctx context.Context, out io.Writer) error {
	effects, err := study(ctx)
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "effect\tpublished\tcomputed\t\tset by it\tsource")
	for _, e := range effects {
		verdict := "inside"
		if !e.inside() {
			verdict = "OUTSIDE"
		}
		used := "no"
		if e.used {
			used = "yes"
		}
		fmt.Fprintf(w, "%s\t%s\t%.3g\t%s\t%s\t%s\n", e.name, e.published(), e.computed, verdict, used, e.source)
	}
	if err := w.Flush(); err != nil {
		return err
	}
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
