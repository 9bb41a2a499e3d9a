package correlations

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// Delay is an autoignition delay of Arrhenius form,
//
//	tau = Scale 17.68 ms (ON/100)^3.402 (p/1 atm)^-Pressure exp(Activation/T)
//
// The zero value of a field means the published constant: Scale 1, Pressure 1.7,
// Activation 3800 K. Changed exponents turn about 30 atm and 800 K, where the delay
// stays what it was. Source: A. M. Douaud, P. Eyzat, SAE 780080 (1978), constants
// as read in ten public programs that cite it; fitted on one rating engine, octane 80
// to 100; a single step, so without the region where hotter end gas ignites later.
type Delay struct {
	Scale, Pressure, Activation float64
}

// Seconds returns the delay at a pressure in Pa (1e4 to 3e7), a temperature in K
// (300 to 2000) and an octane number (30 to 130).
func (d Delay) Seconds(pascal, kelvin, octane float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("pressure", pascal, "Pa", 1e4, 3e7),
		valid.In("end-gas temperature", kelvin, "K", 300, 2000),
		valid.In("octane number", octane, "", 30, 130),
		valid.In("delay scale", d.Scale, "", 0, 100),
		valid.In("pressure exponent", d.Pressure, "", 0, 5),
		valid.In("activation temperature", d.Activation, "K", 0, 2e4))
	if err != nil {
		return 0, err
	}
	r := d.rate(octane)
	return math.Exp(-r.Log(math.Log(pascal), kelvin)), nil
}

// rate returns the delay's rate at an octane number > 0, the published constants filled in.
func (d Delay) rate(octane float64) unchecked.Rate {
	scale, n, b := d.Scale, d.Pressure, d.Activation
	if scale == 0 {
		scale = 1
	}
	if n == 0 {
		n = unchecked.PressureExponent
	}
	if b == 0 {
		b = unchecked.Activation
	}
	return unchecked.Delay(scale, n, b, octane)
}

// Onset follows the autoignition integral, the sum of dt/tau, along a history of
// pressure in Pa and temperature in K over a time in s, from 0 to end. It returns
// the integral at the end and, if it reaches 1 before, the time of that. Simpson's
// rule over 4096 intervals. Source: J. C. Livengood, P. C. Wu, 5th Symposium (Int.)
// on Combustion (1955) 347. The history must stay within what [Delay.Seconds] takes.
func (d Delay) Onset(end, octane float64, history func(seconds float64) (pascal, kelvin float64)) (integral, onset float64, reached bool, err error) {
	if err := valid.Check(errRange, valid.In("end of the history", end, "s", 1e-9, 1e4)); err != nil {
		return 0, 0, false, err
	}
	if history == nil {
		return 0, 0, false, fmt.Errorf("%w: the history is nil, valid is a function of time", errRange)
	}
	const n = 4096
	h := end / n
	at := func(t float64) (float64, error) {
		p, k := history(t)
		tau, err := d.Seconds(p, k, octane)
		return 1 / tau, err
	}
	a, err := at(0)
	if err != nil {
		return 0, 0, false, err
	}
	for i := range n {
		t := float64(i) * h
		m, err := at(t + h/2)
		if err != nil {
			return 0, 0, false, err
		}
		b, err := at(t + h)
		if err != nil {
			return 0, 0, false, err
		}
		step := h / 6 * (a + 4*m + b)
		if !reached && integral+step >= 1 {
			reached, onset = true, t+h*(1-integral)/step
		}
		integral += step
		a = b
	}
	return integral, onset, reached, valid.Check(errRange, valid.In("autoignition integral", integral, "", 0, math.MaxFloat64))
}
