package knock

import "math"

// brake returns the work per cycle and cylinder at the crankshaft, J: what the
// cycle did between inlet closing and exhaust opening, the ends of the stroke, the
// pumping loop and friction.
func (c *charge) brake(e *Engine, out *cycleResult) float64 {
	bottom := c.crank.clearance + c.crank.swept
	opening, _, _ := c.crank.at(c.opens)
	// Blow-down falls straight to the exhaust pressure; the charge rises straight
	// from inlet pressure to that at inlet closing.
	blow := (out.end[pressurePa] + c.exhaust) / 2 * (bottom - opening)
	closing := (c.inlet + c.p0) / 2 * (bottom - c.v0)
	pumping := (c.exhaust - c.inlet) * c.crank.swept
	loaded := (c.friction + loadFriction*e.Friction*(out.peak-c.motoredPeak)) * c.crank.swept
	return out.work*(1-c.creviced(out.peak)) + blow - closing - pumping - loaded
}

// loadFriction is what a cycle's highest pressure adds to friction, Pa of mean effective
// pressure per Pa: S. K. Chen, P. F. Flynn, SAE 650733 (1965), 0.137 bar + 0.005 p_max +
// 0.162 Sp (read in public copies). The correlation of motored engines contains the motored
// cylinder's pressure already.
const loadFriction = 0.005

// Crevices about the piston hold some crevice of the clearance volume (1 to 2 %, J. B.
// Heywood (1988), ch. 8, from memory). Gas pressed into them is as cold as the walls and
// comes out when its heat is worth little: a quarter of its work is lost, which puts half burned
// at best torque near the 8 to 10 degrees that engines show (the rule was in view when the
// quarter was taken). More pressure, more loss: best torque moves later.
const crevice, creviceLost = 0.015, 0.25

// creviced is the share of the work that crevices cost at a highest pressure.
func (c *charge) creviced(peak float64) float64 {
	return creviceLost * peak * crevice * c.crank.clearance / (c.r * c.wallKelvin * c.mass)
}

// brakeWork returns the crankshaft work of a spark, shifted by what calibration has
// learned about the phasing of best torque.
func (c *charge) brakeWork(e *Engine, spark float64) float64 {
	out := c.fire(spark-c.phasing, nil)
	return c.brake(e, &out)
}

// bestTorqueSpark returns the spark of bestTorqueSpark torque with its work and half the curvature
// there, J per degree squared (negative). Parabolas through three sparks, drawn
// closer in turn: the top is smooth and flat.
func (c *charge) bestTorqueSpark(e *Engine) (spark, work, curvature float64) {
	w := c.burn(20)
	spark = burnAngle(w, 0.5) - 7 + c.phasing
	spark = math.Max(-5, math.Min(spark, latestSearch))
	for _, h := range [...]float64{6, 3, 3} {
		for range 6 {
			a, b, d := c.brakeWork(e, spark-h), c.brakeWork(e, spark), c.brakeWork(e, spark+h)
			work = b
			bend := (a + d - 2*b) / (2 * h * h)
			curvature = bend
			tilt := (d - a) / (2 * h)
			move := 10 * math.Copysign(1, tilt)
			if bend < 0 {
				move = math.Max(-10, math.Min(10, -tilt/(2*bend)))
			}
			next := math.Max(earliestSearch, math.Min(spark+move, latestSearch))
			moved := next - spark
			spark = next
			if math.Abs(moved) < h {
				break
			}
		}
	}
	return spark, work, curvature
}

// Range of sparks that searches look at, crank degrees before top centre.
const (
	earliestSearch = -12.0
	latestSearch   = 75.0
)
