package sheet

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
)

// Rotor is the rotor tip and the terminals of the cap, in mm. The zero value is a
// rotor that was not measured.
type Rotor struct {
	Radius   float64 // tip to the shaft's axis
	Tip      float64 // width of the tip along its circle
	Terminal float64 // width of a terminal along the circle
}

// phase says how the rotor stands under the cap when the spark comes, in
// distributor degrees. Mechanical advance turns cam and rotor together and shifts
// nothing; vacuum advance turns the plate alone, so the spark comes while the rotor
// is still on its way.
type phase struct {
	Shift  float64 `json:"shift_deg_dist"`            // between no vacuum and full vacuum
	Facing float64 `json:"facing_deg_dist,omitempty"` // tip and terminal overlap this far to either side of the middle; 0 = not measured
	// Leaves says that the tip leaves the terminal at one end even where it stands
	// as far beyond the middle at the other.
	Leaves bool `json:"leaves,omitempty"`
}

// rotorPhase returns how far vacuum advance of so many crank degrees shifts the
// rotor. Tip and terminal overlap while their middles are less than half the sum of
// their widths apart, an angle of (tip + terminal)/(2 radius) (definition of the
// radian). It refuses widths that are negative or wider than the circle allows.
func rotorPhase(vacuum float64, drive advance.Drive, r Rotor) (phase, error) {
	p := phase{Shift: text.Round(vacuum / float64(drive))}
	if r == (Rotor{}) {
		return p, nil
	}
	for _, f := range []struct {
		name string
		v    float64
		most float64
	}{{"rotor radius", r.Radius, 100}, {"width of the rotor tip", r.Tip, r.Radius}, {"width of a terminal", r.Terminal, r.Radius}} {
		if !(f.v > 0 && f.v <= f.most) {
			return phase{}, fmt.Errorf("%w: %s is %.6g mm, valid is more than 0 to %.6g mm", errRange, f.name, f.v, f.most)
		}
	}
	p.Facing = text.Round((r.Tip + r.Terminal) / 2 / r.Radius * 180 / math.Pi)
	p.Leaves = p.Shift > 2*p.Facing
	return p, nil
}

// text is what the sheet says about the rotor.
func (p *phase) text() string {
	begin := fmt.Sprintf("Full vacuum advance shifts the rotor by %.1f distributor degrees under the cap", p.Shift)
	switch {
	case p.Facing == 0:
		return begin + ": see that tip and terminal overlap hose off and at full pull."
	case p.Leaves:
		return begin + fmt.Sprintf(". Tip and terminal overlap only %.1f degrees to either side: the tip leaves the terminal. Limit the unit.", p.Facing)
	}
	return begin + fmt.Sprintf(". Tip and terminal overlap %.1f degrees to either side: let the middle of the shift stand at the terminal.", p.Facing)
}
