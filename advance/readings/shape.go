package readings

import "fmt"

// Shape is the law by which a ramp of the curve rises between its two ends.
type Shape int

const (
	// Balance bends a ramp as the moments of weights and springs do.
	//
	// With the spring moment M and the weights' moment per squared speed J both
	// linear in the travelled part t of a ramp, equilibrium is n^2 = M(t)/J(t).
	// With n = a at t = 0 and n = b at t = 1 and bend = J(1)/J(0),
	//
	//	t = A/(A + bend B),  A = n^2 - a^2,  B = b^2 - n^2.
	//
	// The bend is a free parameter with a prior, see [Settings.Bend]. A part of
	// such a ramp is again such a ramp.
	Balance Shape = iota
	// Straight makes a ramp a straight line over rpm.
	Straight
)

// String returns the shape in words.
func (s Shape) String() string {
	switch s {
	case Balance:
		return "moment balance"
	case Straight:
		return "straight lines"
	}
	return fmt.Sprintf("Shape(%d)", int(s))
}

// rise is the travelled part t of a ramp at a speed c between its ends a and b,
// with the derivatives that the likelihood needs. The subscripts name what is
// differentiated by: c, a, b and the logarithm k of the bend.
type rise struct {
	t, c, a, b, k  float64
	cc, ca, cb, ck float64
}

func (s Shape) rise(c, a, b, bend float64) rise {
	if s == Straight {
		w := b - a
		t := (c - a) / w
		return rise{
			t: t, c: 1 / w, a: (t - 1) / w, b: -t / w,
			ca: 1 / (w * w), cb: -1 / (w * w),
		}
	}
	// In squared speeds p, P, Q: t = A/W with W = A + bend B.
	span := b*b - a*a
	up, down := c*c-a*a, b*b-c*c
	w := up + bend*down
	w2, w3 := 1/(w*w), 1/(w*w*w)
	tp := bend * span * w2
	tpp := -2 * bend * span * (1 - bend) * w3
	tpP := -bend*w2 + 2*bend*span*w3
	tpQ := bend*w2 - 2*bend*bend*span*w3
	return rise{
		t:  up / w,
		c:  2 * c * tp,
		a:  2 * a * (-bend * down * w2),
		b:  2 * b * (-bend * up * w2),
		k:  -bend * up * down * w2,
		cc: 2*tp + 4*c*c*tpp,
		ca: 4 * c * a * tpP,
		cb: 4 * c * b * tpQ,
		ck: 2 * c * bend * (span*w2 - 2*bend*span*down*w3),
	}
}
