package knock

import (
	"math"

	"example.org/bobweight/knock/gas"
)

// mixture is what one fuel at one equivalence ratio needs tabulated.
type mixture struct {
	phi      float64
	chill    float64 // K by which evaporating fuel cools the fresh charge
	fresh    *gas.Curve
	products *gas.Curve
	table    *gas.Table
}

func newMixture(fuel Fuel, phi float64) (*mixture, error) {
	charge, err := gas.Charge(fuel.parts(), phi)
	if err != nil {
		return nil, err
	}
	fresh, err := gas.NewCurve(charge)
	if err != nil {
		return nil, err
	}
	table, err := gas.NewTable(charge.Mixture())
	if err != nil {
		return nil, err
	}
	_, cp := fresh.At(320)
	return &mixture{phi: phi, chill: fuel.chill(phi) / cp, fresh: fresh, products: table.Products(), table: table}, nil
}

// charge is a cylinder at inlet closing, ready to be fired at any spark. Building
// it carries the gas exchange and the compression, which spark does not touch.
type charge struct {
	crank  crank
	path   *path
	mix    *mixture
	rpm    float64
	second float64 // crank degrees per second

	mass     float64   // kg
	residual float64   // share by mass of burned gas from the last cycle and the inlet
	unburned gas.Curve // fresh charge with that residual
	r        float64   // J/(kg K) of it

	closes, opens      float64 // crank degrees after top centre
	t0, p0, v0         float64 // state at inlet closing
	inlet, exhaust     float64 // Pa in the manifolds
	residualKelvin     float64
	wallKelvin         float64
	woschni            float64 // ln of the factor before p^0.8 T^-0.55 w^0.8
	logMean            float64 // ln of T0/(p0 v0): mean temperature from p V
	piston, combustion float64 // the two parts of the gas speed in it
	logPiston          float64
	motoredScale       float64 // Pa m^3.9: pressure of the motored cylinder times V^1.3
	rate               rate    // of the autoignition delay
	octane             float64 // effective octane number

	develop, rapid float64 // burn angles at the reference state
	speed, flame   float64 // exponents of the scaling
	law            LaminarFlame
	burned         float64 // mole fraction of burned gas

	motored [motoredNodes]node
	nodes   int
	phasing float64
}

// node is one point of the compression before spark.
type node struct {
	angle   float64
	stepper stepper
}

