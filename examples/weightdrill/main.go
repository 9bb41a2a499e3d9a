// Weightdrill shows what a hole does to an advance weight, and that its place
// counts as much as its size.
//
//	go run ./examples/weightdrill -out DIR
//
// A weight is drawn by its outline (package bodies), the hole that takes an
// eighth off its centrifugal moment is found, and drilled at two places: at the
// tip, far from the line through axis and pivot, and at the root near it. The
// same metal from the root moves the curve by a third as much.
//
// Weights are drilled in pairs and balanced against each other; a weight weakened
// at its pivot can come apart at speed.
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

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		s, err := work()
		if err != nil {
			return nil, err
		}
		table(out, s)
		return figures(s)
	})
}

const rpm = 2 * math.Pi / 60 // rad/s

// table writes each weight's numbers and its curve's ends.
func table(w io.Writer, s study) {
	fmt.Fprintf(w, "hole of %.2f mm\n", s.diameter*1e3)
	for _, v := range s.variants {
		fmt.Fprintf(w, "%-26s %.2f g, centre %.2f, %.2f mm, moment %.3f g mm^2 per (rad/s)^2; starts at %.0f, all in at %.0f rpm dist\n",
			v.name+":", v.body.Mass*1e3, v.body.Centre.X*1e3, v.body.Centre.Y*1e3, v.moment*1e9,
			v.curve.Start(flyweights.Rising)/rpm, v.curve.AllIn(flyweights.Rising)/rpm)
	}
}
