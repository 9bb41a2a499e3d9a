package properties

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/gas"
	"gonum.org/v1/gonum/interp"
)

// Grid of a [Table].
const (
	tableLow, tableStep = 300.0, 100.0 // K
	tableRows           = 34           // to 3600 K
	tablePascal         = 1e4          // Pa, lowest
	tableColumns        = 15           // to 2.5e7 Pa
)

// Burned gas stops reacting as it cools: composition follows the equilibrium above
// the freezing temperature and stays below it, passing over within some tens of
// kelvin. In an engine recombination stops near 1700 K, and a rich mixture's
// equilibrium would drift towards methane and soot that never form.
const freezing, softness = 1700.0, 60.0 // K

// reacting is the temperature whose equilibrium composition gas of temperature t has.
func reacting(t float64) float64 {
	return freezing + softness*math.Log1p(math.Exp((t-freezing)/softness))
}

var (
	logLow  = math.Log(tablePascal)
	logStep = math.Log(2500) / (tableColumns - 1)
)

// Table holds enthalpy and gas constant of one mixture's burned gas over
// temperature and pressure, 300 to 3600 K and 0.1 to 250 bar, as bicubic splines:
// value, slope and curvature are continuous, as an integrator likes them. Make one
// with [NewTable]; the zero value must not be read. Against direct equilibrium above
// 1900 K: enthalpy within 250 J/kg, which is 0.1 K, gas constant within 0.005 J/(kg K).
type Table struct {
	cells [(tableRows - 1) * (tableColumns - 1)]patch
}

// patch holds two bicubics in the cell's own coordinates u (temperature) and v
// (log pressure), 0 to 1: value = sum c[4 i + j] u^i v^j.
type patch struct{ h, r [16]float64 }

// Burned is what a table says of a kilogram of burned gas.
type Burned struct {
	H, R   float64 // J/kg, J/(kg K)
	HT, RT float64 // slopes against temperature, per K: HT is cp
	HP, RP float64 // slopes against the natural logarithm of pressure
}

// knot is value, slopes and twist at one grid point, in cell units.
type knot struct{ f, u, v, uv float64 }

// NewTable solves the equilibrium at every grid point and joins the results.
func NewTable(m gas.Mixture) (*Table, error) {
	kelvin, hot, pascal := make([]float64, tableRows), make([]float64, tableRows), make([]float64, tableColumns)
	for i := range kelvin {
		kelvin[i] = tableLow + float64(i)*tableStep
		hot[i] = reacting(kelvin[i])
	}
	for j := range pascal {
		pascal[j] = math.Exp(logLow + float64(j)*logStep)
	}
	grid, err := m.Compositions(hot, pascal)
	if err != nil {
		return nil, err
	}
	var h, r [tableRows][tableColumns]knot
	for j, p := range pascal {
		for i, t := range kelvin {
			s, err := grid[j][i].At(t, p)
			if err != nil {
				return nil, err
			}
			h[i][j].f, r[i][j].f = s.H, s.R
		}
	}
	for _, k := range []*[tableRows][tableColumns]knot{&h, &r} {
		if err := bend(k); err != nil {
			return nil, err
		}
	}
	t := &Table{}
	for i := 0; i < tableRows-1; i++ {
		for j := 0; j < tableColumns-1; j++ {
			c := &t.cells[i*(tableColumns-1)+j]
			c.h = bicubic(h[i][j], h[i][j+1], h[i+1][j], h[i+1][j+1])
			c.r = bicubic(r[i][j], r[i][j+1], r[i+1][j], r[i+1][j+1])
		}
	}
	return t, nil
}

