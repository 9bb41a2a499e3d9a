package knock

import (
	"math"

	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/properties"
	"example.org/bobweight/knock/internal/unchecked"
)

// charge is a cylinder at inlet closing, ready to be fired at any spark. Building
// it carries the gas exchange and the compression, which spark does not touch.
type charge struct {
	crank  crank
	path   *path
	mix    *mixture
	rpm    float64
	second float64 // crank degrees per second

	mass     float64          // kg
	residual float64          // share by mass of burned gas from the last cycle and the inlet
	unburned properties.Curve // fresh charge with that residual
	r        float64          // J/(kg K) of it

	closes, opens      float64 // crank degrees after top centre
	t0, p0, v0         float64 // state at inlet closing
	inlet, exhaust     float64 // Pa in the manifolds
	residualKelvin     float64
	wallKelvin         float64
	woschni            float64 // ln of the factor before p^0.8 T^-0.55 w^0.8
	logMean            float64 // ln of T0/(p0 v0): mean temperature from p V
	piston, combustion float64 // the two parts of the gas speed in it
	logPiston          float64
	motoredScale       float64        // Pa m^3.9: pressure of the motored cylinder times V^1.3
	rate               unchecked.Rate // of the autoignition delay
	octane             float64        // effective octane number

	develop, rapid float64 // burn angles at the reference state
	speed, flame   float64 // exponents of the scaling
	law            correlations.LaminarFlame
	burned         float64 // mole fraction of burned gas

	filling     float64 // volumetric efficiency on a standard day
	intakeHead  float64 // m2/s2, see intakeHead
	bottom      float64 // m3 at bottom centre
	motoredPeak float64 // Pa
	friction    float64 // mean effective pressure, Pa
	motored     [motoredNodes]node
	nodes       int
	phasing     float64
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

// prepare fills the charge. residualKelvin is the temperature of the residual gas
// when the inlet opens; reference scales the burn angles.
func (c *charge) prepare(e *Engine, cond Condition, mix *mixture, w *parameters, residualKelvin float64, reference *burnReference, g *geometry) {
	c.crank, c.path = g.crank, g.path
	c.intakeHead, c.bottom = g.intakeHead, g.bottom
	c.filling, _ = g.filling.Clamped(cond.RPM) // a speed that has been checked
	c.law = reference.law
	c.mix = mix
	c.rpm, c.second = cond.RPM, 6*cond.RPM
	c.closes, c.opens = -e.InletClose, e.ExhaustOpen
	load := cond.InletPressure / cond.Ambient
	c.inlet = cond.InletPressure
	c.exhaust = cond.Ambient + back(e.BackPressure, cond.RPM, load)
	c.wallKelvin = c.wallAt(cond)

	c.exchangeGas(e, cond, w, residualKelvin)
	c.prepareHeatTransfer(e, w)
	c.prepareDelay(e, cond, w)
	c.flameAngles(e, w, reference)
	c.phasing = w[phasing]
	fmep, _ := correlations.FrictionPressure(cond.RPM) // the condition's own range
	c.friction = fmep * e.Friction
	c.compress()
	c.motoredPeak = c.motor(0)[pressurePa]
}

// burnReference is the burn scale where the given burn angles belong: at spark and
// at top centre of the reference running point.
type burnReference struct {
	develop, rapid float64
	law            correlations.LaminarFlame
}

const referenceSpark = 25.0 // crank degrees before top centre

// flameAngles prepares the scaling of the burn angles.
func (c *charge) flameAngles(e *Engine, w *parameters, reference *burnReference) {
	both := w[burnBoth] + w[burnLoad]*math.Log(c.inlet/(fullLoadInlet*atmosphere))
	c.develop = e.Develop * math.Exp(both+w[burnDev]) / reference.develop
	c.rapid = e.Rapid * math.Exp(both+w[burnRapid]) / reference.rapid
	c.speed = unchecked.SpeedExponent + w[burnSpeed]
	c.flame = unchecked.FlameExponent * (1 + w[flame])
}

// burn returns the burn of a spark in crank degrees before top centre: development
// at the state of the charge half-way from spark to top centre, the rapid burn at
// that of the motored charge at top centre, or where it begins if that is later: a late
// burn chases gas that cools and thins, and slows. The source takes the state at spark
// itself, which at 45 degrees and more lets best spark run away from the 35 to 45
// degrees that engines ask for at high speed.
func (c *charge) burn(spark float64) correlations.Wiebe {
	at := func(angle float64) float64 {
		return c.law.BurnScale(c.flameState(angle), c.speed, c.flame)
	}
	w := correlations.Wiebe{Develop: c.develop * at(-spark/2)}
	late := math.Max(0, math.Min(w.Develop-spark, latestSpark))
	w.Rapid = c.rapid * at(late)
	return w
}

// flameState is the motored charge at an angle.
func (c *charge) flameState(angle float64) correlations.FlameState {
	y := c.motor(angle)
	return correlations.FlameState{RPM: c.rpm, Mixture: c.mix.phi, Kelvin: y[unburnedT], Pascal: y[pressurePa], Burned: c.burned}
}
