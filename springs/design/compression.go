package design

import (
	"example.org/bobweight/springs/valid"
)

// Compression is a helical compression spring, as one stands in a diaphragm
// unit: its coil and the finish of its ends. It pushes with the coil's rate over
// its travel from the free to the solid length.
type Compression struct {
	Wire Wire
	Ends Ends
}

// Ends is how a compression spring ends.
type Ends int

const (
	Plain         Ends = iota // cut off
	PlainGround               // cut off and ground flat
	Squared                   // last turn closed
	SquaredGround             // last turn closed and ground flat
)

// dead returns the turns of the ends that do not twist: 0, 1, 2 and 2 (Budynas
// and Nisbett, Shigley's Mechanical Engineering Design, Table 10-1).
func (e Ends) dead() (float64, error) {
	switch e {
	case Plain:
		return 0, nil
	case PlainGround:
		return 1, nil
	case Squared, SquaredGround:
		return 2, nil
	}
	return 0, valid.Refuse(valid.ErrRange, "ends", float64(e), "", "one of the package's constants")
}

// Solid returns the length in m at which the coils touch: one wire diameter a
// turn, and one more where the ends are not ground (the same table).
func (c Compression) Solid() (float64, error) {
	if err := c.Wire.check(); err != nil {
		return 0, err
	}
	dead, err := c.Ends.dead()
	if err != nil {
		return 0, err
	}
	turns := c.Wire.ActiveCoils + dead
	if c.Ends == Plain || c.Ends == Squared {
		turns++
	}
	return turns * c.Wire.Diameter, nil
}

// Free returns the free length in m that leaves room for a travel in m before
// the coils touch.
func (c Compression) Free(travel float64) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("travel", travel, "m", 0, maxLength)); err != nil {
		return 0, err
	}
	solid, err := c.Solid()
	return solid + travel, err
}

// Stable returns the free length in m below which a steel spring does not
// buckle whatever its load, 2.63 D/alpha (Budynas and Nisbett, Shigley's
// Mechanical Engineering Design, Eq. 10-13); alpha is 0.5 between fixed parallel
// plates, 0.707 with one end hinged, 1 with both, and 2 with one end free, and
// may be any value from 0.5 to 2.
func (c Compression) Stable(alpha float64) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("end condition", alpha, "", 0.5, 2)); err != nil {
		return 0, err
	}
	if err := c.Wire.checkSize(); err != nil {
		return 0, err
	}
	return 2.63 * c.Wire.MeanDiameter / alpha, nil
}
