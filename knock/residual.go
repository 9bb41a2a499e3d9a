package knock

import "math"

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
	err := check(
		bound{field: "engine speed", value: rpm, lo: 300, hi: 9000, unit: "rpm crank"},
		bound{field: "overlap factor", value: overlapFactor, lo: 0, hi: 50, unit: "deg/m"},
		bound{field: "inlet pressure", value: inlet, lo: 1e4, hi: 3e5, unit: "Pa"},
		bound{field: "exhaust pressure", value: exhaust, lo: 3e4, hi: 4e5, unit: "Pa"},
		bound{field: "mixture", value: phi, lo: 0.5, hi: 1.7},
		bound{field: "compression ratio", value: compressionRatio, lo: 3, hi: 25})
	if err != nil {
		return 0, err
	}
	return backflow(rpm, overlapFactor, inlet, exhaust) +
		0.632*phi*math.Pow(inlet/exhaust, -0.74)/compressionRatio, nil
}

func backflow(rpm, overlapFactor, inlet, exhaust float64) float64 {
	return 1.266 * overlapFactor / (rpm / 60) * math.Pow(inlet/exhaust, -0.87) * math.Sqrt(math.Abs(exhaust-inlet)/1e5)
}

// OverlapFactor is the valve area during overlap over the swept volume, deg/m:
// 1.45/B (107 + 7.8 D + D^2) L d/B^2 with overlap D in crank degrees between 0.15 mm
// lifts, bore B, valve lift L and inlet valve diameter d in mm (given here in m).
// Source: as [ResidualFraction].
func OverlapFactor(overlap, bore, lift, valveDiameter float64) (float64, error) {
	err := check(
		bound{field: "valve overlap", value: overlap, lo: -40, hi: 140, unit: "deg crank"},
		bound{field: "bore", value: bore, lo: 0.03, hi: 0.3, unit: "m"},
		bound{field: "inlet valve lift", value: lift, lo: 0, hi: 0.05, unit: "m"},
		bound{field: "inlet valve diameter", value: valveDiameter, lo: 0, hi: 0.2, unit: "m"})
	if err != nil {
		return 0, err
	}
	b := bore * 1e3
	return 1.45 / b * (107 + overlap*(7.8+overlap)) * (lift * 1e3) * (valveDiameter * 1e3) / (b * b), nil
}

// overlapFraction is the flow back through the overlap of the engine. The correlation
// was fitted below a fifth; a long cam at idle would give more than the cylinder
// holds, so the flow saturates at backflowMost.
func overlapFraction(e *Engine, rpm, inlet, exhaust float64) float64 {
	factor, err := OverlapFactor(e.Overlap, e.Bore, e.Lift, e.ValveDiameter)
	if err != nil { // Engine.Check has been passed
		return 0
	}
	x := backflow(rpm, factor, inlet, exhaust)
	return x / (1 + x/backflowMost)
}

const backflowMost = 0.6
