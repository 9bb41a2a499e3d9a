package main

import (
	"bytes"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	drawn, err := figures()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// The engine's model moves with its constants; what must stay is the form, and
// that every point of the map is there.
func TestRunPrintsTheComparison(t *testing.T) {
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	if n := strings.Count(out.String(), "/"); n < 20 {
		t.Errorf("%d points of 20 in\n%s", n, out.String())
	}
	for _, want := range []string{"furthest behind best torque: ", "contours.svg", "surface.png"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
