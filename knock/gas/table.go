package gas

import "math"

// Grid of a [Table]. Below freeze the composition stays what it was at freeze:
// in an engine the recombination reactions stop near 1700 K, and a rich mixture's
// equilibrium would drift towards methane and soot that never form.
const (
	tableLow, tableStep = 300.0, 100.0 // K
	tableRows           = 34           // to 3600 K
	freeze              = 1700.0       // K
	tablePascal         = 1e4          // Pa, lowest
	tableColumns        = 15           // to 2.5e7 Pa
)

var (
	logLow  = math.Log(tablePascal)
	logStep = math.Log(2500) / (tableColumns - 1)
)

// Table holds enthalpy and gas constant of one mixture's burned gas over
// temperature and pressure, 300 to 3600 K and 0.1 to 250 bar, as bicubic patches
// that share value and slope along their edges. Make one with [NewTable]; the zero
// value must not be read. Against direct equilibrium: enthalpy within 1e-4 of
// cp T, gas constant within 1e-5.
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
func NewTable(m Mixture) (*Table, error) {
	solve, err := newSolver(m)
	if err != nil {
		return nil, err
	}
	var h, r [tableRows][tableColumns]knot
	for j := 0; j < tableColumns; j++ {
		p := math.Exp(logLow + float64(j)*logStep)
		cold, err := solve.frozenBelow(p)
		if err != nil {
			return nil, err
		}
		for i := 0; i < tableRows; i++ {
			t := tableLow + float64(i)*tableStep
			var s State
			if t < freeze {
				s = cold.at(t, p)
			} else if s, err = solve.solve(t, p); err != nil {
				return nil, err
			}
			if t == freeze { // the joint's slopes are the mean of its two sides
				k := cold.at(t, p)
				s.Cp, s.dlnVdlnT = (s.Cp+k.Cp)/2, (s.dlnVdlnT+k.dlnVdlnT)/2
			}
			h[i][j] = knot{f: s.H, u: s.Cp * tableStep, v: (s.R*s.T - s.R*s.T*s.dlnVdlnT) * logStep}
			r[i][j] = knot{f: s.R, u: s.R / s.T * (s.dlnVdlnT - 1) * tableStep, v: s.R * (s.dlnVdlnP + 1) * logStep}
		}
	}
	// Composition below freeze depends on the pressure it froze at, so the pressure
	// slopes there come from the neighbours.
	for i := 0; tableLow+float64(i)*tableStep < freeze; i++ {
		for j := 0; j < tableColumns; j++ {
			a, b := max(j-1, 0), min(j+1, tableColumns-1)
			h[i][j].v = (h[i][b].f - h[i][a].f) / float64(b-a)
			r[i][j].v = (r[i][b].f - r[i][a].f) / float64(b-a)
		}
	}
	t := &Table{}
	twist(&h)
	twist(&r)
	for i := 0; i < tableRows-1; i++ {
		for j := 0; j < tableColumns-1; j++ {
			c := &t.cells[i*(tableColumns-1)+j]
			c.h = bicubic(h[i][j], h[i][j+1], h[i+1][j], h[i+1][j+1])
			c.r = bicubic(r[i][j], r[i][j+1], r[i+1][j], r[i+1][j+1])
		}
	}
	return t, nil
}

// frozenBelow returns the composition at the freezing temperature.
func (s *solver) frozenBelow(p float64) (Frozen, error) {
	s.reset()
	st, err := s.solve(freeze, p)
	if err != nil {
		return Frozen{}, err
	}
	parts := make([]Part, len(products))
	for j, n := range st.Moles {
		parts[j] = Part{products[j], n}
	}
	return Mix(parts...)
}

// twist sets the mixed derivative from the neighbours along pressure.
func twist(k *[tableRows][tableColumns]knot) {
	for i := range k {
		for j := range k[i] {
			a, b := max(j-1, 0), min(j+1, tableColumns-1)
			k[i][j].uv = (k[i][b].u - k[i][a].u) / float64(b-a)
		}
	}
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

// Curve is enthalpy over temperature of a gas whose composition stays, 250 to
// 1550 K in cubic pieces with the exact heat capacity at their joints.
type Curve struct {
	r    float64
	cell [curveCells][4]float64
}

const (
	curveLow, curveStep = 250.0, 50.0 // K
	curveCells          = 26
)

// NewCurve tabulates the enthalpy of a frozen gas.
func NewCurve(f Frozen) (*Curve, error) {
	if len(f.parts) == 0 {
		return nil, outOfRange("mass of the mixture", 0, "kg", "more than 0")
	}
	c := &Curve{r: f.r}
	last := f.at(curveLow, standard)
	for i := range c.cell {
		next := f.at(curveLow+float64(i+1)*curveStep, standard)
		c.cell[i] = hermite(last.H, next.H, last.Cp*curveStep, next.Cp*curveStep)
		last = next
	}
	return c, nil
}

// Products tabulates the burned gas of a table as the cold residual it leaves in
// the next charge: its composition frozen at one bar.
func (t *Table) Products() *Curve {
	c := &Curve{}
	var b Burned
	y := math.Log(standard)
	at := func(kelvin float64) (float64, float64) {
		t.At(kelvin, y, &b)
		return b.H, b.HT * curveStep
	}
	h, d := at(curveLow)
	for i := range c.cell {
		h1, d1 := at(curveLow + float64(i+1)*curveStep)
		c.cell[i] = hermite(h, h1, d, d1)
		h, d = h1, d1
	}
	t.At(1000, y, &b)
	c.r = b.R
	return c
}

// Blend returns the curve of a mixture of two gases, the share y by mass of b.
func (c *Curve) Blend(b *Curve, y float64) Curve {
	m := Curve{r: c.r + (b.r-c.r)*y}
	for i := range c.cell {
		for j := range c.cell[i] {
			m.cell[i][j] = c.cell[i][j] + (b.cell[i][j]-c.cell[i][j])*y
		}
	}
	return m
}

// GasConstant returns J/(kg K).
func (c *Curve) GasConstant() float64 { return c.r }

// At returns enthalpy in J/kg and heat capacity in J/(kg K) at a temperature in K.
// Outside 250 to 1550 K the last piece is continued.
func (c *Curve) At(kelvin float64) (h, cp float64) {
	u := (kelvin - curveLow) * (1 / curveStep)
	i := min(max(int(u), 0), curveCells-1)
	u -= float64(i)
	a := &c.cell[i]
	return a[0] + u*(a[1]+u*(a[2]+u*a[3])), (a[1] + u*(2*a[2]+u*3*a[3])) * (1 / curveStep)
}
