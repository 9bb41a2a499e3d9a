package mapping

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
)

// Rotor is the rotor under the cap. Mechanical advance turns cam and rotor together,
// so the rotor stands at the same place when the spark comes. Vacuum advance turns
// the plate instead: the spark comes while the rotor is still so many distributor
// degrees before that place.
type Rotor struct {
	Tip      float64 // m, width of the rotor's tip along its path, 0 to 0.05
	Terminal float64 // m, width of a terminal of the cap along the same path, 0 to 0.05
	Radius   float64 // m from the shaft to the tip, 0.01 to 0.1
	// Offset is how far the tip's middle has passed the terminal's at the spark, hose
	// off, in distributor degrees; negative = not yet there, -45 to 45.
	Offset float64
}

// RotorPhase is where the rotor stands when the spark comes.
type RotorPhase struct {
	Shift  float64 // distributor degrees by which the full vacuum advance moves it back
	Cover  float64 // distributor degrees either way within which tip and terminal still face each other
	Off    float64 // distributor degrees of the tip's middle from the terminal's, hose off, positive = past
	On     float64 // the same with the unit fully pulled
	Beyond float64 // distributor degrees by which the edges have parted, at the worse of the two; 0 = they face each other
	Leaves float64 // crank degrees of vacuum advance at which they part; 0 = already hose off
	Best   float64 // the Offset that keeps both ends equally far from parting
	Why    string  // in a sentence
}

// Phase returns where the rotor stands under the cap without and with a vacuum
// advance in crank degrees (0 to 60) through a drive:
//
//	shift = degrees/drive, cover = (Tip + Terminal)/(2 Radius)
//
// Tip and terminal face each other while the tip's middle is within the cover of the
// terminal's; beyond it the spark has to cross a longer gap.
func (r Rotor) Phase(d advance.Drive, degrees float64) (*RotorPhase, error) {
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	err := check(
		within("width of the rotor's tip", r.Tip, "m", 0, 0.05),
		within("width of the terminal", r.Terminal, "m", 0, 0.05),
		within("radius of the rotor", r.Radius, "m", 0.01, 0.1),
		within("offset of the rotor", r.Offset, "deg dist", -45, 45),
		within("vacuum advance", degrees, "deg crank", 0, 60),
	)
	if err != nil {
		return nil, err
	}
	p := &RotorPhase{
		Shift: degrees / float64(d),
		Cover: (r.Tip + r.Terminal) / (2 * r.Radius) * 180 / math.Pi,
		Off:   r.Offset,
	}
	p.On = p.Off - p.Shift
	p.Best = p.Shift / 2
	p.Beyond = math.Max(0, math.Max(math.Abs(p.Off), math.Abs(p.On))-p.Cover)
	p.Leaves = math.Max(0, (p.Off+p.Cover)*float64(d))
	if p.Off > p.Cover {
		p.Leaves = 0
	}
	switch {
	case math.Abs(p.Off) > p.Cover:
		p.Why = fmt.Sprintf("hose off the rotor already stands %.1f deg dist from the terminal, tip and terminal cover %.1f: set the rotor's phase first", math.Abs(p.Off), p.Cover)
	case p.Beyond > 0:
		p.Why = fmt.Sprintf("vacuum advance moves the rotor %.1f deg dist back under the cap; tip and terminal part at %.1f deg crank of it, %.1f deg dist short of the full pull", p.Shift, p.Leaves, p.Beyond)
	default:
		p.Why = fmt.Sprintf("vacuum advance moves the rotor %.1f deg dist back under the cap; tip and terminal cover %.1f deg dist either way and still face each other", p.Shift, p.Cover)
	}
	return p, nil
}
