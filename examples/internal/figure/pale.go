package figure

import (
	"image/color"

	"gonum.org/v1/plot/palette"
)

// Pale is a scale of colours half-way to white, so that black lines and words can be read
// on all of it.
func Pale(colours palette.ColorMap) palette.ColorMap { return pale{colours} }

type pale struct{ palette.ColorMap }

func (p pale) At(x float64) (color.Color, error) {
	c, err := p.ColorMap.At(x)
	if err != nil {
		return nil, err
	}
	return towardsWhite(c), nil
}

func (p pale) Palette(n int) palette.Palette {
	var list colours
	for _, c := range p.ColorMap.Palette(n).Colors() {
		list = append(list, towardsWhite(c))
	}
	return list
}

type colours []color.Color

func (c colours) Colors() []color.Color { return c }

func towardsWhite(c color.Color) color.Color {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	half := func(x uint8) uint8 { return uint8((int(x) + 255) / 2) }
	return color.NRGBA{R: half(n.R), G: half(n.G), B: half(n.B), A: n.A}
}