const (
	motoredStep  = 5.0 // crank degrees
	motoredNodes = 60
	latestSpark  = 20.0 // crank degrees after top centre
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

// Wall temperature and heating of the charge on its way in. The walls lie above
// the coolant by 60 K and 10 K more for each 1000 rpm at full load; the fresh charge
// takes a fifth of its distance to them. Common practice, no source; the band on
// temperature at inlet closing carries the doubt.
const (
	wallRise, wallSlope = 60.0, 10.0
	heating             = 0.2
)

// prepare fills the charge. residualKelvin is the temperature of the residual gas
// when the inlet opens; reference scales the burn angles.
func (c *charge) prepare(e *Engine, cond Condition, mix *mixture, w *tweak, residualKelvin float64, reference *burnReference, g *geometry) {
	c.crank, c.path = g.crank, g.path
	c.law = reference.law
	c.mix = mix
	c.rpm, c.second = cond.RPM, 6*cond.RPM
	c.closes, c.opens = -e.InletClose, e.ExhaustOpen
	load := cond.InletPressure / cond.Ambient
	c.inlet = cond.InletPressure
	c.exhaust = cond.Ambient + c.back(load)
	c.wallKelvin = c.wallAt(cond)

	c.breathe(e, cond, w, residualKelvin)
	c.walls(e, w)
	c.ignition(e, cond, w)
	c.flameAngles(e, w, reference)
	c.phasing = w[phasing]
	c.compress()
}

// backPressure of the exhaust at 4000 rpm and full load, Pa (common practice).
const backPressure = 1.2e4

// breathe finds mass, residual and temperature at inlet closing. The volumetric
// efficiency says how much goes in at full load on a standard day, and thereby to
// what share of the inlet pressure the cylinder fills. Throttled, hot or high up it
// fills to the same share; what then goes in follows from the first law.
func (c *charge) breathe(e *Engine, cond Condition, w *tweak, residualKelvin float64) {
	c.residualKelvin = residualKelvin
	c.v0, _, _ = c.crank.at(c.closes)

	standard := Condition{RPM: cond.RPM, Mixture: cond.Mixture}.withDefaults(*e)
	f := c.inflow(e, standard, w, atmosphere+c.back(fullLoadInlet))
	efficiency := e.filling(cond.RPM) * math.Exp(w[fill])
	in := efficiency * standard.InletPressure * c.crank.swept /
		(c.mix.fresh.GasConstant() * standard.InletTemperature)
	p, t := f.close(in)
	if cond != standard {
		share := p / standard.InletPressure
		f = c.inflow(e, cond, w, c.exhaust)
		_, t = f.throttled(in*cond.InletPressure/standard.InletPressure, share*cond.InletPressure)
	}
	c.t0 = t + w[heat] + w[heatSpeed]*(cond.RPM-referenceRPM)/1000
	c.unburned = c.mix.fresh.Blend(c.mix.products, c.residual)
	c.r = c.unburned.GasConstant()
	c.p0 = c.mass * c.r * c.t0 / c.v0
	c.burned = c.residual * c.mix.products.GasConstant() / c.r
}

// inflow readies the filling of the cylinder at a condition.
func (c *charge) inflow(e *Engine, cond Condition, w *tweak, exhaust float64) filling {
	// Fresh charge warmed by the ports and cooled by its fuel.
	warm := cond.InletTemperature + heating*(c.wallAt(cond)-cond.InletTemperature) - c.mix.chill
	hFresh, _ := c.mix.fresh.At(warm)
	hCold, _ := c.mix.products.At(warm)
	return filling{charge: c, dilution: cond.Dilution, inlet: cond.InletPressure, exhaust: exhaust,
		factor:   math.Exp(w[residue]),
		flow:     overlapFraction(e, cond.RPM, cond.InletPressure, exhaust),
		enthalpy: (1-cond.Dilution)*hFresh + cond.Dilution*hCold}
}

// wallAt is the wall temperature at a condition.
func (c *charge) wallAt(cond Condition) float64 {
	load := math.Min(cond.InletPressure/cond.Ambient, 1)
	return cond.Coolant + (wallRise+wallSlope*cond.RPM/1000)*load
}

// filling is the cylinder between inlet opening and closing.
type filling struct {
	charge         *charge
	dilution       float64
	inlet, exhaust float64 // Pa
	factor         float64 // on the residual gas
	flow           float64 // share of the charge that flows back during overlap
	enthalpy       float64 // J/kg of the stream from the inlet
}

// close is the first law from inlet opening to closing, with the piston drawing at
// inlet pressure:
//
//	m u = m_in h_in + m_back h_back + m_r u_r - p_i (V0 - Vc)
//
// The clearance volume keeps exhaust gas at its temperature; what flows back through
// the overlap comes home half-way cooled to the walls. It returns pressure and
// temperature and leaves mass and residual in the charge.
func (f *filling) close(in float64) (p, t float64) {
	c := f.charge
	products, fresh := c.mix.products, c.mix.fresh
	rp, rf := products.GasConstant(), fresh.GasConstant()
	kept := f.exhaust * c.crank.clearance / (rp * c.residualKelvin) * f.factor
	back := math.Min(f.flow*f.factor, 0.5)
	c.mass = (in + kept) / (1 - back)
	returned := back * c.mass
	hKept, _ := products.At(c.residualKelvin)
	hBack, _ := products.At((c.residualKelvin + c.wallKelvin) / 2)
	energy := in*f.enthalpy + returned*hBack + kept*(hKept-rp*c.residualKelvin) - f.inlet*(c.v0-c.crank.clearance)
	c.residual = (kept + returned + in*f.dilution) / c.mass
	y, r := c.residual, rf+(rp-rf)*c.residual
	t = 350.0
	for range 30 {
		hf, cf := fresh.At(t)
		hp, cp := products.At(t)
		step := (energy/c.mass - ((1-y)*hf + y*hp - r*t)) / ((1-y)*cf + y*cp - r)
		t += step
		if math.Abs(step) < 1e-10*t {
			break
		}
	}
	return c.mass * r * t / c.v0, t
}

// throttled fills the cylinder to a pressure: a secant search over the inflow from a
// first guess, for pressure is nearly linear in it.
func (f *filling) throttled(guess, want float64) (p, t float64) {
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

// back is the pressure that the exhaust adds to ambient at a share of full flow, Pa.
func (c *charge) back(load float64) float64 {
	return backPressure * math.Pow(c.rpm/4000*load, 2)
}

// ResidualFraction is a published correlation for the share by mass of the last
// cycle's gas:
//
//	x = 1.266 (OF/N) (pi/pe)^-0.87 sqrt|pe-pi| + 0.632 phi (pi/pe)^-0.74/r
//
// with speed N in rev/s, inlet and exhaust pressures in bar, the overlap factor OF in
// deg/m (see [OverlapFactor]) and the compression ratio r. Source: J. W. Fox, W. K.
// Cheng, J. B. Heywood, SAE 931025 (1993) (from memory), fitted at light and middle
// load. The cycle takes its first term, the flow back through the overlap, and finds
// the gas kept in the clearance volume from its pressure and temperature instead of
// the second: at full load that term would need residual gas of 600 K for the
// mass and energy at inlet closing to agree. Arguments: rpm, deg/m, Pa, Pa.
func ResidualFraction(rpm, overlapFactor, inlet, exhaust, phi, compressionRatio float64) (float64, error) {
	err := check(
		bound{field: "engine speed", value: rpm, lo: 300, hi: 9000, unit: "rpm crank"},
		bound{field: "overlap factor", value: overlapFactor, lo: 0, hi: 50, unit: "deg/m"},
		bound{field: "inlet pressure", value: inlet, lo: 1e4, hi: 3e5, unit: "Pa"},
		bound{field: "exhaust pressure", value: exhaust, lo: 3e4, hi: 4e5, unit: "Pa"},
		bound{field: "mixture", value: phi, lo: 0.5, hi: 1.7},
		bound{field: "compression ratio", value: compressionRatio, lo: 3, hi: 25})
	if err != nil {
		return 0, err
	}
	return backflow(rpm, overlapFactor, inlet, exhaust) +
		0.632*phi*math.Pow(inlet/exhaust, -0.74)/compressionRatio, nil
}

func backflow(rpm, overlapFactor, inlet, exhaust float64) float64 {
	return 1.266 * overlapFactor / (rpm / 60) * math.Pow(inlet/exhaust, -0.87) * math.Sqrt(math.Abs(exhaust-inlet)/1e5)
}

// OverlapFactor is the valve area during overlap over the swept volume, deg/m:
// 1.45/B (107 + 7.8 D + D^2) L d/B^2 with overlap D in crank degrees between 0.15 mm
// lifts, bore B, valve lift L and inlet valve diameter d in mm (given here in m).
// Source: as [ResidualFraction].
func OverlapFactor(overlap, bore, lift, valveDiameter float64) (float64, error) {
	err := check(
		bound{field: "valve overlap", value: overlap, lo: -40, hi: 140, unit: "deg crank"},
		bound{field: "bore", value: bore, lo: 0.03, hi: 0.3, unit: "m"},
		bound{field: "inlet valve lift", value: lift, lo: 0, hi: 0.05, unit: "m"},
		bound{field: "inlet valve diameter", value: valveDiameter, lo: 0, hi: 0.2, unit: "m"})
	if err != nil {
		return 0, err
	}
	b := bore * 1e3
	return 1.45 / b * (107 + overlap*(7.8+overlap)) * (lift * 1e3) * (valveDiameter * 1e3) / (b * b), nil
}

// overlapFraction is the flow back through the overlap of the engine. The correlation
// was fitted below a fifth; a long cam at idle would give more than the cylinder
// holds, so the flow saturates at backflowMost.
func overlapFraction(e *Engine, rpm, inlet, exhaust float64) float64 {
	factor, err := OverlapFactor(e.Overlap, e.Bore, e.Lift, e.ValveDiameter)
	if err != nil { // Engine.Check has been passed
		return 0
	}
	x := backflow(rpm, factor, inlet, exhaust)
	return x / (1 + x/backflowMost)
}

const backflowMost = 0.6

// WallCoefficient returns the heat-transfer coefficient in W/(m2 K)
//
//	h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8
//
// with p in kPa, for a bore in m, a pressure in Pa, a mean gas temperature in K and a
// gas speed in m/s (see [GasSpeed]), all > 0. Source: G. Woschni, SAE 670931 (1967), SI form as
// in Heywood (1988), eq. (12.19) (from memory). Other correlations differ by 1.5 to 2.
func WallCoefficient(bore, pascal, kelvin, speed float64) (float64, error) {
	err := check(
		bound{field: "bore", value: bore, lo: 0.01, hi: 1, unit: "m"},
		bound{field: "pressure", value: pascal, lo: 1e3, hi: 5e7, unit: "Pa"},
		bound{field: "gas temperature", value: kelvin, lo: 200, hi: 4000, unit: "K"},
		bound{field: "gas speed", value: speed, lo: 1e-3, hi: 500, unit: "m/s"})
	if err != nil {
		return 0, err
	}
	return math.Exp(logWall(bore) + 0.8*math.Log(pascal*speed) - 0.55*math.Log(kelvin)), nil
}

// GasSpeed returns the speed in m/s that [WallCoefficient] wants during combustion and
// expansion,
//
//	w = 2.28 Sp + 3.24e-3 Vd Tr/(pr Vr) (p - pm)
//
// from the mean piston speed in m/s, the swept volume in m3, a reference state of the
// charge (K, Pa, m3), the pressure and the motored pressure in Pa. Source as there.
func GasSpeed(piston, swept, kelvin, pascal, volume, pressure, motored float64) (float64, error) {
	err := check(
		bound{field: "piston speed", value: piston, lo: 0, hi: 60, unit: "m/s"},
		bound{field: "swept volume", value: swept, lo: 1e-6, hi: 0.1, unit: "m3"},
		bound{field: "reference temperature", value: kelvin, lo: 200, hi: 1500, unit: "K"},
		bound{field: "reference pressure", value: pascal, lo: 1e3, hi: 1e7, unit: "Pa"},
		bound{field: "reference volume", value: volume, lo: 1e-7, hi: 0.1, unit: "m3"},
		bound{field: "pressure", value: pressure, lo: 0, hi: 5e7, unit: "Pa"},
		bound{field: "motored pressure", value: motored, lo: 0, hi: 5e7, unit: "Pa"})
	if err != nil {
		return 0, err
	}
	return pistonShare*piston + combustionShare(swept, kelvin, pascal, volume)*(pressure-motored), nil
}

const pistonShare = 2.28

func combustionShare(swept, kelvin, pascal, volume float64) float64 {
	return 3.24e-3 * swept * kelvin / (pascal * volume)
}

// logWall is the logarithm of the factor before p^0.8 T^-0.55 w^0.8, p in Pa.
func logWall(bore float64) float64 {
	return math.Log(3.26 * math.Pow(bore, -0.2) * math.Pow(1e-3, 0.8))
}

// walls prepares the heat transfer of the charge.
func (c *charge) walls(e *Engine, w *tweak) {
	c.woschni = logWall(e.Bore) + math.Log(e.WallHeat) + w[wall]
	c.logMean = math.Log(c.t0 / (c.p0 * c.v0))
	c.motoredScale = c.p0 * math.Pow(c.v0, polytrope)
	c.piston = pistonShare * 2 * e.Stroke * c.rpm / 60
	c.logPiston = math.Log(c.piston)
	c.combustion = combustionShare(c.crank.swept, c.t0, c.p0, c.v0)
}

// ignition prepares the rate of the autoignition integral.
func (c *charge) ignition(e *Engine, cond Condition, w *tweak) {
	c.octane = effectiveOctane(e.Fuel.Index(e.K)+w[octane], c.residual, cond)
	d := Delay{
		Scale: delayPrior * math.Exp(w[delay]) * math.Pow(c.rpm/referenceRPM, w[delaySpeed]) *
			math.Pow(c.octane/pivotOctane, w[octanePow]),
		Pressure:   pressureExponent + w[pressure],
		Activation: activation + w[arrhenius],
	}
	c.rate = d.rate(c.octane)
	c.rate.constant -= math.Log(c.second)
}

// delayPrior multiplies the published delay before any calibration. The rating
// engine in which the correlation was fitted saw its own end-gas temperature; with
// the state computed here a factor of 0.4 to 0.8 puts trace knock of 91 octane at
// 8.5 to 1 and full load at 15 to 25 degrees, where engines of that ratio run
// (common practice: 8 to 1 asks for about 92, 9 to 1 for about 96 octane).
const delayPrior = 0.6

// typicalResidual is the burned gas that the delay's own fit already contains.
const typicalResidual = 0.06

// effectiveOctane adds to the octane index what slows ignition beyond temperature
// and pressure: burned gas, 3 % of octane per 10 % (B. Hoepke et al., SAE
// 2012-01-0707); mixture, least resistance 5 % rich and 2 octane per unit of
// air-fuel ratio away from it (S. Russ, SAE 960497), of which burn, pressure and
// temperature of the cycle already give about half; water, 0.3 octane per g/kg
// (common practice).
func effectiveOctane(index, residual float64, cond Condition) float64 {
	const stoichiometric, knee = 14.5, 0.3 // air-fuel ratios
	away := stoichiometric/cond.Mixture - stoichiometric/1.05
	mixture := 1.2 * (math.Sqrt(away*away+knee*knee) - knee)
	water := 300 * (cond.Humidity - 0.007)
	return (index + mixture + water) * (1 + 0.3*(residual-typicalResidual))
}

// burnReference is the burn scale where the given burn angles belong: at spark and
// at top centre of the reference running point.
type burnReference struct {
	develop, rapid float64
	law            LaminarFlame
}

const referenceSpark = 25.0 // crank degrees before top centre

// flameAngles prepares the scaling of the burn angles.
func (c *charge) flameAngles(e *Engine, w *tweak, reference *burnReference) {
	both := w[burnBoth] + w[burnLoad]*math.Log(c.inlet/(fullLoadInlet*atmosphere))
	c.develop = e.Develop * math.Exp(both+w[burnDev]) / reference.develop
	c.rapid = e.Rapid * math.Exp(both+w[burnRapid]) / reference.rapid
	c.speed = speedExponent + w[burnSpeed]
	c.flame = flameExponent * (1 + w[flame])
}

// burn returns the burn of a spark in crank degrees before top centre: development
// at the state of the charge half-way from spark to top centre, the rapid burn at
// that of the motored charge at top centre. The source takes the state at spark
// itself, which at 45 degrees and more lets best spark run away from the 35 to 45
// degrees that engines ask for at high speed.
func (c *charge) burn(spark float64) Wiebe {
	at := func(angle float64) float64 {
		return c.law.burnScale(c.flameState(angle), c.speed, c.flame)
	}
	return Wiebe{Develop: c.develop * at(-spark/2), Rapid: c.rapid * at(0)}
}

// flameState is the motored charge at an angle.
func (c *charge) flameState(angle float64) FlameState {
	y := c.motor(angle)
	return FlameState{RPM: c.rpm, Mixture: c.mix.phi, Kelvin: y[unburnedT], Pascal: y[pressurePa], Burned: c.burned}
}
