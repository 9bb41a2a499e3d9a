package figure

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/plot/plotter"
)

// table is the numbers of the plot as CSV: a row for each point, first the name of
// what it belongs to, then its coordinates under the names of the axes. A map has its
// height in a further column. What has no name on the plot is called by its kind and
// number.
func (p *Plot) table() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	head := []string{"series", orElse(p.X.Label.Text, "x"), orElse(p.Y.Label.Text, "y")}
	if p.Bar != nil {
		head = append(head, p.Bar.Label)
	}
	rows := [][]string{head}
	count := map[string]int{}
	add := func(name, kind string, xys plotter.XYer) {
		if name == "" {
			count[kind]++
			name = fmt.Sprintf("%s %d", kind, count[kind])
		}
		for i := range xys.Len() {
			x, y := xys.XY(i)
			row := make([]string, len(head))
			row[0], row[1], row[2] = name, digits(x), digits(y)
			rows = append(rows, row)
		}
	}
	for _, part := range p.parts {
		switch part := part.(type) {
		case *plotter.Line:
			add(p.name(part), "line", part)
		case *plotter.Scatter:
			add(p.name(part), "points", part)
		case *plotter.Polygon:
			for _, ring := range part.XYs {
				add(p.name(part), "area", ring)
			}
		case *heat:
			cols, lines := part.of.Dims()
			for c := range cols {
				for r := range lines {
					rows = append(rows, []string{"map", digits(part.of.X(c)), digits(part.of.Y(r)), digits(part.of.Z(c, r))})
				}
			}
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("figure as csv: %w", err)
	}
	return b.Bytes(), nil
}

// digits writes a coordinate to six digits; what the machine adds beyond them says
// nothing.
func digits(x float64) string {
	if math.Abs(x) < 1e-9 {
		return "0"
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
