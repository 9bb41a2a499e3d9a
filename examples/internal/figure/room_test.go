package figure

import (
	"testing"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// square is a frame of 100 points in which one unit is one point.
func square(lines ...[]vg.Point) *room {
	same := func(v float64) vg.Length { return vg.Length(v) }
	return &room{frame: vg.Rectangle{Max: vg.Point{X: 100, Y: 100}}, x: same, y: same, lines: lines}
}

func TestCuts(t *testing.T) {
	box := vg.Rectangle{Min: vg.Point{X: 10, Y: 10}, Max: vg.Point{X: 20, Y: 20}}
	for _, c := range []struct {
		a, b vg.Point
		want bool
	}{
		{vg.Point{X: 0, Y: 15}, vg.Point{X: 30, Y: 15}, true},   // through
		{vg.Point{X: 12, Y: 12}, vg.Point{X: 18, Y: 13}, true},  // inside
		{vg.Point{X: 15, Y: 15}, vg.Point{X: 15, Y: 15}, true},  // a mark
		{vg.Point{X: 0, Y: 0}, vg.Point{X: 9, Y: 30}, false},    // beside
		{vg.Point{X: 0, Y: 19}, vg.Point{X: 19, Y: 40}, false},  // past the corner
		{vg.Point{X: 15, Y: 21}, vg.Point{X: 15, Y: 40}, false}, // above
	} {
		if got := cuts(box, c.a, c.b); got != c.want {
			t.Errorf("%v to %v: %t", c.a, c.b, got)
		}
	}
}

// A name stands right of its line where that is free, else where nothing crosses it.
func TestBeside(t *testing.T) {
	line := plotter.XYs{{X: 0, Y: 50}, {X: 40, Y: 50}}
	own := []vg.Point{{X: 0, Y: 50}, {X: 40, Y: 50}}
	if at := square(own).beside(line, 30, 8); at != (vg.Point{X: 44, Y: 50}) {
		t.Errorf("nothing in the way, and the name stands at %v", at)
	}
	wall := []vg.Point{{X: 60, Y: 0}, {X: 60, Y: 100}}
	r := square(own, wall)
	at := r.beside(line, 30, 8)
	if box := boxOf(at, 30, 8); cuts(box, wall[0], wall[1]) || cuts(box, own[0], own[1]) || at == (vg.Point{X: 44, Y: 50}) {
		t.Errorf("the name stands at %v", at)
	}
	if again := r.beside(line, 30, 8); again == at {
		t.Error("two names at one place")
	}
}
