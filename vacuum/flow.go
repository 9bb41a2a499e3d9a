package vacuum

import "math"

// Gas is a perfect gas with constant heat capacities.
type Gas struct {
	R float64 // J/(kg K), specific gas constant, 1 to 1e5
	K float64 // ratio of the heat capacities, 1.001 to 5/3
}

// Air is dry air: R = R*/M0 = 8314.32/28.9644 J/(kg K) from the U.S. Standard
// Atmosphere 1976, table 2, and a heat ratio of 1.4 as used there.
var Air = Gas{R: 8314.32 / 28.9644, K: 1.4}

// laminar is the pressure ratio above which the flow through an opening is taken
// as proportional to the pressure difference. The isentropic law has an infinite
// slope at equal pressures; a real opening turns laminar there. The last tenth
// of a per cent is a choice of ours that keeps the slope finite.
const laminar = 0.999

// Critical returns the pressure and temperature ratios, static over stagnation,
// at which the flow reaches the speed of sound:
//
//	p*/p0 = (2/(k+1))^(k/(k-1)), T*/T0 = 2/(k+1)
//
// (0.5283 and 0.8333 for air). Source: any text of gas dynamics, for example
// Cengel and Boles, Thermodynamics, chapter 17. It returns zeros for a gas whose
// K is out of range.
func (g Gas) Critical() (pressure, temperature float64) {
	if !(g.K >= 1.001 && g.K <= 5.0/3) {
		return 0, 0
	}
	temperature = 2 / (g.K + 1)
	return math.Pow(temperature, g.K/(g.K-1)), temperature
}

// nozzle is a gas with what its flow law needs, worked out once.
type nozzle struct {
	Gas
	critical float64 // pressure ratio at which the flow chokes
	choked   float64 // psi there
	slope    float64 // of psi above the laminar ratio
}

var dryAir = Air.nozzle()

func (g Gas) nozzle() nozzle {
	n := nozzle{Gas: g}
	n.critical, _ = g.Critical()
	n.choked = n.isentropic(n.critical)
	n.slope = n.isentropic(laminar) / (1 - laminar)
	return n
}

// psi is the isentropic flow function of the pressure ratio r, 0 to 1,
//
//	psi = sqrt( 2k/(k-1) (r^(2/k) - r^((k+1)/k)) ),
//
// constant below the critical ratio and straight above [laminar].
func (n *nozzle) psi(r float64) float64 {
	switch {
	case r <= n.critical:
		return n.choked
	case r > laminar:
		return n.slope * (1 - r)
	}
	return n.isentropic(r)
}

func (n *nozzle) isentropic(r float64) float64 {
	a := math.Pow(r, 1/n.K) // density ratio
	return a * math.Sqrt(2*n.K/(n.K-1)*(1-r/a))
}

// Flow returns the mass flow in kg/s through an opening of an effective area
// (area times discharge coefficient, m^2) from a space at p0 (Pa) and t0 (K) to
// one at back (Pa), isentropic to the narrowest section:
//
//	m = area p0 / sqrt(R t0) psi(back/p0),
//
// choked where back/p0 lies below [Gas.Critical]. Above a ratio of 0.999 it is
// proportional to the difference. It refuses areas below 0, pressures or
// temperatures not above 0 and a back pressure above p0. Source: Heywood,
// Internal Combustion Engine Fundamentals (1988), appendix C, from memory.
func (g Gas) Flow(area, p0, t0, back float64) (float64, error) {
	if err := g.check(p0, t0, upTo("opening", area, "m^2", 10), within("back pressure", back, "Pa", 0, p0)); err != nil {
		return 0, err
	}
	n := g.nozzle()
	return n.flow(area, p0, t0, back), nil
}

func (n *nozzle) flow(area, p0, t0, back float64) float64 {
	return area * p0 / math.Sqrt(n.R*t0) * n.psi(back/p0)
}

// between is the flow from a to b, negative if b is at the higher pressure; both
// are at temperature t.
func (n *nozzle) between(area, a, b, t float64) float64 {
	switch {
	case area == 0:
		return 0
	case a < b:
		return -n.flow(area, b, t, a)
	}
	return n.flow(area, a, t, b)
}

// Speed returns the speed in m/s that the gas reaches in expanding without loss
// from rest at p0 (Pa), t0 (K) to the pressure p (Pa, 0 to p0), as in the throat
// of a venturi: sqrt(2 cp t0 (1 - (p/p0)^((k-1)/k))).
func (g Gas) Speed(p0, t0, p float64) (float64, error) {
	if err := g.check(p0, t0, within("throat pressure", p, "Pa", 0, p0)); err != nil {
		return 0, err
	}
	return math.Sqrt(2 * g.cp() * t0 * (1 - math.Pow(p/p0, (g.K-1)/g.K))), nil
}

// Throat is the inverse of [Gas.Speed]: the pressure in Pa and the density in
// kg/m^3 where the gas has reached a speed in m/s, from rest at p0 (Pa), t0 (K).
// It refuses a speed at which the gas would have no temperature left.
func (g Gas) Throat(p0, t0, speed float64) (p, density float64, err error) {
	share := speed * speed / (2 * g.cp() * t0) // of the enthalpy, turned into speed
	if err := g.check(p0, t0, rule("speed", speed, "m/s", "0 or more and below the expansion into nothing", speed >= 0 && share < 1)); err != nil {
		return 0, 0, err
	}
	p = p0 * math.Pow(1-share, g.K/(g.K-1))
	return p, p / (g.R * t0 * (1 - share)), nil
}

func (g Gas) cp() float64 { return g.K * g.R / (g.K - 1) }

func (g Gas) check(p0, t0 float64, more ...field) error {
	return check(append([]field{
		within("gas constant", g.R, "J/(kg K)", 1, 1e5),
		within("heat ratio", g.K, "1", 1.001, 5.0/3),
		size("pressure", p0, "Pa", 1e12),
		within("temperature", t0, "K", 1, 1e5),
	}, more...)...)
}

// Divider returns the steady pressure in Pa of a space between two openings in
// series, of effective areas in and out (m^2): one from a space at high (Pa) and
// one to a space at low (Pa), all at one temperature. It is where the flow in
// equals the flow out, choked or not. A port that the throttle edge half covers
// and a chamber with a torn diaphragm are both such spaces. At least one opening
// has to be more than zero; 0 < low <= high.
func (g Gas) Divider(in, high, out, low float64) (float64, error) {
	err := g.check(high, 1, upTo("opening in", in, "m^2", 10), upTo("opening out", out, "m^2", 10),
		size("sum of the openings", in+out, "m^2", 20),
		rule("lower pressure", low, "Pa", "more than 0 and at most the higher", low > 0 && low <= high))
	if err != nil {
		return 0, err
	}
	n := g.nozzle()
	return n.divide(in, high, out, low), nil
}

func (n *nozzle) divide(in, high, out, low float64) float64 {
	switch {
	case in == 0:
		return low
	case out == 0:
		return high
	}
	return root(low, high, func(p float64) float64 {
		return in*high*n.psi(p/high) - out*p*n.psi(low/p) // falls with p
	})
}
