package figure

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/palette/moreland"
	"gonum.org/v1/plot/plotter"
)

// plane is a grid whose height is known everywhere.
type plane struct{}

func (plane) Dims() (c, r int)   { return 4, 3 }
func (plane) X(c int) float64    { return float64(c * c) }
func (plane) Y(r int) float64    { return 10 * float64(r) }
func (plane) Z(c, r int) float64 { return 2*float64(c*c) + float64(r) }

// Between the points of a grid its height runs on straight lines.
func TestFine(t *testing.T) {
	f := fine{plane{}}
	cols, rows := f.Dims()
	if cols != 3*between+1 || rows != 2*between+1 {
		t.Fatalf("%d by %d points", cols, rows)
	}
	for c := range cols {
		for r := range rows {
			if d := f.Z(c, r) - (2*f.X(c) + f.Y(r)/10); !(d <= 1e-12 && d >= -1e-12) {
				t.Fatalf("height off by %g at %g, %g", d, f.X(c), f.Y(r))
			}
		}
	}
	if f.X(cols-1) != 9 || f.Y(rows-1) != 20 {
		t.Errorf("the grid ends at %g, %g", f.X(cols-1), f.Y(rows-1))
	}
}

// shown is a plot with one of each.
func shown(t *testing.T) *Plot {
	t.Helper()
	p := New("title", "engine speed, rpm", "advance, deg")
	colours := moreland.SmoothBlueRed()
	colours.SetMin(0)
	colours.SetMax(20)
	p.Heat(plane{}, colours, "height, m", 0, 20, 5)
	if err := NewCurve.Curve(p, "in the legend", plotter.XYs{{X: 0, Y: 1}, {X: 9, Y: 2}}); err != nil {
		t.Fatal(err)
	}
	if err := Line(p, "", plotter.XYs{{X: 0, Y: 3}, {X: 9, Y: 4}}, Grey); err != nil {
		t.Fatal(err)
	}
	if err := Line(p, "", plotter.XYs{{X: 0, Y: 5}, {X: 9, Y: 6.25}}, Green); err != nil {
		t.Fatal(err)
	}
	var ends EndLabels
	ends.Add("at its end", plotter.XYs{{X: 0, Y: 5}, {X: 9, Y: 6.25}}, Green)
	ends.On(p, 0.3)
	return p
}

// The table holds every number that is drawn, under the name that it has on the plot.
func TestTable(t *testing.T) {
	text, err := shown(t).File("csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"series,\"engine speed, rpm\",\"advance, deg\",\"height, m\"\n", "map,9,20,20\n",
		"in the legend,9,2,\n", "line 1,0,3,\n", "at its end,9,6.25,\n",
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if n := strings.Count(string(text), "\n"); n != 1+12+6 {
		t.Errorf("%d lines", n)
	}
}

// The small picture has the lines and no word.
func TestSmall(t *testing.T) {
	picture, err := shown(t).File(Small)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(picture, []byte("<text")) || bytes.Count(picture, []byte("<path")) < 4 {
		t.Errorf("it is %s", picture)
	}
}

// A vector picture fills the frame of its map and turns its inks in the dark, those on
// a coloured ground left alone. Nothing is drawn in an ink that the dark form does not
// know of and that would be lost on a dark ground.
func TestVector(t *testing.T) {
	picture, err := shown(t).File("svg")
	if err != nil {
		t.Fatal(err)
	}
	text := string(picture)
	if strings.Count(text, "<image ") != 2 || strings.Count(text, `<image preserveAspectRatio="none"`) != 2 || strings.Contains(text, "image/jpg") {
		t.Error("pictures in the picture do not fill their frame")
	}
	for _, ink := range []color.NRGBA{Blue, Orange, Green, Purple, Grey} {
		for _, k := range []string{"fill:", "stroke:"} {
			if want := `[style*="` + k + hex(ink) + `"]`; !strings.Contains(text, want) {
				t.Errorf("the dark form lacks %s", want)
			}
		}
	}
	if strings.Contains(text, `[style*="fill:`+hex(OnColour)) {
		t.Error("black on a coloured ground turns light")
	}
}

func hex(c color.NRGBA) string {
	const digits = "0123456789ABCDEF"
	out := []byte{'#'}
	for _, v := range []uint8{c.R, c.G, c.B} {
		out = append(out, digits[v>>4], digits[v&15])
	}
	return string(out)
}

// The scale stands right of the frame, lowest colour at the foot.
func TestBar(t *testing.T) {
	picture, err := shown(t).File("png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		t.Fatal(err)
	}
	size := img.Bounds().Size()
	blue, red := 0, 0
	for y := range size.Y {
		for x := size.X * 9 / 10; x < size.X; x++ {
			r, _, b, _ := img.At(x, y).RGBA()
			switch {
			case b > r+0x4000 && y > size.Y/2:
				blue++
			case r > b+0x4000 && y < size.Y/2:
				red++
			}
		}
	}
	if blue < 500 || red < 500 {
		t.Errorf("%d blue dots below, %d red ones above", blue, red)
	}
}

// On every colour of the pale scale black has a contrast of more than 7 to 1, the stricter
// of the two bounds of WCAG 2.2, success criterion 1.4.6, by its formula.
func TestPale(t *testing.T) {
	scale := Pale(moreland.SmoothBlueRed())
	scale.SetMin(-1)
	scale.SetMax(1)
	linear := func(x uint8) float64 {
		v := float64(x) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	contrast := func(c color.Color) float64 {
		n := color.NRGBAModel.Convert(c).(color.NRGBA)
		return (0.2126*linear(n.R) + 0.7152*linear(n.G) + 0.0722*linear(n.B) + 0.05) / 0.05
	}
	for i, c := range scale.Palette(255).Colors() {
		if got := contrast(c); !(got > 7) {
			t.Errorf("colour %d: contrast %.1f", i, got)
		}
		at, err := scale.At(-1 + 2*float64(i)/254)
		if err != nil || !(contrast(at) > 7) {
			t.Errorf("at %d: %v, error %v", i, at, err)
		}
	}
}
