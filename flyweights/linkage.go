package flyweights

import "example.org/bobweight/flyweights/internal/plane"

// Linkage ties the cam to the weights. One that also has Check() error is asked by
// [Mechanism.Check], and one with Fits, such as [PinInSlot.Fits], must accept one
// of the weights.
type Linkage interface {
	// Cam returns the turn of the cam against the plate in rad and its first
	// and second derivative by the swing phi in rad. theta is 0 at rest and
	// rises with phi; whether the cam turns clockwise is said elsewhere.
	Cam(phi float64) (theta, d1, d2 float64)
	// Travel returns the range of phi in rad that the linkage can reach with
	// theta rising.
	Travel() (lo, hi float64)
}

// Ratio turns the cam in proportion to the swing, theta = K phi, as meshing
// teeth of constant radius do.
type Ratio struct {
	K float64 // rad of cam per rad of swing, > 0
}

// Cam returns theta = K phi and its derivatives.
func (r Ratio) Cam(phi float64) (theta, d1, d2 float64) { return plane.Jam(r.K*phi, r.K, 0) }

// Travel returns a whole turn of the weights: the teeth set no limit.
func (r Ratio) Travel() (lo, hi float64) { return 0, plane.FullSwing }

// Check refuses a ratio that is not above 0 and at most 10.
func (r Ratio) Check() error {
	if !(r.K > 0 && r.K <= 10) {
		return plane.Refuse("linkage ratio", r.K, "rad/rad", "more than 0 and at most 10")
	}
	return nil
}
