package gas

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
)

// Inert returns a gas whose composition stays, air for example, in the forms that a
// cycle reads, with h0 J/kg added to its enthalpy. The curve reaches 1550 K, the table
// 3600 K.
func Inert(f Frozen, h0 float64) (*Curve, *Table, error) {
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
		h[i] = f.at(kelvin[i], standard).H + h0
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
		t.cells[i].r[0] = f.r
	}
	return c, t, nil
}

// Temperature returns the temperature in K, 250 to 6000, at which the unchanged gas
// has an enthalpy of h J/kg: with the products of complete combustion and the
// enthalpy of fuel and air, the flame temperature without dissociation.
func (f Frozen) Temperature(h float64) (float64, error) {
	if len(f.parts) == 0 {
		return 0, outOfRange("mass of the mixture", 0, "kg", "more than 0")
	}
	t := 1500.0
	for range 100 {
		s := f.at(t, standard)
		step := (h - s.H) / s.Cp
		t = math.Max(lowestState, math.Min(highestState, t+math.Max(-800, math.Min(800, step))))
		if math.Abs(step) < 1e-9*t {
			return t, nil
		}
	}
	return 0, outOfRange("enthalpy", h, "J/kg", "one that the gas has between 250 and 6000 K")
}
