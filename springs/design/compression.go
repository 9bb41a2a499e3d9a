package design

import (
	"example.org/bobweight/springs/valid"
)

// Compression is a helical compression spring, as one stands in a diaphragm
// unit: its coil and the finish of its ends. It pushes with the coil's rate over
// its travel from the free to the solid length.
type Compression struct {
	Wire    Wire
	Squared bool // last turn of each end closed
	Ground  bool // ends ground flat
}

// Solid returns the length in m at which the coils touch: one wire diameter a
// turn, and one more where the ends are not ground. The turns of the ends that do
// not twist are none for plain ends, 1 for plain and ground, 2 for squared ones
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Table 10-1).
func (c Compression) Solid() (float64, error) {
	if err := c.Wire.check(); err != nil {
		return 0, err
	}
	turns := c.Wire.ActiveCoils + 1 // plain ends, cut off
	if c.Squared {
		turns += 2
	}
	if c.Squared && c.Ground {
		turns--
	}
	return turns * c.Wire.Diameter, nil
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
