package knock

import "math"

// Delay is an autoignition delay of Arrhenius form,
//
//	tau = Scale 17.68 ms (ON/100)^3.402 (p/1 atm)^-Pressure exp(Activation/T)
//
// The zero value of a field means the published constant: Scale 1, Pressure 1.7,
// Activation 3800 K. Changed exponents turn about 30 atm and 800 K, where the delay
// stays what it was. Source: A. M. Douaud, P. Eyzat, SAE 780080 (1978), constants
// from memory; fitted on one rating engine, octane 80 to 100; a single step, so
// without the region where hotter end gas ignites later.
type Delay struct {
	Scale, Pressure, Activation float64
}

const (
	delaySeconds     = 17.68e-3
	octaneExponent   = 3.402
	pressureExponent = 1.7
	activation       = 3800.0 // K
	pivotKelvin      = 800.0
	pivotOctane      = 91.0
)

var pivotLog = math.Log(30 * atmosphere)

// Seconds returns the delay at a pressure in Pa (1e4 to 3e7), a temperature in K
// (300 to 2000) and an octane number (30 to 130).
func (d Delay) Seconds(pascal, kelvin, octane float64) (float64, error) {
	err := check(
		bound{field: "pressure", value: pascal, lo: 1e4, hi: 3e7, unit: "Pa"},
		bound{field: "end-gas temperature", value: kelvin, lo: 300, hi: 2000, unit: "K"},
		bound{field: "octane number", value: octane, lo: 30, hi: 130},
		bound{field: "delay scale", value: d.Scale, lo: 0, hi: 100},
		bound{field: "pressure exponent", value: d.Pressure, lo: 0, hi: 5},
		bound{field: "activation temperature", value: d.Activation, lo: 0, hi: 2e4, unit: "K"})
	if err != nil {
		return 0, err
	}
	r := d.rate(octane)
	return math.Exp(-r.log(math.Log(pascal), kelvin)), nil
}

// rate is the logarithm of 1/tau as constant + pressure ln p - activation/T.
type rate struct{ constant, pressure, activation float64 }

func (r rate) log(lnPascal, kelvin float64) float64 {
	return r.constant + r.pressure*lnPascal - r.activation/kelvin
}

func (d Delay) rate(octane float64) rate {
	scale, n, b := d.Scale, d.Pressure, d.Activation
	if scale == 0 {
		scale = 1
	}
	if n == 0 {
		n = pressureExponent
	}
	if b == 0 {
		b = activation
	}
	at := pressureExponent*(pivotLog-math.Log(atmosphere)) - activation/pivotKelvin
	return rate{
		constant:   at - math.Log(scale*delaySeconds) - octaneExponent*math.Log(octane/100) - n*pivotLog + b/pivotKelvin,
		pressure:   n,
		activation: b,
	}
}

// Onset follows the autoignition integral, the sum of dt/tau, along a history of
// pressure in Pa and temperature in K over a time in s, from 0 to end. It returns
// the integral at the end and, if it reaches 1 before, the time of that. Simpson's
// rule over 4096 intervals. Source: J. C. Livengood, P. C. Wu, 5th Symposium (Int.)
// on Combustion (1955) 347. The history must stay within what [Delay.Seconds] takes.
func (d Delay) Onset(end, octane float64, history func(seconds float64) (pascal, kelvin float64)) (integral, onset float64, reached bool, err error) {
	if err := check(bound{field: "end of the history", value: end, lo: 1e-9, hi: 1e4, unit: "s"}); err != nil {
		return 0, 0, false, err
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
	return integral, onset, reached, nil
}
