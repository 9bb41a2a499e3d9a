// Package golden compares the figures of a study with those that were looked at.
package golden

import (
	"io"
	"testing"

	"gonum.org/v1/plot/cmpimg"

	"example.org/bobweight/examples/internal/figure"
)

// rounding is what fused arithmetic may move in a pixel at the edge of a line,
// as a part of full scale: processors differ in the last bit.
const rounding = 0.02

// Check compares each figure with testdata/NAME_golden.png of the package under
// test. With the flag -regen it makes those anew: look at them before you commit.
func Check(t *testing.T, drawn []figure.Figure) {
	t.Helper()
	if len(drawn) == 0 {
		t.Fatal("no figures to compare")
	}
	var names []string
	for _, f := range drawn {
		names = append(names, f.Name+".png")
	}
	cmpimg.CheckPlotApprox(func() {
		if err := figure.Write("testdata", drawn, io.Discard, "png"); err != nil {
			t.Fatal(err)
		}
	}, t, rounding, names...)
}
