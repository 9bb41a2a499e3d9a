package balance

import "math"

// maxShape is the largest magnitude of a shape parameter. A larger one is taken as
// maxShape: the curve is a corner by then.
const maxShape = 100

// straight is the magnitude of 2 alpha below which a series is more exact than the
// closed form.
const straight = 1e-3

// rise returns I(x; alpha), the share of the squared speed's rise that is reached
// at the travelled part x, with its derivatives by x and by alpha. x is held between
// 0 and 1.
//
// With k = 2 alpha, I = (exp(k x) - 1)/(exp(k) - 1). Near k = 0 it is the generating
// function of the Bernoulli polynomials (defined so and proved in the
// Lean library mathlib, theorem bernoulli_generating_function).
func rise(x, alpha float64) (share, dx, dalpha float64) {
	x, k := part(x), 2*held(alpha)
	if math.Abs(k) < straight {
		y := x * (x - 1)
		share = x + k*y*(1.0/2+k*((2*x-1)/12+k*y/24))
		dx = 1 + k*((2*x-1)/2+k*((6*y+1)/12+k*y*(2*x-1)/12))
		dalpha = 2 * y * (1.0/2 + k*((2*x-1)/6+k*y/8))
		return share, dx, dalpha
	}
	if k < 0 { // the same curve seen from its other end
		share, dx, dalpha = above(1-x, -k)
		return 1 - share, dx, dalpha
	}
	return above(x, k)
}

// above is rise for k = 2 alpha clearly above zero, free of overflow.
func above(x, k float64) (share, dx, dalpha float64) {
	e := math.Exp(-k * (1 - x))
	whole := -math.Expm1(-k)
	share = e * -math.Expm1(-k*x) / whole
	dx = k * e / whole
	// d/dk (exp(kx)-1)/(exp(k)-1), both divided by exp(k).
	return share, dx, 2 * (x*e - share) / whole
}

// part holds a share between 0 and 1.
func part(x float64) float64 {
	switch {
	case x >= 1:
		return 1
	case x > 0:
		return x
	}
	return 0
}

// held holds a shape parameter inside its range.
func held(alpha float64) float64 {
	if alpha != alpha {
		return 0
	}
	return math.Min(math.Max(alpha, -maxShape), maxShape)
}
