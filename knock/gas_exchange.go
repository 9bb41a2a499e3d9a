package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// Latent heats of evaporation of gasoline and ethanol, J/kg (handbook values, from
// memory), and the share of the fuel that takes it from the charge and not from the
// hot port (common practice, low confidence).
const (
	latentGasoline, latentEthanol = 3.5e5, 8.4e5
	fromCharge                    = 0.6
)

// chill returns the heat that evaporating fuel takes from a kg of fresh charge, J.
func (f Fuel) chill(phi float64) float64 {
	ethanol, gasoline := f.Ethanol*ethanolDensity, (1-f.Ethanol)*gasolineDensity
	share := ethanol / (ethanol + gasoline)
	perAir := phi / (gasolineAir + (ethanolAir-gasolineAir)*share) // kg of fuel per kg of air
	return fromCharge * (latentGasoline + (latentEthanol-latentGasoline)*share) * perAir / (1 + perAir)
}

// Stoichiometric air need of the two fuels, kg/kg.
const gasolineAir, ethanolAir = 14.5, 9.0

// The walls lie above the coolant by 60 K and 10 K more for each 1000 rpm at full
// load (common practice, no source; the band on temperature at inlet closing carries
// the doubt).
const wallRise, wallSlope = 60.0, 10.0

// The charge is warmed on its way in as in any exchanger with turbulent flow: of its
// distance to the walls it takes 1 - exp(-NTU), and NTU = transferUnits (Re/Re0)^-0.2,
// since the film goes with Re^0.8 (Dittus and Boelter, as in F. P. Incropera, D. P.
// DeWitt, eq. 8.60, read in a public copy) and the flow with Re. A slow or throttled engine
// warms its charge more. Re is of bore and piston speed at the state of the inlet, Re0
// that of an 80 mm bore and 90 mm stroke at 2000 rpm and full load. The units there:
// 0.10 in a port of 35 by 100 mm by Nu = 0.0694 Re^0.75 (C. Depcik, D. Assanis, SAE
// 2002-01-0372, from memory) and 0.15 in the cylinder by Woschni's gas exchange (a test
// works both out), and about 0.1 by the warmed manifold of a carburettor (common
// practice). The rating engine, whose charge a gas-exchange model fitted to its
// pressures has at 406 to 410 K at inlet closing (P. Pal et al., SAE 2018-01-0187,
// table 3), asks for more, 0.6.
const (
	transferUnits = 0.36
	transferRe    = 3.0e4
	airViscosity  = 1.85e-5 // Pa s at 298 K
)

// warming is the share of its distance to the walls that the fresh charge takes.
func warming(e *Engine, cond Condition, r float64) float64 {
	density := cond.InletPressure / (r * cond.InletTemperature)
	re := density * 2 * e.Stroke * cond.RPM / 60 * e.Bore / airViscosity
	return -math.Expm1(-transferUnits * math.Pow(re/transferRe, -0.2))
}

// exchangeGas finds mass, residual and temperature at inlet closing. The volumetric
// efficiency says how much goes in at full load on a standard day, and thereby to
// what share of the inlet pressure the cylinder fills. Throttled, hot or high up it
// fills to the same share; what then goes in follows from the first law.
func (c *charge) exchangeGas(e *Engine, cond Condition, w *parameters, residualKelvin float64) {
	c.residualKelvin = residualKelvin
	c.v0, _, _ = c.crank.at(c.closes)

	standard := Condition{RPM: cond.RPM, Mixture: cond.Mixture}.withDefaults(*e)
	usual := atmosphere + back(usualBackPressure, cond.RPM, fullLoadInlet)
	f := c.inflow(e, standard, w, usual)
	efficiency := c.filling * math.Exp(w[fill]+w[fillSpeed]*fillingOpen(cond.RPM))
	in := efficiency * standard.InletPressure * c.crank.swept /
		(c.mix.fresh.GasConstant() * standard.InletTemperature)
	p, t := f.close(in)
	if cond != standard || c.exhaust != usual {
		share := p / standard.InletPressure
		f = c.inflow(e, cond, w, c.exhaust)
		_, t = f.throttled(in*cond.InletPressure/standard.InletPressure, share*cond.InletPressure)
	}
	c.t0 = t + w[heat] + w[heatSpeed]*(cond.RPM-unchecked.ReferenceRPM)/1000
	c.unburned = c.mix.fresh.Blend(c.mix.products, c.residual)
	c.r = c.unburned.GasConstant()
	c.p0 = c.mass * c.r * c.t0 / c.v0
	c.burned = c.residual * c.mix.products.GasConstant() / c.r
}

