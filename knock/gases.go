package knock

import (
	"example.org/bobweight/knock/gas"
	"example.org/bobweight/knock/internal/properties"
)

// mixture is what one fuel at one equivalence ratio needs tabulated.
type mixture struct {
	phi      float64
	chill    float64 // K by which evaporating fuel cools the fresh charge
	fresh    *properties.Curve
	products *properties.Curve
	table    *properties.Table
}

func newMixture(fuel Fuel, phi float64) (*mixture, error) {
	charge, err := gas.Charge(fuel.parts(), phi)
	if err != nil {
		return nil, err
	}
	fresh, err := properties.NewCurve(charge)
	if err != nil {
		return nil, err
	}
	table, err := properties.NewTable(charge.Mixture())
	if err != nil {
		return nil, err
	}
	_, cp := fresh.At(320)
	return &mixture{phi: phi, chill: fuel.chill(phi) / cp, fresh: fresh, products: table.Products(), table: table}, nil
}
