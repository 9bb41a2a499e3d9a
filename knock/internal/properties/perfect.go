package properties

import "math"

// Perfect returns a calorically perfect gas in the forms that a cycle reads: h = h0 +
// cp T at every temperature and pressure. Gas constant r and heat capacity cp in
// J/(kg K), cp > r > 0, h0 in J/kg. With it a cycle must give the textbook
// air-standard efficiencies.
func Perfect(r, cp, h0 float64) (*Curve, *Table, error) {
	if !inside(r, 1e-3, 1e5) {
		return nil, nil, outOfRange("gas constant", r, "J/(kg K)", "0.001 to 1e5 J/(kg K)")
	}
	if !inside(cp, r*(1+1e-6), 1e7) {
		return nil, nil, outOfRange("heat capacity", cp, "J/(kg K)", "above the gas constant, to 1e7 J/(kg K)")
	}
	if math.IsNaN(h0) || math.IsInf(h0, 0) {
		return nil, nil, outOfRange("enthalpy at 0 K", h0, "J/kg", "a finite number")
	}
	c := &Curve{r: r}
	for i := range c.cell {
		c.cell[i] = [4]float64{h0 + cp*(curveLow+float64(i)*curveStep), cp * curveStep}
	}
	t := &Table{}
	for i := range t.cells {
		row := i / (tableColumns - 1)
		t.cells[i].h[0] = h0 + cp*(tableLow+float64(row)*tableStep)
		t.cells[i].h[4] = cp * tableStep
		t.cells[i].r[0] = r
	}
	return c, t, nil
}
