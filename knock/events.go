package knock

import "math"

// track keeps what only needs looking at the ends of steps.
func (c *charge) track(out *cycleResult, angle float64, y *state) {
	if y[pressurePa] > out.peak {
		out.peak, out.peakAt = y[pressurePa], angle
	}
}

// cubic is the Hermite cubic over a step, s from 0 to 1.
func cubic(f0, f1, d0, d1, s float64) float64 {
	return f0 + s*(d0+s*(3*(f1-f0)-2*d0-d1+s*(2*(f0-f1)+d0+d1)))
}

// peakInside looks for the pressure's maximum inside a step.
func (c *charge) peakInside(out *cycleResult, angle, h float64, y0, d0, y1, d1 *state) {
	if !(d0[pressurePa] > 0 && d1[pressurePa] <= 0) {
		return
	}
	// The slope falls through zero once; bisection on the cubic's derivative, written out
	// here and below: it runs in every cycle, where a call of springs/root would allocate.
	f0, f1, a, b := y0[pressurePa], y1[pressurePa], h*d0[pressurePa], h*d1[pressurePa]
	lo, hi := 0.0, 1.0
	for range 40 {
		s := (lo + hi) / 2
		if a+s*(2*(3*(f1-f0)-2*a-b)+s*3*(2*(f0-f1)+a+b)) > 0 {
			lo = s
		} else {
			hi = s
		}
	}
	if p := cubic(f0, f1, a, b, lo); p > out.peak {
		out.peak, out.peakAt = p, angle+lo*h
	}
}

// knockInside follows the integral through a step: where it passes one, and what it
// is when the end gas is consumed.
func (c *charge) knockInside(out *cycleResult, b *burning, start, angle, h, last float64, y0, d0, y1, d1 *state) {
	f0, f1, a, d := y0[ignition], y1[ignition], h*d0[ignition], h*d1[ignition]
	end := 1.0
	if angle+h >= last {
		end = (last - angle) / h
		out.integral = cubic(f0, f1, a, d, end)
	}
	out.hottest = math.Max(out.hottest, y1[unburnedT])
	if f0 < 1 && cubic(f0, f1, a, d, end) >= 1 {
		lo, hi := 0.0, end
		for range 45 {
			if s := (lo + hi) / 2; cubic(f0, f1, a, d, s) < 1 {
				lo = s
			} else {
				hi = s
			}
		}
		out.onset = angle + hi*h
		out.onsetUnburned = math.Exp(-math.Exp(b.log + b.k*math.Log(out.onset-start)))
	}
}
