package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// The pressure that the charge loses in the inlet valve is not lost: with less pressure
// on the piston the gas does less work, and closes the valve so much hotter. Quasi-steady,
// the piston drives its own volume through the curtain of the valve and the loss is a
// velocity head, 1/2 rho (A_p v_p/(C pi d L))^2. Lift is a sine squared; a cam told between
// 0.15 mm lifts has a ramp beyond them (common practice for both, and for the discharge
// coefficient of the curtain). The stroke's mean, weighed with the volume drawn in, is what
// counts; it goes with the square of speed. A fast engine's charge lags behind its piston,
// and less is lost: the two constants of lagging are set to the time-resolved simulation of
// testdata/gas_exchange.py.
const (
	valveDischarge = 0.60
	camRamp        = 12.0 // crank degrees
)

// lagging turns the quasi-steady loss into that of a charge that lags behind the piston;
// both are shares of the inlet pressure.
func lagging(x float64) float64 { return x / (1 + x*(1.2+1.5*x)) }

// intakeHead returns the mean of 1/2 (A_p v_p/(C A))^2 over the volume drawn in, m2/s2, at
// the reference speed, and the volume at bottom centre, m3.
func intakeHead(e *Engine, c *crank) (head, bottom float64) {
	const step = 2.0
	opens, closes := -e.Overlap/2-camRamp, 360-e.InletClose+camRamp // degrees after gas exchange top centre
	second := 6 * unchecked.ReferenceRPM
	drawn := 0.0
	for at := step / 2; at < 180; at += step {
		_, dv, _ := c.at(at)
		lift := math.Sin(math.Pi * (at - opens) / (closes - opens))
		lift *= lift * e.Lift
		speed := dv * second / (valveDischarge * math.Pi * e.ValveDiameter * lift)
		head += speed * speed / 2 * dv
		drawn += dv
	}
	return head / drawn, c.clearance + c.swept
}

// intakeWork returns the work of the gas on the piston from inlet opening to inlet closing,
// J: drawn in at the inlet pressure less the valve's loss, then pressed back from the inlet
// pressure to that at closing.
func (f *inletStroke) intakeWork(closing float64) float64 {
	c := f.charge
	n := c.rpm / unchecked.ReferenceRPM
	loss := f.inlet * lagging(f.density*c.intakeHead*n*n/f.inlet)
	return (f.inlet-loss)*(c.bottom-c.crank.clearance) - (f.inlet+closing)/2*(c.bottom-c.v0)
}
