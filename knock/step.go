package knock

import "math"

// state is what the cycle integrates over crank angle.
type state [6]float64

const (
	pressurePa = iota
	unburnedT  // K
	burnedT    // K
	work       // J done by the gas
	heatLoss   // J to the walls
	ignition   // autoignition integral, last: nothing depends on it
)

// stepper carries a state along the crank: the state, its slopes, and two numbers
// that cost a logarithm and are handed from step to step.
type stepper struct {
	ph      phase
	y, k1   state
	lnp, g  float64
	current crankState
}

// begin readies a stepper at a place.
func (c *charge) begin(s *stepper) {
	s.lnp = math.Log(s.y[pressurePa])
	s.g = c.conductance(s.ph, s.lnp, s.y[pressurePa], &s.current)
	c.slopes(s.ph, &s.current, s.lnp, s.g, &s.y, &s.k1)
	s.k1[ignition] = c.igniting(s.ph, s.lnp, s.y[unburnedT])
}

// step is the classical fourth-order Runge-Kutta step of h degrees. The wall
// conductance is worked out once in the middle and once at the end, where the inner
// states agree to second order and better; the autoignition integral, on which
// nothing depends, is Simpson's rule over the same states.
func (c *charge) step(s *stepper, h float64, middle, to *crankState) {
	var k2, k3, k4, z state
	y, k1 := &s.y, &s.k1
	p0 := y[pressurePa]
	half := h / 2
	for i := range ignition {
		z[i] = y[i] + half*k1[i]
	}
	lnp := s.lnp + lnRatio(z[pressurePa], p0)
	g := c.conductance(s.ph, lnp, z[pressurePa], middle)
	c.slopes(s.ph, middle, lnp, g, &z, &k2)
	meanLnp, meanT := lnp, z[unburnedT]
	for i := range ignition {
		z[i] = y[i] + half*k2[i]
	}
	lnp = s.lnp + lnRatio(z[pressurePa], p0)
	c.slopes(s.ph, middle, lnp, g, &z, &k3)
	// The two inner states in the middle err by the same second-order term with
	// opposite signs: their mean is the state there.
	between := c.igniting(s.ph, (meanLnp+lnp)/2, (meanT+z[unburnedT])/2)
	for i := range ignition {
		z[i] = y[i] + h*k3[i]
	}
	lnp = s.lnp + lnRatio(z[pressurePa], p0)
	s.g = c.conductance(s.ph, lnp, z[pressurePa], to)
	c.slopes(s.ph, to, lnp, s.g, &z, &k4)
	sixth := h / 6
	for i := range y {
		y[i] += sixth * (k1[i] + 2*(k2[i]+k3[i]) + k4[i])
	}
	if s.ph == compression { // one zone: the gas law holds exactly
		y[pressurePa] = c.mass * c.r * y[unburnedT] / to.v
	}
	s.lnp += lnRatio(y[pressurePa], p0)
	c.slopes(s.ph, to, s.lnp, s.g, y, k1)
	k1[ignition] = c.igniting(s.ph, s.lnp, y[unburnedT])
	// The weights above found zeros in the place of the integral, but for its start.
	y[ignition] += sixth * (4*between + k1[ignition])
	s.current = *to
}

// lnRatio returns ln(p/q) for pressures of one step, less than a factor 1.5 apart:
// 2 artanh z to the ninth power, error below 1e-8.
func lnRatio(p, q float64) float64 {
	z := (p - q) / (p + q)
	w := z * z
	return 2 * z * (1 + w*(1.0/3+w*(1.0/5+w*(1.0/7+w*(1.0/9)))))
}

// compress fills the motored nodes from inlet closing to past the latest spark.
func (c *charge) compress() {
	var middle, to crankState
	s := stepper{ph: compression, y: state{pressurePa: c.p0, unburnedT: c.t0}}
	angle := c.closes
	c.at(angle, 0, nil, &s.current)
	c.begin(&s)
	for c.nodes = 0; c.nodes < motoredNodes; {
		c.motored[c.nodes] = node{angle, s}
		c.nodes++
		if angle > latestSpark {
			return
		}
		c.at(angle+motoredStep/2, 0, nil, &middle)
		c.at(angle+motoredStep, 0, nil, &to)
		c.step(&s, motoredStep, &middle, &to)
		angle += motoredStep
	}
}

// motor returns the state of the unburned charge at an angle: one partial step from
// the node before it.
func (c *charge) motor(angle float64) state {
	i := min(max(int((angle-c.closes)/motoredStep), 0), c.nodes-1)
	s := c.motored[i].stepper
	h := angle - c.motored[i].angle
	var middle, to crankState
	c.at(c.motored[i].angle+h/2, 0, nil, &middle)
	c.at(angle, 0, nil, &to)
	c.step(&s, h, &middle, &to)
	return s.y
}
