// Springchoice shows what a spring's rate, the tension wound into it and a long
// loop each do to an advance curve.
//
//	go run ./examples/springchoice -out DIR
//
// Four ways to fit the same two posts are designed as real springs of music wire
// (design.Springs), put into the same mechanism and drawn. More tension at rest
// starts the advance later and makes it steeper, since the same rise of the
// squared speed takes less speed there. A stiffer spring starts it where it was
// and stretches it. A heavy spring with play lets a light one start it alone,
// holds it while its initial tension is taken up, and bends it over.
//
// The springs are worked out for a scenario of our own. What holds together at
// speed in a real distributor is for its maker's data and a workshop's care: a
// spring that breaks lets the full advance go at any speed, which knocks engines
// to pieces.
package main

import (
	"fmt"
	"io"
	"math"
	"os"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run prints what to wind and what it does, and writes the plots.
func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		cs, err := choices()
		if err != nil {
			return nil, err
		}
		table(out, cs)
		return figures(cs)
	})
}

// table writes what to wind and what it does.
func table(w io.Writer, cs []choice) {
	for _, c := range cs {
		fmt.Fprintf(w, "%s\n", c.name)
		for i, p := range c.parts {
			fmt.Fprintf(w, "  spring %d: wire %.2f mm, mean diameter %.2f mm, %.2f turns, %.2f N wound in, free length %.1f mm, play %.1f mm; %.2f N/mm; factor of safety %.1f\n",
				i+1, p.Part.Diameter*1e3, p.Part.MeanDiameter*1e3, p.Part.BodyCoils, p.Part.InitialTension,
				p.Spring.FreeLength*1e3, p.Spring.Slack*1e3, p.Spring.Rate/1e3, p.Safety)
		}
		for _, e := range c.curve.Events(flyweights.Rising) {
			fmt.Fprintf(w, "  %-5s %4.0f to %4.0f rpm dist at %4.1f deg dist: %s\n", e.Kind, e.Omega/rpm, e.ToOmega/rpm, e.Theta*180/math.Pi, e.Cause)
		}
	}
}
