package main

import (
	"io"
	"testing"

	"example.org/bobweight/examples/internal/figure"
	"gonum.org/v1/plot/cmpimg"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	drawn, err := figures()
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range drawn {
		names = append(names, f.Name+".png")
	}
	cmpimg.CheckPlot(func() {
		if err := figure.Write("testdata", drawn, io.Discard, "png"); err != nil {
			t.Fatal(err)
		}
	}, t, names...)
}
