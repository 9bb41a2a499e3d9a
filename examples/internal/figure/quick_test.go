package figure

import (
	"bytes"
	"image/png"
	"testing"

	"gonum.org/v1/plot/vg/draw"
	_ "gonum.org/v1/plot/vg/vgimg" // "png"
)

// A page that is packed at speed is the one that gonum would write, pixel by pixel.
func TestPictureIsPackedAtSpeed(t *testing.T) {
	p := New("a plot", "x", "y")
	quick, err := Picture(p.Draw, Width, Height, "png")
	if err != nil {
		t.Fatal(err)
	}
	c, err := draw.NewFormattedCanvas(Width, Height, "png")
	if err != nil {
		t.Fatal(err)
	}
	p.Draw(draw.New(c))
	var hard bytes.Buffer
	if _, err := c.WriteTo(&hard); err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(quick, hard.Bytes()) {
		t.Error("the page is packed as hard as gonum packs it")
	}
	a, err := png.Decode(bytes.NewReader(quick))
	if err != nil {
		t.Fatal(err)
	}
	b, err := png.Decode(&hard)
	if err != nil {
		t.Fatal(err)
	}
	if a.Bounds() != b.Bounds() {
		t.Fatalf("%v against %v", a.Bounds(), b.Bounds())
	}
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			if a.At(x, y) != b.At(x, y) {
				t.Fatalf("pixel %d, %d: %v against %v", x, y, a.At(x, y), b.At(x, y))
			}
		}
	}
}
