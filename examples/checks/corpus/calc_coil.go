package corpus

import (
	"fmt"
	"math"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
	"example.org/bobweight/springs/root"
)

func init() {
	register("coil", "design.Wire, design.Correction, springs.Spring.Energy", coil)
	register("wire for a force", "design.Wire.Torsion", func(g *Given) (Found, error) {
		// At one index the stress falls as the square of the wire.
		w := design.Wire{Diameter: 1e-3, MeanDiameter: g.Number("index") * 1e-3}
		s, err := w.Torsion(g.SI("force", dimForce), correction(g))
		return Found{"wire": SI(w.Diameter*math.Sqrt(s/g.SI("stress", dimPressure)), dimLength)}, err
	})
	register("coil for a rate", "design.Wire.Rate", func(g *Given) (Found, error) {
		w := design.Wire{
			Diameter:     g.SI("wire", dimLength),
			ActiveCoils:  g.Number("active coils"),
			ShearModulus: g.SI("shear modulus", dimPressure),
		}
		return indexWhere(w, func(w design.Wire) (float64, error) {
			k, err := w.Rate()
			return k - g.SI("rate", dimStiffness), err
		})
	})
	register("coil for a stress", "design.Wire.Torsion", func(g *Given) (Found, error) {
		w := design.Wire{Diameter: g.SI("wire", dimLength)}
		return indexWhere(w, func(w design.Wire) (float64, error) {
			s, err := w.Torsion(g.SI("force", dimForce), correction(g))
			return s - g.SI("stress", dimPressure), err
		})
	})
	register("stress factor", "design.Wire.Torsion", func(g *Given) (Found, error) {
		found := Found{}
		for _, c := range g.List("indices", dimNumber) {
			k, err := stressFactor(design.Wire{Diameter: 1e-3, MeanDiameter: c * 1e-3}, correction(g))
			if err != nil {
				return nil, err
			}
			found[fmt.Sprintf("at %g", c)] = Number(k)
		}
		return found, nil
	})
}

// stressFactor is what a correction makes of the torsional stress of a coil.
func stressFactor(w design.Wire, k design.Correction) (float64, error) {
	plain, err := w.Torsion(1, design.Uncorrected)
	if err != nil {
		return 0, err
	}
	corrected, err := w.Torsion(1, k)
	return corrected / plain, err
}

// correction is the stress correction a case names, Bergstrasser's by default.
func correction(g *Given) design.Correction {
	return design.Correction(g.WordOr("correction", string(design.Bergstrasser),
		string(design.Bergstrasser), string(design.Wahl), string(design.DirectShear), string(design.Uncorrected)))
}

// coilOf reads a coil: its mean diameter directly, from the outside diameter, or
// from the index.
func coilOf(g *Given) design.Wire {
	w := design.Wire{Diameter: g.SI("wire", dimLength)}
	switch {
	case g.Has("outside diameter"):
		w.MeanDiameter = g.SI("outside diameter", dimLength) - w.Diameter
	case g.Has("index"):
		w.MeanDiameter = g.Number("index") * w.Diameter
	default:
		w.MeanDiameter = g.SI("mean diameter", dimLength)
	}
	w.ShearModulus = g.SIOr("shear modulus", dimPressure, 0)
	if g.Has("active coils") {
		w.ActiveCoils = g.Number("active coils")
	}
	return w
}

// indexWhere finds the coil of a wire, index 2 to 100, on which f crosses zero.
func indexWhere(w design.Wire, f func(design.Wire) (float64, error)) (Found, error) {
	var failed error
	c, _, err := root.Brent(func(c float64) float64 {
		w.MeanDiameter = c * w.Diameter
		y, err := f(w)
		if err != nil {
			failed = err
			return math.NaN()
		}
		return y
	}, 2, 100, 0)
	if failed != nil {
		err = failed
	}
	return Found{
		"index":            Number(c),
		"mean diameter":    SI(c*w.Diameter, dimLength),
		"outside diameter": SI((c+1)*w.Diameter, dimLength),
	}, err
}

// coilsFor returns the active coils with which a coil has a rate.
func coilsFor(w design.Wire, rate float64) (float64, error) {
	w.ActiveCoils = 1
	k, err := w.Rate()
	return k / rate, err
}

// coil finds what follows for a coil from as much as the case gives of it.
func coil(g *Given) (Found, error) {
	w, k := coilOf(g), correction(g)
	index := w.MeanDiameter / w.Diameter
	factor, err := stressFactor(w, k)
	if err != nil {
		return nil, err
	}
	found := Found{
		"index":            Number(index),
		"mean diameter":    SI(w.MeanDiameter, dimLength),
		"outside diameter": SI(w.MeanDiameter+w.Diameter, dimLength),
		"stress factor":    Number(factor),
	}
	if g.Has("stress") {
		perForce, err := w.Torsion(1, k)
		if err != nil {
			return nil, err
		}
		found["force at stress"] = SI(g.SI("stress", dimPressure)/perForce, dimForce)
	}
	if g.Has("force") {
		s, err := w.Torsion(g.SI("force", dimForce), k)
		if err != nil {
			return nil, err
		}
		found["stress"] = SI(s, dimPressure)
		if at, ok := found["force at stress"]; ok {
			found["reserve"] = Number(at.SI / g.SI("force", dimForce))
		}
	}
	if g.Has("rate") {
		n, err := coilsFor(w, g.SI("rate", dimStiffness))
		if err != nil {
			return nil, err
		}
		found["active coils"], found["whole coils"] = Number(n), Number(math.Ceil(n))
		found["closed body"] = SI((n+1)*w.Diameter, dimLength)
		w.ActiveCoils = n
	}
	if w.ActiveCoils == 0 || w.ShearModulus == 0 {
		return found, nil
	}
	return found, coilMoves(g, w, found)
}

// coilMoves adds what needs the coil's rate.
func coilMoves(g *Given, w design.Wire, found Found) error {
	rate, err := w.Rate()
	if err != nil {
		return err
	}
	found["rate"] = SI(rate, dimStiffness)
	if g.Has("force") || g.Has("stress") {
		f := g.SIOr("force", dimForce, found["force at stress"].SI)
		s := springs.Spring{Rate: rate, FreeLength: w.Diameter}
		length, err := s.Length(f)
		if err != nil {
			return err
		}
		found["deflection"] = SI(length-s.FreeLength, dimLength)
		found["energy"] = SI(s.Energy(length), dimMoment)
	}
	if g.Has("density") {
		f, err := w.Surge(g.SI("density", dimDensity))
		if err != nil {
			return err
		}
		found["surge frequency"] = SI(f, quantity.Dim{Time: -1})
	}
	return nil
}
