package springs

import "example.org/bobweight/springs/valid"

// Spring is an extension spring at work: its tension law and nothing else. The
// zero value is refused by [Spring.Check].
type Spring struct {
	Rate           float64 // N/m, more than 0
	FreeLength     float64 // m, inside the hooks, coils closed, no load, more than 0
	InitialTension float64 // N, 0 or more: the coils open only beyond it
	Slack          float64 // m, 0 or more: play of a long loop before the coils are pulled
}

// Largest values a spring may have. They lie far beyond any spring of a
// spark-advance mechanism and far below what could overflow in a product.
const (
	maxRate   = 1e12 // N/m; high enough to stand for a rigid link
	maxLength = 1e3  // m
	maxForce  = 1e9  // N
)

// Check returns an error that wraps [valid.ErrRange] if a field lies outside its range
// or is not finite.
func (s Spring) Check() error {
	return valid.Check(errRange,
		valid.Above("spring rate", s.Rate, "N/m", 0, maxRate),
		valid.Above("free length", s.FreeLength, "m", 0, maxLength),
		valid.In("initial tension", s.InitialTension, "N", 0, maxForce),
		valid.In("slack", s.Slack, "m", 0, maxLength),
	)
}

// TakeUp returns the length in m inside the hooks, free length plus slack, at
// which the coils begin to be pulled. There the tension may take any value from
// 0 to the initial tension.
func (s Spring) TakeUp() float64 { return s.FreeLength + s.Slack }

// Tension returns the pull in N at a length in m inside the hooks:
//
//	0                           up to the take-up length, and for a length that is not finite
//	InitialTension + Rate x     beyond it, x = length - take-up
//
// An extension spring does not push, so shorter lengths give 0. At the take-up
// length itself, where the tension jumps, the lower value 0 is returned.
// [Spring.Load] is the strict form that refuses bad springs and lengths.
func (s Spring) Tension(length float64) float64 {
	x := length - s.TakeUp()
	if !(x > 0 && valid.Finite(x)) {
		return 0
	}
	return s.InitialTension + s.Rate*x
}

// Energy returns the work in J to stretch the spring from its free state to a
// length in m, the integral of [Spring.Tension]:
//
//	InitialTension x + Rate x^2/2,   x = length - take-up
//
// It is continuous, with a kink where the tension jumps; 0 up to the take-up
// length and for a length that is not finite.
func (s Spring) Energy(length float64) float64 {
	x := length - s.TakeUp()
	if !(x > 0 && valid.Finite(x)) {
		return 0
	}
	return (s.InitialTension + s.Rate*x/2) * x
}

// Load is the strict form of [Spring.Tension]: it refuses a spring that fails
// its check, and a length that is negative, not finite or beyond 1000 m.
func (s Spring) Load(length float64) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("length", length, "m", 0, maxLength)); err != nil {
		return 0, err
	}
	return s.Tension(length), nil
}

// Length is the inverse of [Spring.Load]: the length in m inside the hooks at
// which the spring pulls with a tension in N. A tension from 0 to the initial
// tension is held at the take-up length. It refuses a spring that fails its
// check and a tension that is negative, not finite or above 1e9 N.
func (s Spring) Length(tension float64) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("tension", tension, "N", 0, maxForce)); err != nil {
		return 0, err
	}
	return s.TakeUp() + max(0, tension-s.InitialTension)/s.Rate, nil
}
