package correlations

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// WallCoefficient returns the heat-transfer coefficient in W/(m2 K)
//
//	h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8
//
// with p in kPa, for a bore in m, a pressure in Pa, a mean gas temperature in K and a
// gas speed in m/s (see [GasSpeed]), all > 0. Source: G. Woschni, SAE 670931 (1967), SI form as
// in Heywood (1988), eq. (12.19) (read in public copies). Other correlations differ by 1.5 to 2.
func WallCoefficient(bore, pascal, kelvin, speed float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("bore", bore, "m", 0.01, 1),
		valid.In("pressure", pascal, "Pa", 1e3, 5e7),
		valid.In("gas temperature", kelvin, "K", 200, 4000),
		valid.In("gas speed", speed, "m/s", 1e-3, 500))
	if err != nil {
		return 0, err
	}
	return math.Exp(unchecked.LogWallFactor(bore) + 0.8*math.Log(pascal*speed) - 0.55*math.Log(kelvin)), nil
}

// GasSpeed returns the speed in m/s that [WallCoefficient] wants during combustion and
// expansion,
//
//	w = 2.28 Sp + 3.24e-3 Vd Tr/(pr Vr) (p - pm)
//
// from the mean piston speed in m/s, the swept volume in m3, a reference state of the
// charge (K, Pa, m3), the pressure and the motored pressure in Pa. Source as there.
func GasSpeed(piston, swept, kelvin, pascal, volume, pressure, motored float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("piston speed", piston, "m/s", 0, 60),
		valid.In("swept volume", swept, "m3", 1e-6, 0.1),
		valid.In("reference temperature", kelvin, "K", 200, 1500),
		valid.In("reference pressure", pascal, "Pa", 1e3, 1e7),
		valid.In("reference volume", volume, "m3", 1e-7, 0.1),
		valid.In("pressure", pressure, "Pa", 0, 5e7),
		valid.In("motored pressure", motored, "Pa", 0, 5e7))
	if err != nil {
		return 0, err
	}
	return unchecked.PistonShare*piston + unchecked.CombustionShare(swept, kelvin, pascal, volume)*(pressure-motored), nil
}
