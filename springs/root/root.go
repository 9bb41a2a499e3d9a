// Package root searches one unknown in a bracket: the zero of a function, or the
// place where a condition ceases to hold.
//
// Both searches end: they have a count of steps and an error. The package holds
// no physics.
package root

import (
	"errors"
	"fmt"
	"math"
)

// maxSteps is the number of evaluations after which a search gives up. Halving
// the widest bracket of float64 down to neighbouring numbers takes some 2,100.
const maxSteps = 2200

// ErrBracket is wrapped where the ends do not enclose what is sought, and where
// an end, the tolerance or a value of the function is not a number.
var ErrBracket = errors.New("root: not within the bracket")

// errSteps is wrapped where a search has not settled after [maxSteps]
// evaluations. It needs a function that does not return the same value twice for
// the same argument.
var errSteps = errors.New("root: search does not settle")

// Brent returns an x between a and b where f changes its sign, and f's value
// there. The sign changes within 4 eps |x| + 2 tol of x, eps being 2^-52. f must
// have opposite signs at a and b, or be 0 at one of them; it need not be
// continuous. A tolerance of 0 goes down to neighbouring numbers. A NaN of f ends
// the search with [ErrBracket]; let f return NaN, and keep its reason, where it
// fails.
//
// The method is the procedure zero of R. P. Brent, Algorithms for Minimization
// without Derivatives (1973), chapter 4: inverse quadratic interpolation, secant
// and bisection.
func Brent(f func(float64) float64, a, b, tol float64) (x, fx float64, err error) {
	fa, fb, err := enclosed(f, a, b, tol)
	if err != nil {
		return 0, 0, err
	}
	if fa == 0 {
		return a, fa, nil
	}
	c, fc := a, fa
	d := b - a
	e := d
	for range maxSteps {
		if math.Abs(fc) < math.Abs(fb) { // b is the best, c beyond the zero
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		near := 2*0x1p-52*math.Abs(b) + tol
		half := (c - b) / 2
		if !(math.Abs(half) > near) || fb == 0 {
			return b, fb, nil
		}
		d, e = stride(a, b, c, fa, fb, fc, d, e, near, half)
		a, fa = b, fb
		switch {
		case math.Abs(d) > near:
			b += d
		default:
			b += math.Copysign(math.Max(near, math.SmallestNonzeroFloat64), half)
		}
		if fb = f(b); math.IsNaN(fb) {
			return 0, 0, fmt.Errorf("%w: the function is not a number at %.6g", ErrBracket, b)
		}
		if fb > 0 == (fc > 0) {
			c, fc = a, fa
			d = b - a
			e = d
		}
	}
	return 0, 0, fmt.Errorf("%w: between %.6g and %.6g after %d steps", errSteps, b, c, maxSteps)
}

// enclosed returns the function's values at both ends, and refuses ends that do not
// enclose a zero.
func enclosed(f func(float64) float64, a, b, tol float64) (fa, fb float64, err error) {
	if f == nil {
		return 0, 0, fmt.Errorf("%w: no function is given", ErrBracket)
	}
	// The widths of Brent's steps must not overflow: half of float64's range each way.
	const most = math.MaxFloat64 / 4
	if !(math.Abs(a) <= most && math.Abs(b) <= most && tol >= 0 && tol <= most) {
		return 0, 0, fmt.Errorf("%w: ends %.6g and %.6g with tolerance %.6g, valid are finite numbers up to %.6g", ErrBracket, a, b, tol, most)
	}
	fa, fb = f(a), f(b)
	if math.IsNaN(fa) || math.IsNaN(fb) || fa > 0 && fb > 0 || fa < 0 && fb < 0 {
		return 0, 0, fmt.Errorf("%w: values %.6g at %.6g and %.6g at %.6g, valid are opposite signs", ErrBracket, fa, a, fb, b)
	}
	return fa, fb, nil
}

// stride returns Brent's next step d from b and the step before it, e. Infinite
// values give a NaN in the interpolation, and by that a bisection.
func stride(a, b, c, fa, fb, fc, d, e, near, half float64) (float64, float64) {
	if math.Abs(e) < near || math.Abs(fa) <= math.Abs(fb) {
		return half, half
	}
	var p, q float64
	s, r := fb/fa, fb/fc
	if a == c { // two points: the secant
		p, q = 2*half*s, 1-s
	} else {
		q = fa / fc
		p = s * (2*half*q*(q-r) - (b-a)*(r-1))
		q = (q - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		q = -q
	} else {
		p = -p
	}
	// The step is taken if it stays well within the bracket and shrinks fast enough.
	if 2*p < math.Min(3*half*q-math.Abs(near*q), math.Abs(e*q)) {
		return p / q, d
	}
	return half, half
}

// Edge returns the last place, going from inside to outside, at which a
// condition holds, and the first at which it does not. The two are at most tol
// apart, or neighbouring numbers. holds must be true at inside and false at
// outside; if it changes more than once between them, one of the changes is
// found. outside may lie on either side.
func Edge(holds func(float64) bool, inside, outside, tol float64) (last, first float64, err error) {
	if holds == nil {
		return 0, 0, fmt.Errorf("%w: no condition is given", ErrBracket)
	}
	if !(math.Abs(inside) <= math.MaxFloat64 && math.Abs(outside) <= math.MaxFloat64 && tol >= 0) {
		return 0, 0, fmt.Errorf("%w: ends %.6g and %.6g with tolerance %.6g, valid are finite numbers", ErrBracket, inside, outside, tol)
	}
	if !holds(inside) || holds(outside) {
		return 0, 0, fmt.Errorf("%w: the condition must hold at %.6g and not at %.6g", ErrBracket, inside, outside)
	}
	for range maxSteps {
		mid := inside/2 + outside/2
		if mid == inside || mid == outside || math.Abs(outside/2-inside/2) <= tol/2 {
			return inside, outside, nil
		}
		if holds(mid) {
			inside = mid
		} else {
			outside = mid
		}
	}
	return 0, 0, fmt.Errorf("%w: between %.6g and %.6g after %d steps", errSteps, inside, outside, maxSteps)
}
