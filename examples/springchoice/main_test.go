package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/bobweight/flyweights"
	"gonum.org/v1/plot/cmpimg"
)

// The plot as it was looked at. Run with -regen to redraw the golden picture.
func TestPlot(t *testing.T) {
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	var failed error
	cmpimg.CheckPlot(func() {
		picture, err := drawing(cs, "png")
		if err != nil {
			failed = err
			return
		}
		failed = os.WriteFile(filepath.Join("testdata", "springchoice.png"), picture, 0o644)
	}, t, "springchoice.png")
	if failed != nil {
		t.Fatal(failed)
	}
}

// What the study says in words: tension at rest moves the start, the rate moves
// the end, and play moves the start forward and holds the curve on its way.
func TestWhatTheStudySays(t *testing.T) {
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	start := func(i int) float64 { return cs[i].curve.Start(flyweights.Rising) }
	allIn := func(i int) float64 { return cs[i].curve.AllIn(flyweights.Rising) }
	const light, wound, stiff, play = 0, 1, 2, 3
	if !(start(wound) > start(light) && allIn(wound)-start(wound) < allIn(light)-start(light)) {
		t.Errorf("more tension: %v to %v, before %v to %v rad/s", start(wound), allIn(wound), start(light), allIn(light))
	}
	if d := start(stiff) - start(light); !(d < 1e-6*start(light) && -d < 1e-6*start(light) && allIn(stiff) > allIn(light)) {
		t.Errorf("stiffer: %v to %v, before %v to %v rad/s", start(stiff), allIn(stiff), start(light), allIn(light))
	}
	if !(start(play) < start(light) && allIn(play) > allIn(stiff)) {
		t.Errorf("with play: %v to %v rad/s", start(play), allIn(play))
	}
	held := false
	for _, e := range cs[play].curve.Events(flyweights.Rising) {
		held = held || e.Kind == flyweights.Hold
	}
	if !held {
		t.Error("the curve does not hold where the play is taken up")
	}
	for _, c := range cs {
		for i, p := range c.parts {
			if !(p.Reserve > 1) {
				t.Errorf("%s, spring %d: reserve %v", c.name, i+1, p.Reserve)
			}
		}
	}
}

func TestRunWritesBothPictures(t *testing.T) {
	dir := t.TempDir()
	var text strings.Builder
	if err := run(&text, dir); err != nil {
		t.Fatal(err)
	}
	for name, head := range map[string]string{"springchoice.svg": "<?xml", "springchoice.png": "\x89PNG"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || !bytes.HasPrefix(data, []byte(head)) {
			t.Errorf("%s begins with %.10q (%v)", name, data, err)
		}
	}
	if !strings.Contains(text.String(), "spring 2 is taken up") {
		t.Errorf("the table does not tell of the spring that comes late:\n%s", text.String())
	}
}
