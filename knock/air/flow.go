package air

import (
	"math"

	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
)

// Gas is a perfect gas with constant heat capacities. The zero value is refused.
type Gas struct {
	R float64 // J/(kg K), specific gas constant, 1 to 1e5
	K float64 // ratio of the heat capacities, 1.001 to 5/3
}

// Dry is dry air: R = R*/M0 = 8314.32/28.9644 J/(kg K) from the U.S. Standard
// Atmosphere 1976, table 2, and a heat ratio of 1.4 as used there.
var Dry = Gas{R: 8314.32 / 28.9644, K: 1.4}

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

var dry = Dry.nozzle()

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
// (area times discharge coefficient, 0 to 10 m^2) from a space at p0 (Pa) and t0
// (K) to one at back (Pa), isentropic to the narrowest section:
//
//	m = area p0 / sqrt(R t0) psi(back/p0),
//
// choked where back/p0 lies below [Gas.Critical]. Above a ratio of 0.999 it is
// proportional to the difference. It refuses areas below 0, pressures or
// temperatures not above 0 and a back pressure above p0. Source: NASA
// Glenn Research Center, Mass Flow Choking (read, eqs. 1 to 6 and the choked flow at
// Mach 1), with the Mach number replaced by the isentropic pressure ratio.
func (g Gas) Flow(area, p0, t0, back float64) (float64, error) {
	err := g.check(p0, t0,
		valid.In("opening", area, "m^2", 0, widest),
		valid.In("back pressure", back, "Pa", 0, p0))
	if err != nil {
		return 0, err
	}
	n := g.nozzle()
	return n.flow(area, p0, t0, back), nil
}

// widest opening in m^2 that is accepted.
const widest = 10.0

func (n *nozzle) flow(area, p0, t0, back float64) float64 {
	return area * p0 / math.Sqrt(n.R*t0) * n.psi(back/p0)
}

// Through returns the flow of dry air in kg/s through an effective area in m^2
// from a space at the pressure from to one at the pressure to (Pa), both at a
// temperature in K. It is negative where to is the higher pressure. The law is
// that of [Gas.Flow]. For arguments that Gas.Flow refuses it is 0.
func Through(area, from, to, kelvin float64) float64 {
	if from < to {
		return -Through(area, to, from, kelvin)
	}
	if !(area >= 0 && area <= widest && from >= least && from <= highest && to >= 0 && kelvin >= 1 && kelvin <= 1e5) {
		return 0
	}
	return dry.flow(area, from, kelvin, to)
}

// Speed returns the speed in m/s that the gas reaches in expanding without loss
// from rest at p0 (Pa), t0 (K) to the pressure p (Pa, 0 to p0), as in the throat
// of a venturi: sqrt(2 cp t0 (1 - (p/p0)^((k-1)/k))).
func (g Gas) Speed(p0, t0, p float64) (float64, error) {
	if err := g.check(p0, t0, valid.In("throat pressure", p, "Pa", 0, p0)); err != nil {
		return 0, err
	}
	return math.Sqrt(2 * g.cp() * t0 * (1 - math.Pow(p/p0, (g.K-1)/g.K))), nil
}

// Throat is the inverse of [Gas.Speed]: the pressure in Pa and the density in
// kg/m^3 where the gas has reached a speed in m/s, from rest at p0 (Pa), t0 (K).
// It refuses a speed at which the gas would have no temperature left.
func (g Gas) Throat(p0, t0, speed float64) (p, density float64, err error) {
	if err := g.check(p0, t0); err != nil {
		return 0, 0, err
	}
	fastest := math.Sqrt(2 * g.cp() * t0)
	if err := valid.Check(errRange, valid.In("speed", speed, "m/s", 0, 0.999*fastest)); err != nil {
		return 0, 0, err
	}
	share := speed * speed / (fastest * fastest) // of the enthalpy, turned into speed
	p = p0 * math.Pow(1-share, g.K/(g.K-1))
	return p, p / (g.R * t0 * (1 - share)), nil
}

func (g Gas) cp() float64 { return g.K * g.R / (g.K - 1) }

// Pressures in Pa that are accepted.
const least, highest = 1.0, 1e12

func (g Gas) check(p0, t0 float64, more ...valid.Range) error {
	return valid.Check(errRange, append([]valid.Range{
		valid.In("gas constant", g.R, "J/(kg K)", 1, 1e5),
		valid.In("heat ratio", g.K, "", 1.001, 5.0/3),
		valid.In("pressure", p0, "Pa", least, highest),
		valid.In("temperature", t0, "K", 1, 1e5),
	}, more...)...)
}

// Between returns the steady pressure in Pa of a space between two openings in
// series, of effective areas in and out (m^2, not both 0): one from a space at
// high (Pa) and one to a space at low (Pa), all dry air of one temperature. It is
// where the flow in equals the flow out, choked or not. A port that the throttle
// edge half covers and a chamber with a torn diaphragm are both such spaces. It
// returns 0 unless the areas are 0 to 10 m^2 and 0 < low <= high.
func Between(in, high, out, low float64) float64 {
	switch {
	case !(in >= 0 && in <= widest && out >= 0 && out <= widest && in+out > 0 && low > 0 && low <= high && high <= highest):
		return 0
	case in == 0:
		return low
	case out == 0:
		return high
	}
	p, _, err := root.Brent(func(p float64) float64 {
		return in*high*dry.psi(p/high) - out*p*dry.psi(low/p) // falls with p
	}, low, high, 0)
	if err != nil { // one opening is all but nothing beside the other
		if in > out {
			return high
		}
		return low
	}
	return p
}
