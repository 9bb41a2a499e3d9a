package gas

import "math"

// R is the universal gas constant that belongs to the NASA coefficients,
// J/(mol K); the CODATA value of 2018 is 5.7e-6 smaller in relative terms.
const R = 8.31451

// Elements counted in a mixture, in the order of every atoms array.
const (
	carbon = iota
	hydrogen
	oxygen
	nitrogen
	argon
	elements
)

type atoms [elements]float64

// nine is one temperature range of a species: a1..a7, b1, b2.
type nine [9]float64

// Species is one ideal gas. The zero value has no mass and is refused; use the
// species of this package.
type Species struct {
	name   string
	atoms  atoms
	molar  float64 // kg/mol
	lowest float64 // K, lower end of the fit
	fit    [2]nine
}

// highest and middle bound the two ranges of every fit, K.
const (
	middle  = 1000.0
	highest = 6000.0
)

// MolarMass returns kg/mol; 0 for nil.
func (s *Species) MolarMass() float64 {
	if s == nil {
		return 0
	}
	return s.molar
}

// Properties returns molar heat capacity, enthalpy and entropy at 1 bar, in
// J/(mol K), J/mol and J/(mol K), at a temperature in K from the lower end of the
// species' fit (200 or 300 K) to 6000 K. Enthalpy counts from the elements at
// 298.15 K. Source: NASA/TP-2002-211556, eqs. (1) to (3).
func (s *Species) Properties(kelvin float64) (cp, h, entropy float64, err error) {
	if s == nil || s.molar == 0 {
		return 0, 0, 0, outOfRange("species molar mass", 0, "kg/mol", "a species of this package")
	}
	if !inside(kelvin, s.lowest, highest) {
		return 0, 0, 0, outOfRange(s.name+" temperature", kelvin, "K", "lower end of the fit (200 or 300 K) to 6000 K")
	}
	c, h, e := s.reduced(kelvin)
	return c * R, h * R * kelvin, e * R, nil
}

// reduced returns cp/R, h/(RT) and s/R.
func (s *Species) reduced(t float64) (cp, h, e float64) {
	a := &s.fit[0]
	if t > middle {
		a = &s.fit[1]
	}
	it, lt := 1/t, math.Log(t)
	cp = (a[0]*it+a[1])*it + a[2] + t*(a[3]+t*(a[4]+t*(a[5]+t*a[6])))
	h = -a[0]*it*it + a[1]*lt*it + a[2] + t*(a[3]/2+t*(a[4]/3+t*(a[5]/4+t*a[6]/5))) + a[7]*it
	e = -a[0]*it*it/2 - a[1]*it + a[2]*lt + t*(a[3]+t*(a[4]/2+t*(a[5]/3+t*a[6]/4))) + a[8]
	return cp, h, e
}
