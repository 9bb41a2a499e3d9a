package design

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// CoilsFor returns the active coils that give a rate in N/m, G d^4/(8 D^3 k), the
// inverse of [Wire.Rate]; the wire's own ActiveCoils is not looked at.
func (w Wire) CoilsFor(rate float64) (float64, error) {
	w.ActiveCoils = 1
	if err := w.check(); err != nil {
		return 0, err
	}
	if err := valid.Check(valid.ErrRange, valid.Above("spring rate", rate, "N/m", 0, maxRate)); err != nil {
		return 0, err
	}
	coils := w.rate() / rate
	return coils, valid.Check(valid.ErrRange, valid.In("number of active coils", coils, "", 0, math.MaxFloat64))
}

// MeanDiameterFor returns the mean coil diameter in m that gives a rate in N/m,
// cube root of G d^4/(8 k N); the wire's own MeanDiameter is not looked at. It
// refuses a result whose index is not 2 to 100.
func (w Wire) MeanDiameterFor(rate float64) (float64, error) {
	w.MeanDiameter = minIndex * w.Diameter
	if err := w.check(); err != nil {
		return 0, err
	}
	if err := valid.Check(valid.ErrRange, valid.Above("spring rate", rate, "N/m", 0, maxRate)); err != nil {
		return 0, err
	}
	w.MeanDiameter *= math.Cbrt(w.rate() / rate)
	return w.MeanDiameter, w.checkSize()
}

// WireFor returns the wire diameter in m that carries a force in N at a
// torsional stress in Pa, for a spring index of 2 to 100: sqrt(8 K F C/(pi tau)).
func WireFor(force, stress, index float64, k Correction) (float64, error) {
	if err := valid.Check(valid.ErrRange,
		valid.Above("force", force, "N", 0, maxForce),
		valid.In("torsional stress", stress, "Pa", 1, 1e11),
	); err != nil {
		return 0, err
	}
	factor, err := k.Factor(index)
	if err != nil {
		return 0, err
	}
	return math.Sqrt(8 * factor * force * index / (math.Pi * stress)), nil
}

// IndexFor returns the largest spring index at which wire of a diameter in m
// carries a force in N at a torsional stress in Pa: K C = pi d^2 tau/(8 F), a
// quadratic in C for each correction (for Bergstrasser's it is Budynas and
// Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-23). It refuses wire
// too thin for an index of 2, and a result above 100.
func IndexFor(diameter, force, stress float64, k Correction) (float64, error) {
	if err := valid.Check(valid.ErrRange,
		valid.Above("wire diameter", diameter, "m", 0, 1),
		valid.Above("force", force, "N", 0, maxForce),
		valid.In("torsional stress", stress, "Pa", 1, 1e11),
	); err != nil {
		return 0, err
	}
	least, err := k.Factor(minIndex)
	if err != nil {
		return 0, err
	}
	s := math.Pi * diameter * diameter * stress / (8 * force)
	if err := valid.Check(valid.ErrRange, valid.In("pi d^2 tau/(8 F)", s, "", least*minIndex, maxIndex)); err != nil {
		return 0, err
	}
	// 4 C^2 + p C + q = 0; above an index of 2 the product K C rises, so the
	// larger root is the one.
	var p, q float64
	switch k {
	case Bergstrasser: // C (4C + 2) = s (4C - 3)
		p, q = 2-4*s, 3*s
	case Wahl: // C (4C - 1) + 0.615 (4C - 4) = s (4C - 4)
		p, q = -1+4*0.615-4*s, 4*s-4*0.615
	case DirectShear:
		return s - 0.5, nil
	default:
		return s, nil
	}
	return (-p + math.Sqrt(p*p-16*q)) / 8, nil
}