// bend gives every knot the slopes of the splines through its row and column, and
// the twist of the spline through the slopes.
func bend(k *[tableRows][tableColumns]knot) error {
	var rows, columns []float64
	for i := range tableRows {
		rows = append(rows, float64(i))
	}
	for j := range tableColumns {
		columns = append(columns, float64(j))
	}
	var spline interp.NotAKnotCubic
	line := make([]float64, tableRows)
	for j := range columns {
		for i := range rows {
			line[i] = k[i][j].f
		}
		if err := spline.Fit(rows, line[:tableRows]); err != nil {
			return fmt.Errorf("gas: table over temperature: %w", err)
		}
		for i, x := range rows {
			k[i][j].u = spline.PredictDerivative(x)
		}
	}
	for i := range rows {
		for j := range columns {
			line[j] = k[i][j].f
		}
		if err := spline.Fit(columns, line[:tableColumns]); err != nil {
			return fmt.Errorf("gas: table over pressure: %w", err)
		}
		for j, x := range columns {
			k[i][j].v = spline.PredictDerivative(x)
			line[j] = k[i][j].u
		}
		if err := spline.Fit(columns, line[:tableColumns]); err != nil {
			return fmt.Errorf("gas: table over pressure: %w", err)
		}
		for j, x := range columns {
			k[i][j].uv = spline.PredictDerivative(x)
		}
	}
	return nil
}

// hermite turns end values and slopes into the coefficients of a cubic on 0..1.
func hermite(f0, f1, d0, d1 float64) [4]float64 {
	return [4]float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, 2*(f0-f1) + d0 + d1}
}

// bicubic joins four corners (u then v) to a tensor-product Hermite patch.
func bicubic(k00, k01, k10, k11 knot) (c [16]float64) {
	f0, f1 := hermite(k00.f, k01.f, k00.v, k01.v), hermite(k10.f, k11.f, k10.v, k11.v)
	u0, u1 := hermite(k00.u, k01.u, k00.uv, k01.uv), hermite(k10.u, k11.u, k10.uv, k11.uv)
	for j := range 4 {
		along := hermite(f0[j], f1[j], u0[j], u1[j])
		for i := range 4 {
			c[4*i+j] = along[i]
		}
	}
	return c
}

// At reads the table at a temperature in K and the natural logarithm of the
// pressure in Pa. Outside the grid the last patch is continued: a cycle checks its
// own range once, at the end, with [Inside].
func (t *Table) At(kelvin, lnPascal float64, b *Burned) {
	u := (kelvin - tableLow) * (1 / tableStep)
	v := (lnPascal - logLow) / logStep
	i := min(max(int(u), 0), tableRows-2)
	j := min(max(int(v), 0), tableColumns-2)
	u -= float64(i)
	v -= float64(j)
	c := &t.cells[i*(tableColumns-1)+j]
	b.H, b.HT, b.HP = read(&c.h, u, v)
	b.R, b.RT, b.RP = read(&c.r, u, v)
	b.HT *= 1 / tableStep
	b.RT *= 1 / tableStep
	b.HP /= logStep
	b.RP /= logStep
}

// read returns a patch's value and its slopes along u and v.
func read(c *[16]float64, u, v float64) (f, fu, fv float64) {
	c0 := c[0] + v*(c[1]+v*(c[2]+v*c[3]))
	c1 := c[4] + v*(c[5]+v*(c[6]+v*c[7]))
	c2 := c[8] + v*(c[9]+v*(c[10]+v*c[11]))
	c3 := c[12] + v*(c[13]+v*(c[14]+v*c[15]))
	d0 := c[1] + v*(2*c[2]+v*3*c[3])
	d1 := c[5] + v*(2*c[6]+v*3*c[7])
	d2 := c[9] + v*(2*c[10]+v*3*c[11])
	d3 := c[13] + v*(2*c[14]+v*3*c[15])
	return c0 + u*(c1+u*(c2+u*c3)), c1 + u*(2*c2+u*3*c3), d0 + u*(d1+u*(d2+u*d3))
}

// Inside reports whether a temperature and pressure lie on the grid of a [Table].
func Inside(kelvin, pascal float64) bool {
	return inside(kelvin, tableLow, tableLow+tableStep*(tableRows-1)) && inside(pascal, tablePascal, 2500*tablePascal)
}
