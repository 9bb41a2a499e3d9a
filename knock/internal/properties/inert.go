package properties

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/gas"
	"gonum.org/v1/gonum/interp"
)

// Inert returns a gas whose composition stays, air for example, in the forms that a
// cycle reads, with h0 J/kg added to its enthalpy. The curve reaches 1550 K, the table
// 3600 K.
func Inert(f gas.Frozen, h0 float64) (*Curve, *Table, error) {
	if math.IsNaN(h0) || math.IsInf(h0, 0) {
		return nil, nil, outOfRange("added enthalpy", h0, "J/kg", "a finite number")
	}
	c, err := NewCurve(f)
	if err != nil {
		return nil, nil, err
	}
	for i := range c.cell {
		c.cell[i][0] += h0
	}
	kelvin, h := make([]float64, tableRows), make([]float64, tableRows)
	for i := range kelvin {
		kelvin[i] = tableLow + float64(i)*tableStep
		s, err := f.At(kelvin[i], standard)
		if err != nil {
			return nil, nil, err
		}
		h[i] = s.H + h0
	}
	var spline interp.NotAKnotCubic
	if err := spline.Fit(kelvin, h); err != nil {
		return nil, nil, fmt.Errorf("gas: enthalpy over temperature: %w", err)
	}
	t := &Table{}
	for i := range t.cells {
		row := i / (tableColumns - 1)
		a, b := kelvin[row], kelvin[row+1]
		along := hermite(h[row], h[row+1], spline.PredictDerivative(a)*tableStep, spline.PredictDerivative(b)*tableStep)
		for k, x := range along {
			t.cells[i].h[4*k] = x
		}
		t.cells[i].r[0] = f.GasConstant()
	}
	return c, t, nil
}
