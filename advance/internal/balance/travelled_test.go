package balance

import "math"

// travelled returns the travelled part x at which rise has reached a share of the
// squared speed's rise, with its derivatives by the share and by alpha. The share
// is held between 0 and 1.
func travelled(share, alpha float64) (x, dshare, dalpha float64) {
	u, k := part(share), 2*held(alpha)
	switch {
	case math.Abs(k) < straight/100:
		x = u + k*u*(1-u)*(1.0/2+k*(1-2*u)/6)
	case k < 0:
		x = 1 - math.Log1p((1-u)*math.Expm1(-k))/-k
	default:
		x = math.Log1p(u*math.Expm1(k)) / k
	}
	x = part(x)
	_, slope, by := rise(x, alpha)
	return x, 1 / slope, -by / slope
}
