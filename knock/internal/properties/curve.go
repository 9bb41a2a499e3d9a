package properties

import (
	"math"

	"example.org/bobweight/knock/gas"
)

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
func NewCurve(f gas.Frozen) (*Curve, error) {
	c := &Curve{r: f.GasConstant()}
	last, err := f.At(curveLow, standard)
	if err != nil {
		return nil, err
	}
	for i := range c.cell {
		next, err := f.At(curveLow+float64(i+1)*curveStep, standard)
		if err != nil {
			return nil, err
		}
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
