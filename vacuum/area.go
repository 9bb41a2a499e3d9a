package vacuum

import "math"

// FlatArea returns the effective area in m^2 of a flat rubber diaphragm clamped
// at a diameter (m) with a rigid centre plate of diameter plate (m, 0 to 0.999 of
// clamp):
//
//	pi/12 (D^2 + D d + d^2)
//
// the volume that the cone between plate and clamp sweeps per unit of stroke,
// which by virtual work is force over pressure as long as the rubber itself is
// limp. Without a plate it is a third of the disc. Source: Di Giovanni, Flat and
// Corrugated Diaphragm Design Handbook (1982), from memory. A stiff thin plate
// loaded at its centre bends differently, with a quarter of the disc.
func FlatArea(clamp, plate float64) (float64, error) {
	if err := checkDiaphragm(clamp, plate); err != nil {
		return 0, err
	}
	return math.Pi / 12 * (clamp*clamp + clamp*plate + plate*plate), nil
}

// ConvolutedArea returns the effective area in m^2 of a diaphragm with a loose
// fold, convoluted or rolling, between a bore and a piston or plate (diameters in
// m, plate from 0 to 0.999 of bore): that of the fold's mean diameter,
//
//	pi/16 (D + d)^2
//
// since the fold's tension pulls in the axis at its lowest point, halfway
// across. It stays constant while the fold rolls. Source: public design notes on
// rolling diaphragms, which give 6.35 in^2 for a bore of 3 in and a fold of 0.156
// in.
func ConvolutedArea(bore, plate float64) (float64, error) {
	if err := checkDiaphragm(bore, plate); err != nil {
		return 0, err
	}
	return math.Pi / 16 * (bore + plate) * (bore + plate), nil
}

func checkDiaphragm(clamp, plate float64) error {
	if err := check(size("clamp diameter", clamp, "m", 10)); err != nil {
		return err
	}
	return check(within("plate diameter", plate, "m", 0, 0.999*clamp))
}
