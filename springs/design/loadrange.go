package design

import (
	"math"
	"sort"

	"example.org/bobweight/springs/valid"
)

// Normal load tolerance of extension springs, +- per cent of the load, by spring
// index, by free length over deflection, and by wire diameter (spring industry
// handbook table, read in reproduction, medium confidence). A short deflection
// of a long spring is the hardest to hold.
var (
	loadIndex = []float64{4, 6, 8, 10}
	loadRatio = []float64{0.5, 1.5, 2.5, 4.5, 6, 8, 12}
	loadWire  = []float64{0.015, 0.022, 0.032, 0.044, 0.062, 0.092} // in
	loadBand  = [4][7][6]float64{
		{ // index 4
			{6.2, 5.4, 4.8, 4.6, 4.3, 4.1},
			{10.2, 9.9, 9.3, 8.9, 8.0, 7.5},
			{13.1, 12.4, 12.1, 11.8, 10.6, 10.0},
			{15.0, 14.7, 14.1, 13.5, 12.6, 12.0},
			{16.8, 16.1, 15.5, 14.7, 13.8, 13.2},
			{18.5, 17.5, 16.7, 15.8, 15.0, 14.5},
			{20.0, 18.5, 17.6, 16.9, 16.2, 15.5},
		},
		{ // index 6
			{6.3, 5.5, 4.9, 4.7, 4.5, 4.3},
			{9.9, 9.0, 8.3, 7.7, 7.3, 7.0},
			{11.9, 10.8, 10.2, 9.8, 9.4, 9.0},
			{13.7, 12.4, 11.5, 11.0, 10.5, 10.0},
			{15.2, 14.0, 12.9, 12.3, 11.6, 10.9},
			{16.2, 14.7, 13.9, 13.4, 12.6, 12.2},
			{17.0, 15.5, 14.6, 14.1, 13.5, 13.1},
		},
		{ // index 8
			{6.3, 5.6, 5.0, 4.8, 4.5, 4.4},
			{9.5, 8.6, 7.8, 7.1, 6.9, 6.7},
			{11.2, 10.2, 9.5, 8.8, 8.3, 7.9},
			{12.8, 11.7, 10.7, 10.1, 9.7, 9.0},
			{14.2, 13.0, 11.7, 11.2, 10.6, 10.0},
			{15.0, 13.7, 12.5, 12.1, 11.4, 11.0},
			{15.8, 14.3, 13.1, 13.0, 12.1, 12.0},
		},
		{ // index 10; the two rows of the longest deflections were not legible
			{},
			{},
			{10.8, 9.6, 9.0, 8.4, 8.0, 7.7},
			{12.3, 10.8, 10.0, 9.5, 9.0, 8.5},
			{13.4, 12.1, 10.8, 10.5, 9.8, 9.3},
			{14.2, 12.8, 11.6, 11.2, 10.5, 10.2},
			{14.8, 13.3, 12.0, 11.9, 11.1, 10.9},
		},
	}
)

// LoadTolerance returns half the width of the band that springs as commonly
// bought keep in their load, as a fraction of the load: index 4 to 10, free
// length over deflection 0.5 to 12 (2.5 to 12 for an index above 8), wire
// diameter 0.381 to 2.337 mm in m. Between the rows of the table it is
// interpolated linearly, in the wire diameter by its logarithm.
func LoadTolerance(index, lengthOverDeflection, diameter float64) (float64, error) {
	last, least := len(loadWire)-1, loadRatio[0]
	if index > 8 {
		least = 2.5
	}
	if err := valid.Check(valid.ErrRange,
		valid.In("spring index", index, "", 4, 10),
		valid.In("free length over deflection", lengthOverDeflection, "", least, 12),
		valid.In("wire diameter", diameter, "m", loadWire[0]*inch*(1-edge), loadWire[last]*inch*(1+edge)),
	); err != nil {
		return 0, err
	}
	logs := make([]float64, len(loadWire))
	for i, d := range loadWire {
		logs[i] = math.Log(d * inch)
	}
	i, u := place(loadIndex, index)
	j, v := place(loadRatio, lengthOverDeflection)
	k, w := place(logs, math.Log(diameter))
	var sum float64
	for di, a := range [2]float64{1 - u, u} {
		for dj, b := range [2]float64{1 - v, v} {
			for dk, c := range [2]float64{1 - w, w} {
				sum += a * b * c * loadBand[i+di][j+dj][k+dk]
			}
		}
	}
	return sum / 100, nil
}

// place returns the interval of a rising table that holds x and how far into it
// x lies, 0 to 1.
func place(xs []float64, x float64) (int, float64) {
	i := min(max(sort.SearchFloat64s(xs, x)-1, 0), len(xs)-2)
	return i, min(max((x-xs[i])/(xs[i+1]-xs[i]), 0), 1)
}
