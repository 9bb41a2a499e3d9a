package knock

import "math"

// WallCoefficient returns the heat-transfer coefficient in W/(m2 K)
//
//	h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8
//
// with p in kPa, for a bore in m, a pressure in Pa, a mean gas temperature in K and a
// gas speed in m/s (see [GasSpeed]), all > 0. Source: G. Woschni, SAE 670931 (1967), SI form as
// in Heywood (1988), eq. (12.19) (from memory). Other correlations differ by 1.5 to 2.
func WallCoefficient(bore, pascal, kelvin, speed float64) (float64, error) {
	err := check(
		bound{field: "bore", value: bore, lo: 0.01, hi: 1, unit: "m"},
		bound{field: "pressure", value: pascal, lo: 1e3, hi: 5e7, unit: "Pa"},
		bound{field: "gas temperature", value: kelvin, lo: 200, hi: 4000, unit: "K"},
		bound{field: "gas speed", value: speed, lo: 1e-3, hi: 500, unit: "m/s"})
	if err != nil {
		return 0, err
	}
	return math.Exp(logWall(bore) + 0.8*math.Log(pascal*speed) - 0.55*math.Log(kelvin)), nil
}

// GasSpeed returns the speed in m/s that [WallCoefficient] wants during combustion and
// expansion,
//
//	w = 2.28 Sp + 3.24e-3 Vd Tr/(pr Vr) (p - pm)
//
// from the mean piston speed in m/s, the swept volume in m3, a reference state of the
// charge (K, Pa, m3), the pressure and the motored pressure in Pa. Source as there.
func GasSpeed(piston, swept, kelvin, pascal, volume, pressure, motored float64) (float64, error) {
	err := check(
		bound{field: "piston speed", value: piston, lo: 0, hi: 60, unit: "m/s"},
		bound{field: "swept volume", value: swept, lo: 1e-6, hi: 0.1, unit: "m3"},
		bound{field: "reference temperature", value: kelvin, lo: 200, hi: 1500, unit: "K"},
		bound{field: "reference pressure", value: pascal, lo: 1e3, hi: 1e7, unit: "Pa"},
		bound{field: "reference volume", value: volume, lo: 1e-7, hi: 0.1, unit: "m3"},
		bound{field: "pressure", value: pressure, lo: 0, hi: 5e7, unit: "Pa"},
		bound{field: "motored pressure", value: motored, lo: 0, hi: 5e7, unit: "Pa"})
	if err != nil {
		return 0, err
	}
	return pistonShare*piston + combustionShare(swept, kelvin, pascal, volume)*(pressure-motored), nil
}

const pistonShare = 2.28

func combustionShare(swept, kelvin, pascal, volume float64) float64 {
	return 3.24e-3 * swept * kelvin / (pascal * volume)
}

// logWall is the logarithm of the factor before p^0.8 T^-0.55 w^0.8, p in Pa.
func logWall(bore float64) float64 {
	return math.Log(3.26 * math.Pow(bore, -0.2) * math.Pow(1e-3, 0.8))
}

// prepareHeatTransfer prepares the heat transfer of the charge.
func (c *charge) prepareHeatTransfer(e *Engine, w *parameters) {
	c.woschni = logWall(e.Bore) + math.Log(e.WallHeat) + w[wall]
	c.logMean = math.Log(c.t0 / (c.p0 * c.v0))
	c.motoredScale = c.p0 * math.Pow(c.v0, polytrope)
	c.piston = pistonShare * 2 * e.Stroke * c.rpm / 60
	c.logPiston = math.Log(c.piston)
	c.combustion = combustionShare(c.crank.swept, c.t0, c.p0, c.v0)
}
