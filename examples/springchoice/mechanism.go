package main

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

// mechanism returns the two weights and their plate with the given springs: two
// weights half a turn apart that turn the cam by 0.8 of their swing, each with a
// spring from a post on the plate. A scenario of our own.
func mechanism(laws [2]springs.Spring) *flyweights.Mechanism {
	m := &flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.8}, Stop: 0.26}
	for i, s := range []float64{1, -1} {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: 0.028, Pivot: r2.Vec{X: s * 0.023}, Centre: r2.Vec{X: s * 0.009, Y: s * -0.013},
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: laws[i],
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: s * 0.006, Y: s * 0.011}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Vec{X: s * 0.013, Y: s * -0.012}},
		})
	}
	return m
}

// space returns the lengths in m that the posts leave a spring at rest and at
// the stop.
func space() (rest, stop float64) {
	m := mechanism([2]springs.Spring{})
	return m.SpringLength(0, 0), m.SpringLength(0, m.Stop)
}

// choice is one way to fit the two posts.
type choice struct {
	name  string
	parts [2]design.Choice
	curve *flyweights.Curve
}

// wishes are what the four ways ask of each spring at rest: rate in N/m, tension
// in N, and play of a long loop in m. A spring with play holds nothing at rest.
var wishes = []struct {
	name    string
	springs [2]wish
}{
	{"two light springs", [2]wish{{rate: 1000, tension: 2}, {rate: 1000, tension: 2}}},
	{"the same, more tension wound in", [2]wish{{rate: 1000, tension: 3.4}, {rate: 1000, tension: 3.4}}},
	{"stiffer, the same tension at rest", [2]wish{{rate: 1600, tension: 2}, {rate: 1600, tension: 2}}},
	{"light, and heavy with a long loop", [2]wish{{rate: 1000, tension: 2}, {rate: 3600, tension: 4, play: 0.0012}}},
}

type wish struct{ rate, tension, play float64 }

// choices designs springs of music wire for every wish and draws their curves.
func choices() ([]choice, error) {
	rest, stop := space()
	stock := design.Stock{Material: design.MusicWire(), Wires: design.MusicWireSizes(), OutsideMost: 0.009, LoopMost: 0.009, StretchLeast: 0.2e-3}
	var out []choice
	for _, w := range wishes {
		c := choice{name: w.name}
		var laws [2]springs.Spring
		for i, want := range w.springs {
			// The play is taken up on the way; the tension is asked for just beyond.
			fitted := rest + want.play
			found, err := design.Springs(design.Wanted{
				Rate: want.rate, Tension: want.tension, Length: fitted, Longest: stop, Slack: want.play,
			}, stock)
			if err != nil {
				return nil, fmt.Errorf("%s, spring %d: %w", w.name, i+1, err)
			}
			c.parts[i] = found[0]
			laws[i] = found[0].Spring
		}
		curve, err := mechanism(laws).Curve(nil)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.name, err)
		}
		c.curve = curve
		out = append(out, c)
	}
	return out, nil
}
