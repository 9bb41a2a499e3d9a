package corpus

import (
	"fmt"
	"math"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

func init() {
	register("coil", "design.Wire, design.Correction, springs.Spring.Energy", coil)
	register("wire for a force", "design.WireFor", func(g *Given) (Found, error) {
		d, err := design.WireFor(g.SI("force", dimForce), g.SI("stress", dimPressure), g.Number("index"), correction(g))
		return Found{"wire": SI(d, dimLength)}, err
	})
	register("coil for a rate", "design.Wire.MeanDiameterFor", func(g *Given) (Found, error) {
		w := design.Wire{
			Diameter:     g.SI("wire", dimLength),
			ActiveCoils:  g.Number("active coils"),
			ShearModulus: g.SI("shear modulus", dimPressure),
		}
		mean, err := w.MeanDiameterFor(g.SI("rate", dimStiffness))
		return Found{
			"mean diameter":    SI(mean, dimLength),
			"outside diameter": SI(mean+w.Diameter, dimLength),
			"index":            Number(mean / w.Diameter),
		}, err
	})
	register("coil for a stress", "design.IndexFor", func(g *Given) (Found, error) {
		d := g.SI("wire", dimLength)
		c, err := design.IndexFor(d, g.SI("force", dimForce), g.SI("stress", dimPressure), correction(g))
		return Found{
			"index":            Number(c),
			"mean diameter":    SI(c*d, dimLength),
			"outside diameter": SI((c+1)*d, dimLength),
		}, err
	})
	register("stress factor", "design.Correction.Factor", func(g *Given) (Found, error) {
		found := Found{}
		for _, c := range g.List("indices", dimNumber) {
			k, err := correction(g).Factor(c)
			if err != nil {
				return nil, err
			}
			found[fmt.Sprintf("at %g", c)] = Number(k)
		}
		return found, nil
	})
}

// correction is the stress correction a case names, Bergstrasser's by default.
func correction(g *Given) design.Correction {
	name := g.WordOr("correction", design.Bergstrasser.String(), "Bergstrasser", "Wahl", "direct shear", "uncorrected")
	for k := design.Bergstrasser; k <= design.Uncorrected; k++ {
		if k.String() == name {
			return k
		}
	}
	return design.Bergstrasser
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

// coil finds what follows for a coil from as much as the case gives of it.
func coil(g *Given) (Found, error) {
	w, k := coilOf(g), correction(g)
	index, err := w.Index()
	if err != nil {
		return nil, err
	}
	factor, err := k.Factor(index)
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
		f, err := w.Force(g.SI("stress", dimPressure), k)
		if err != nil {
			return nil, err
		}
		found["force at stress"] = SI(f, dimForce)
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
		n, err := w.CoilsFor(g.SI("rate", dimStiffness))
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
