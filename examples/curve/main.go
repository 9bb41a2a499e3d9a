// Curve is the smallest use of the library: an advance curve from two springs and
// two weights. The README shows it.
package main

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

func main() {
	m := flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.8}, Stop: 0.25}
	for i, s := range []float64{1, -1} { // the second weight stands opposite
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: 0.012, Pivot: r2.Vec{X: s * 0.023}, Centre: r2.Vec{X: s * 0.009, Y: s * -0.013},
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: 2000, FreeLength: 0.0256},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: s * 0.006, Y: s * 0.013}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Vec{X: s * 0.013, Y: s * -0.012}},
		})
	}
	curve, err := m.Curve(nil)
	if err != nil {
		log.Fatal(err)
	}
	d := advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve}
	for rpm := 500.0; rpm <= 3000; rpm += 500 {
		total, err := d.Total(rpm, 0, flyweights.Rising)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%4.0f rpm: %4.1f deg before top centre\n", rpm, total)
	}
}
