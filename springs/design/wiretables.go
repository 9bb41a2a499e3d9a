package design

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"example.org/bobweight/springs/valid"
)

// wireTable is a printed table of tensile strength over wire diameter. Between
// its rows it follows a power law, as the strength of drawn wire does: straight
// lines in the logarithms.
type wireTable struct {
	unit, size float64 // Pa and m of one unit of the rows
	diameters  []float64
	strengths  []float64
}

// at returns the strength in Pa at a diameter in m inside the table.
func (t wireTable) at(name string, d float64) (float64, error) {
	n := len(t.diameters)
	lo, hi := t.diameters[0]*t.size, t.diameters[n-1]*t.size
	if !(d >= lo*(1-edge) && d <= hi*(1+edge)) {
		return 0, valid.Refuse(valid.ErrRange, name+" diameter", d, "m", fmt.Sprintf("%.6g to %.6g m", lo, hi))
	}
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i], y[i] = math.Log(t.diameters[i]*t.size), math.Log(t.strengths[i]*t.unit)
	}
	var line interp.PiecewiseLinear
	if err := line.Fit(x, y); err != nil {
		return 0, fmt.Errorf("springs: table %s: %w", name, err)
	}
	return math.Exp(line.Predict(min(max(math.Log(d), x[0]), x[n-1]))), nil
}

const kpsi = 6.894757293168361e6 // Pa in 1000 lbf/in^2, from the exact pound and inch

// strengthTables are printed tables of tensile strength by name.
//
// Music wire: the least that the standard lets a maker deliver (ASTM A228/A228M,
// tensile requirements). Patented cold-drawn wire of grade 4: V. B. Bhandari, Design of
// Machine Elements, Table 10.1, p. 402, after IS 4454. Patented cold-drawn wire of class
// SM: EN 10270-1, tensile strength table; the largest at 1.0 mm stands as 2250 MPa in the
// reproduction that was read, the standard's own value is believed to be 2220.
var strengthTables = map[string]wireTable{
	"music wire minimum": {
		unit: kpsi, size: inch,
		diameters: []float64{0.010, 0.014, 0.020, 0.026, 0.032, 0.040, 0.055, 0.063, 0.080, 0.100, 0.125},
		strengths: []float64{387, 369, 350, 337, 327, 315, 300, 293, 282, 271, 261},
	},
	"patented minimum": {
		unit: mega, size: milli,
		diameters: []float64{0.3, 0.5, 0.8, 1.0, 1.2, 1.6, 2.0, 2.5, 3.0},
		strengths: []float64{2660, 2580, 2480, 2400, 2340, 2250, 2160, 2050, 1980},
	},
	"class SM minimum": {
		unit: mega, size: milli, diameters: classSM,
		strengths: []float64{2370, 2200, 2090, 2010, 1980, 1920, 1850, 1760, 1690, 1630},
	},
	"class SM maximum": {
		unit: mega, size: milli, diameters: classSM,
		strengths: []float64{2650, 2470, 2350, 2260, 2250, 2160, 2080, 1970, 1890, 1830},
	},
}

var classSM = []float64{0.3, 0.5, 0.7, 0.9, 1.0, 1.2, 1.5, 2.0, 2.5, 3.0}

// TabulatedStrength returns the tensile strength in Pa of wire of a diameter in m by a
// printed table: "music wire minimum" (0.254 to 3.175 mm), "patented minimum", "class SM
// minimum" or "class SM maximum" (0.3 to 3 mm). Use a minimum for a lower bound; A/d^m of
// [MusicWire] is a fit through the middle. Another name and a diameter outside the table
// are refused.
func TabulatedStrength(table string, diameter float64) (float64, error) {
	t, ok := strengthTables[table]
	if !ok {
		return 0, fmt.Errorf("%w: strength table is %q, valid is one that the package holds", valid.ErrRange, table)
	}
	return t.at(table, diameter)
}
