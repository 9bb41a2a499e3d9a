package figure

import (
	"bytes"
	"fmt"
	"strings"
)

// Vector mends a vector picture of gonum/plot for browsers and gives it a dark form.
//
// Pictures in it fill their frame, as they do in the form of dots; otherwise a browser
// keeps the shape of their dots and leaves bars at the sides. Letters take a face of
// the same widths where the first one is missing. Where the page or the screen is
// dark, the ground turns dark and inks turn light; on paper they never do.
func Vector(svg []byte) []byte {
	svg = bytes.ReplaceAll(svg, []byte("<image "), []byte(`<image preserveAspectRatio="none" `))
	svg = bytes.ReplaceAll(svg, []byte("data:image/jpg;"), []byte("data:image/png;"))
	svg = bytes.ReplaceAll(svg, []byte("font-family:Liberation Sans;"), []byte("font-family:Liberation Sans,Arimo,Arial,Helvetica,sans-serif;"))
	head := bytes.Index(svg, []byte("<svg"))
	end := head + bytes.IndexByte(svg[head:], '>') + 1
	return bytes.Join([][]byte{svg[:end], []byte(night), svg[end:]}, nil)
}

// night is the dark form: each ink with its light one. The inks are those of this
// package and of the plot library; a colour that is not listed stays.
var night = func() string {
	var b strings.Builder
	b.WriteString("\n<style>@media screen and (prefers-color-scheme: dark) {\ntext { fill: #E6E4DE }\n")
	for _, c := range [][2]string{
		{"FFFFFF", "16191B"}, {"000000", "E6E4DE"}, {"808080", "5A6164"}, {"5A5A5A", "A8A8A8"}, {"969696", "8A9094"},
		{"0072B2", "56B4E9"}, {"0071B1", "56B4E9"}, {"D55E00", "FF9A57"}, {"D45D00", "FF9A57"},
		{"009E73", "3FCF9F"}, {"009D72", "3FCF9F"}, {"CC79A7", "E3A3C8"},
	} {
		fmt.Fprintf(&b, "[style*=\"fill:#%s\"] { fill: #%s !important } [style*=\"stroke:#%[1]s\"] { stroke: #%[2]s !important }\n", c[0], c[1])
	}
	b.WriteString("}</style>")
	return b.String()
}()