// fillingOpen is by how many 1000 rpm a speed lies above those at which engines fill alike.
func fillingOpen(rpm float64) float64 { return math.Max(0, rpm-3000) / 1000 }

// inflow readies the filling of the cylinder at a condition.
func (c *charge) inflow(e *Engine, cond Condition, w *parameters, exhaust float64) inletStroke {
	// Fresh charge warmed by the ports and cooled by its fuel.
	share := warming(e, cond, c.mix.fresh.GasConstant())
	warm := cond.InletTemperature + share*(c.wallAt(cond)-cond.InletTemperature) - c.mix.chill
	hFresh, _ := c.mix.fresh.At(warm)
	hCold, _ := c.mix.products.At(warm)
	return inletStroke{charge: c, dilution: cond.Dilution, inlet: cond.InletPressure, exhaust: exhaust,
		factor:   math.Exp(w[residue]),
		flow:     overlapFraction(e, cond.RPM, cond.InletPressure, exhaust),
		enthalpy: (1-cond.Dilution)*hFresh + cond.Dilution*hCold,
		density:  cond.InletPressure / (c.mix.fresh.GasConstant() * warm)}
}

// wallAt is the wall temperature at a condition.
func (c *charge) wallAt(cond Condition) float64 {
	load := math.Min(cond.InletPressure/cond.Ambient, 1)
	return cond.Coolant + (wallRise+wallSlope*cond.RPM/1000)*load
}

// inletStroke is the cylinder between inlet opening and closing.
type inletStroke struct {
	charge         *charge
	dilution       float64
	inlet, exhaust float64 // Pa
	factor         float64 // on the residual gas
	flow           float64 // share of the charge that flows back during overlap
	enthalpy       float64 // J/kg of the stream from the inlet
	density        float64 // kg/m3 of it
}

// close is the first law from inlet opening to closing:
//
//	m u = m_in h_in + m_back h_back + m_r u_r - W
//
// with the work W on the piston of intake_loss.go.
// The clearance volume keeps exhaust gas at its temperature; what flows back through
// the overlap comes home half-way cooled to the walls. It returns pressure and
// temperature and leaves mass and residual in the charge.
func (f *inletStroke) close(in float64) (p, t float64) {
	c := f.charge
	products, fresh := c.mix.products, c.mix.fresh
	rp, rf := products.GasConstant(), fresh.GasConstant()
	kept := f.exhaust * c.crank.clearance / (rp * c.residualKelvin) * f.factor
	back := math.Min(f.flow*f.factor, 0.5)
	c.mass = (in + kept) / (1 - back)
	returned := back * c.mass
	hKept, _ := products.At(c.residualKelvin)
	hBack, _ := products.At((c.residualKelvin + c.wallKelvin) / 2)
	energy := in*f.enthalpy + returned*hBack + kept*(hKept-rp*c.residualKelvin)
	c.residual = (kept + returned + in*f.dilution) / c.mass
	y, r := c.residual, rf+(rp-rf)*c.residual
	t = 350.0
	for range 30 {
		hf, cf := fresh.At(t)
		hp, cp := products.At(t)
		work := f.intakeWork(c.mass * r * t / c.v0)
		step := ((energy-work)/c.mass - ((1-y)*hf + y*hp - r*t)) / ((1-y)*cf + y*cp - r)
		t += step
		if math.Abs(step) < 1e-10*t {
			break
		}
	}
	return c.mass * r * t / c.v0, t
}

// throttled fills the cylinder to a pressure: a secant search over the inflow from a
// first guess, for pressure is nearly linear in it.
func (f *inletStroke) throttled(guess, want float64) (p, t float64) {
	a := guess
	pa, t := f.close(a)
	b := a * want / pa
	for range 12 {
		p, t = f.close(b)
		if math.Abs(p-want) < 1e-10*want || p == pa {
			break
		}
		a, b, pa = b, math.Max(b+(want-p)*(b-a)/(p-pa), 0.02*guess), p
	}
	return p, t
}

// usualBackPressure of an exhaust at 4000 rpm and full load, Pa (common practice), for which
// volumetric efficiency is told.
const usualBackPressure = 1.2e4

// back is the pressure that an exhaust adds to ambient at a speed and a share of full
// flow, Pa.
func back(at4000, rpm, load float64) float64 {
	return at4000 * math.Pow(rpm/4000*load, 2)
}
