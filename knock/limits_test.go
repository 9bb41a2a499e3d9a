package knock

import (
	"math"
	"testing"

	"example.org/bobweight/knock/gas"
)

// report logs a published and a computed number side by side and fails outside a
// tolerance; NaN fails.
func report(t *testing.T, what string, published, got, tol float64) {
	t.Helper()
	t.Logf("%-58s published %10.5g computed %10.5g", what, published, got)
	if !(math.Abs(got-published) <= tol) {
		t.Errorf("%s: got %.7g, want %.7g within %.3g", what, got, published, tol)
	}
}

// ideal is a charge of perfect gas in an engine without heat loss, from bottom
// centre to bottom centre.
func ideal(t *testing.T, ratio, gamma, heatPerKg, kelvin float64) *charge {
	t.Helper()
	const cv = 718.0
	r := cv * (gamma - 1)
	fresh, _, err := gas.Perfect(r, cv*gamma, heatPerKg)
	if err != nil {
		t.Fatal(err)
	}
	products, table, err := gas.Perfect(r, cv*gamma, 0)
	if err != nil {
		t.Fatal(err)
	}
	e := NewEngine(1, 0.08, 0.08, 0.14, ratio, Fuel{RON: 90, MON: 80})
	g := newGeometry(e)
	c := &charge{crank: g.crank, path: g.path, mix: &mixture{phi: 1, fresh: fresh, products: products, table: table},
		rpm: 2000, second: 12000, unburned: *fresh, r: r, closes: -180, opens: 180, t0: kelvin, p0: 1e5,
		develop: 1e-3, rapid: 1e-3, speed: 1, flame: 0, woschni: math.Inf(-1)}
	c.v0, _, _ = c.crank.at(-180)
	c.mass = c.p0 * c.v0 / (r * kelvin)
	c.combustion, c.piston = 0, 1
	c.rate = rate{constant: -1e3}
	c.compress()
	return c
}

// An instantaneous burn at top centre without heat loss in a gas of constant heat
// capacity is the Otto cycle: efficiency 1 - r^(1-gamma), whatever the heat.
// Temperatures and pressures against Y. A. Cengel's and C. Borgnakke's textbooks are
// in the corpus; here the closed form is the reference.
func TestOttoLimit(t *testing.T) {
	for _, k := range []struct{ ratio, gamma, heat, kelvin float64 }{
		{8, 1.4, 1e6, 288}, {6, 1.4, 6e5, 300}, {10, 1.35, 1.2e6, 300},
	} {
		c := ideal(t, k.ratio, k.gamma, k.heat, k.kelvin)
		out := c.fire(birth, nil) // spark so that the first two-zone state is at top centre
		t2 := k.kelvin * math.Pow(k.ratio, k.gamma-1)
		t3 := t2 + k.heat/718
		t4 := t3 * math.Pow(k.ratio, 1-k.gamma)
		report(t, "Otto efficiency", 1-math.Pow(k.ratio, 1-k.gamma), out.work/(c.mass*k.heat), 2e-6)
		report(t, "Otto temperature at the end of expansion, K", t4, out.end[burnedT], 0.02)
		report(t, "Otto highest pressure, bar", 1*t3/k.kelvin*k.ratio, out.peak/1e5, 2e-3)
	}
}
