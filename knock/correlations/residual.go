package correlations

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// ResidualFraction is a published correlation for the share by mass of the last
// cycle's gas:
//
//	x = 1.266 (OF/N) (pi/pe)^-0.87 sqrt|pe-pi| + 0.632 phi (pi/pe)^-0.74/r
//
// with speed N in rev/s, inlet and exhaust pressures in bar, the overlap factor OF in
// deg/m (see [OverlapFactor]) and the compression ratio r. Source: J. W. Fox, W. K.
// Cheng, J. B. Heywood, SAE 931025 (1993) (from memory), fitted at light and middle
// load. The cycle takes its first term, the flow back through the overlap, and finds
// the gas kept in the clearance volume from its pressure and temperature instead of
// the second: at full load that term would need residual gas of 600 K for the
// mass and energy at inlet closing to agree. Arguments: rpm, deg/m, Pa, Pa.
func ResidualFraction(rpm, overlapFactor, inlet, exhaust, phi, compressionRatio float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("engine speed", rpm, "rpm crank", 300, 9000),
		valid.In("overlap factor", overlapFactor, "deg/m", 0, 50),
		valid.In("inlet pressure", inlet, "Pa", 1e4, 3e5),
		valid.In("exhaust pressure", exhaust, "Pa", 3e4, 4e5),
		valid.In("mixture", phi, "", 0.5, 1.7),
		valid.In("compression ratio", compressionRatio, "", 3, 25))
	if err != nil {
		return 0, err
	}
	return unchecked.Backflow(rpm, overlapFactor, inlet, exhaust) +
		0.632*phi*math.Pow(inlet/exhaust, -0.74)/compressionRatio, nil
}

// OverlapFactor is the valve area during overlap over the swept volume, deg/m:
// 1.45/B (107 + 7.8 D + D^2) L d/B^2 with overlap D in crank degrees between 0.15 mm
// lifts, bore B, valve lift L and inlet valve diameter d in mm (given here in m).
// Source: as [ResidualFraction].
func OverlapFactor(overlap, bore, lift, valveDiameter float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("valve overlap", overlap, "deg crank", -40, 140),
		valid.In("bore", bore, "m", 0.03, 0.3),
		valid.In("inlet valve lift", lift, "m", 0, 0.05),
		valid.In("inlet valve diameter", valveDiameter, "m", 0, 0.2))
	if err != nil {
		return 0, err
	}
	b := bore * 1e3
	return 1.45 / b * (107 + overlap*(7.8+overlap)) * (lift * 1e3) * (valveDiameter * 1e3) / (b * b), nil
}
