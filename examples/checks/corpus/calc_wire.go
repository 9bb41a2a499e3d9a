package corpus

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/design"
)

func init() {
	register("tensile strength", "design.Material.Tensile", tensile)
	register("elastic moduli", "design.Material.Elastic", func(g *Given) (Found, error) {
		shear, young, err := material(g).Elastic(g.SI("wire", dimLength), g.SIOr("temperature", dimTemperature, 293.15))
		return Found{"shear modulus": SI(shear, dimPressure), "Young's modulus": SI(young, dimPressure)}, err
	})
	register("strength table", "design.TabulatedStrength", strengthTable)
	register("initial tension", "design.InitialStress", initialTension)
	register("load tolerance", "design.LoadTolerance", func(g *Given) (Found, error) {
		x, err := design.LoadTolerance(g.Number("index"), g.Number("length over deflection"), g.SI("wire", dimLength))
		return Found{"tolerance": Number(x)}, err
	})
	register("spring tolerances", "design.Tolerances", func(g *Given) (Found, error) {
		d, l, err := design.Tolerances(g.SI("mean diameter", dimLength), g.SI("free length", dimLength), g.Number("index"))
		return Found{"diameter": SI(d, dimLength), "length": SI(l, dimLength)}, err
	})
}

// material is the wire a case names, or one of its own constants: the strength
// at a reference diameter (1 in for A in kpsi in^m, 1 mm for MPa mm^m) with its
// exponent, or one strength whatever the size. A modulus given stands for the
// named wire's.
func material(g *Given) design.Material {
	m := design.MusicWire()
	if g.Has("material") {
		name := g.Word("material")
		found := false
		for _, known := range design.Materials() {
			if known.Name == name {
				m, found = known, true
			}
		}
		if !found {
			g.fail("given \"material\" is %q, not one of the library's", name)
		}
	}
	if g.Has("strength") {
		s := g.SI("strength", dimPressure)
		e := 0.0
		if g.Has("strength exponent") {
			e = g.Number("strength exponent")
		}
		at := g.SIOr("at wire", dimLength, 1)
		m.Strength = []design.StrengthRange{{From: 1e-5, To: 1, A: s * math.Pow(at, e), M: e}}
	}
	if g.Has("shear modulus") {
		young := g.SIOr("Young's modulus", dimPressure, m.Moduli[0].Young)
		m.Moduli = []design.ModulusRange{{To: 1, Shear: g.SI("shear modulus", dimPressure), Young: young}}
	}
	return m
}

func tensile(g *Given) (Found, error) {
	s, err := material(g).Tensile(g.SI("wire", dimLength))
	found := Found{"strength": SI(s, dimPressure)}
	if g.Has("fraction") {
		found["allowable"] = SI(s*g.Number("fraction"), dimPressure)
	}
	return found, err
}

func strengthTable(g *Given) (Found, error) {
	table := g.Word("table", "music wire minimum", "patented minimum", "class SM minimum", "class SM maximum")
	unit := g.SI("in units of", dimLength)
	found := Found{}
	for _, d := range g.List("wires", dimLength) {
		s, err := design.TabulatedStrength(table, d)
		if err != nil {
			return nil, err
		}
		found[fmt.Sprintf("at %.4g", d/unit)] = SI(s, dimPressure)
	}
	return found, nil
}

func initialTension(g *Given) (Found, error) {
	if !g.Has("wire") {
		low, mid, high, err := design.InitialStress(g.Number("index"))
		return Found{"low": SI(low, dimPressure), "mid": SI(mid, dimPressure), "high": SI(high, dimPressure)}, err
	}
	w := coilOf(g)
	low, mid, high, err := design.InitialStress(w.MeanDiameter / w.Diameter)
	if err != nil {
		return nil, err
	}
	s, err := w.Torsion(1, design.Uncorrected)
	return Found{"low": SI(low/s, dimForce), "mid": SI(mid/s, dimForce), "high": SI(high/s, dimForce)}, err
}
