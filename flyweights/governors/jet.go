package governors

import "math"

// jet is a number that depends on the coordinate q, with its first and second
// derivative by q.
type jet struct{ v, d1, d2 float64 }

// constant does not depend on q, and along is q itself.
func constant(x float64) jet { return jet{v: x} }
func along(q float64) jet    { return jet{v: q, d1: 1} }

func (a jet) plus(b jet) jet      { return jet{a.v + b.v, a.d1 + b.d1, a.d2 + b.d2} }
func (a jet) minus(b jet) jet     { return a.plus(b.times(-1)) }
func (a jet) times(k float64) jet { return jet{k * a.v, k * a.d1, k * a.d2} }

// of is the chain rule: a function's value and derivatives at a.v.
func (a jet) of(f, f1, f2 float64) jet { return jet{f, f1 * a.d1, f2*a.d1*a.d1 + f1*a.d2} }

func (a jet) sin() jet {
	s, c := math.Sincos(a.v)
	return a.of(s, c, -s)
}

func (a jet) cos() jet {
	s, c := math.Sincos(a.v)
	return a.of(c, -s, -c)
}

// asin is the arcsine, NaN outside -1 to 1.
func (a jet) asin() jet {
	c := 1 / math.Sqrt(1-a.v*a.v)
	return a.of(math.Asin(a.v), c, a.v*c*c*c)
}

// leg is the other leg of a right triangle with a hypotenuse, NaN if a is longer.
func (a jet) leg(hypotenuse float64) jet {
	l := math.Sqrt((hypotenuse - a.v) * (hypotenuse + a.v))
	return a.of(l, -a.v/l, -hypotenuse*hypotenuse/(l*l*l))
}
