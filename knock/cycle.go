package knock

import (
	"math"

	"example.org/bobweight/knock/internal/properties"
)

// Steps of the burn: short behind the spark, where the burned zone is born, then just
// short enough for the first law to close to a millionth, then longer when the burn is
// all but over.
const (
	birth     = 0.5 // crank degrees from spark to the first two-zone state
	burnStep  = 1.8
	lateStep  = 3.0
	lateAngle = 55.0 // crank degrees after top centre
	burnt     = 1e-5 // unburned share that burns at once at the end
	maxSteps  = 1500 // 720 crank degrees in steps of birth
)

// cycleResult is one fired cycle.
type cycleResult struct {
	work, heatLoss float64 // J from inlet closing to exhaust opening
	peak, peakAt   float64 // Pa, crank degrees after top centre
	integral       float64 // autoignition integral when 95 % has burned
	onset          float64 // crank degrees after top centre where it reached 1, NaN if never
	onsetUnburned  float64 // share of the charge not yet burned there
	end            state   // at exhaust opening
	residualLaw    float64 // first-law residual over the energy of the fuel
	gap            float64 // volume of the zones over the cylinder's, minus one
	half           float64 // crank degrees after top centre, half burned
	hottest        float64 // K, highest end-gas temperature before 95 %
	valid          bool    // inside the property tables
}

const consumed = 0.95 // share burned at which the end gas no longer knocks

// fire runs one cycle with a spark in crank degrees before top centre. It allocates
// nothing. The trace, when given, receives a sample at each step.
func (c *charge) fire(spark float64, samples *trace) cycleResult {
	return c.run(spark, samples, false)
}

// run is fire; for the level alone it ends where the end gas is consumed, and leaves the
// rest of the result unfinished.
func (c *charge) run(spark float64, samples *trace, levelOnly bool) cycleResult {
	w := c.burn(spark)
	b := prepared(w)
	start := -spark
	last := start + burnAngle(w, consumed)
	out := cycleResult{onset: math.NaN(), half: start + burnAngle(w, 0.5), integral: math.NaN()}

	angle := start + birth
	s := stepper{ph: knocking, y: c.motor(angle)}
	c.at(angle, start, &b, &s.current)
	c.ignite(s.current.x, &s.y)
	c.begin(&s)
	samples.before(c, start)
	var middle, to crankState
	h := birth
	for range maxSteps {
		samples.add(angle, &s)
		c.track(&out, angle, &s.y)
		if c.opens-angle < 1e-9 {
			c.close(&out, &s)
			return out
		}
		step := math.Min(h, c.opens-angle)
		shape := &b
		if s.ph == expansion {
			shape = nil
		}
		c.at(angle+step/2, start, shape, &middle)
		c.at(angle+step, start, shape, &to)
		before, slope := s.y, s.k1
		c.step(&s, step, &middle, &to)
		if s.ph == knocking {
			c.knockInside(&out, &b, start, angle, step, last, &before, &slope, &s.y, &s.k1)
			if levelOnly && !math.IsNaN(out.integral) {
				return out
			}
		}
		c.peakInside(&out, angle, step, &before, &slope, &s.y, &s.k1)
		angle += step
		switch {
		case s.ph != expansion && 1-to.x < burnt:
			c.burnOut(1-to.x, &s.y)
			s.ph = expansion
			c.begin(&s)
		case s.ph == knocking && angle >= last:
			s.ph = burningOn
		}
		switch {
		case angle > lateAngle && s.ph != knocking:
			h = lateStep
		case h < burnStep:
			h = math.Min(2*h, burnStep)
		}
	}
	return out // not valid
}

// close balances the books at exhaust opening.
func (c *charge) close(out *cycleResult, s *stepper) {
	y := &s.y
	out.work, out.heatLoss, out.end = y[work], y[heatLoss], *y
	if math.IsNaN(out.integral) { // the exhaust opened before 95 % had burned
		out.integral = y[ignition]
	}
	h0, _ := c.unburned.At(c.t0)
	before := c.mass * (h0 - c.r*c.t0)
	var b properties.Burned
	c.mix.table.At(y[burnedT], math.Log(y[pressurePa]), &b)
	mb := c.mass
	if s.ph != expansion {
		mb = c.mass * s.current.x
	}
	mu := c.mass - mb
	hu, _ := c.unburned.At(y[unburnedT])
	after := mb*(b.H-b.R*y[burnedT]) + mu*(hu-c.r*y[unburnedT])
	// Energy of the fuel: what the charge would give off burnt and cooled to 300 K.
	fresh, _ := c.unburned.At(300)
	cold, _ := c.mix.products.At(300)
	out.residualLaw = (after - before + y[work] + y[heatLoss]) / (c.mass * (fresh - cold))
	out.gap = (mb*b.R*y[burnedT]+mu*c.r*y[unburnedT])/(y[pressurePa]*s.current.v) - 1
	out.valid = properties.Inside(y[burnedT], y[pressurePa]) && out.peak < 2.4e7 && out.hottest < 1550 &&
		!math.IsNaN(out.work+out.integral)
}
