package knock

// Sample is one crank angle of a cycle.
type Sample struct {
	Degrees  float64 // crank degrees after top centre
	Pressure float64 // Pa
	Volume   float64 // m3
	Unburned float64 // K, end gas
	Burned   float64 // K, 0 before spark
	Share    float64 // burned by mass
	Integral float64 // autoignition integral
	Work     float64 // J done since inlet closing
	Heat     float64 // J lost to the walls since inlet closing
}

// trace is a cycle from inlet closing to exhaust opening.
type trace struct{ samples []Sample }

// before adds the compression up to the spark.
func (t *trace) before(c *charge, start float64) {
	if t == nil {
		return
	}
	for i := 0; i < c.nodes && c.motored[i].angle < start; i++ {
		n := &c.motored[i]
		v, _, _ := c.crank.at(n.angle)
		t.samples = append(t.samples, Sample{Degrees: n.angle, Pressure: n.stepper.y[pressurePa], Volume: v,
			Unburned: n.stepper.y[unburnedT], Integral: n.stepper.y[ignition], Work: n.stepper.y[work], Heat: n.stepper.y[heatLoss]})
	}
}

func (t *trace) add(angle float64, s *stepper) {
	if t == nil {
		return
	}
	y, pl := &s.y, &s.current
	x := pl.x
	if s.ph == expansion {
		x = 1
	}
	t.samples = append(t.samples, Sample{Degrees: angle, Pressure: y[pressurePa], Volume: pl.v,
		Unburned: y[unburnedT], Burned: y[burnedT], Share: x, Integral: y[ignition],
		Work: y[work], Heat: y[heatLoss]})
}
