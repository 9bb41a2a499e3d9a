package corpus

import (
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/springs"
)

func init() {
	register("spring rate", "springs.Wire.Rate", func(g *Given) (Found, error) {
		k, err := springs.Wire{
			Diameter:     g.SI("wire", quantity.DimLength),
			MeanDiameter: g.SI("mean diameter", quantity.DimLength),
			ActiveCoils:  g.Number("active coils"),
			ShearModulus: g.SI("shear modulus", quantity.DimPressure),
		}.Rate()
		return Found{"rate": SI(k, quantity.DimStiffness)}, err
	})
}
