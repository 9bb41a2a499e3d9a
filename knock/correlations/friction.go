package correlations

import "example.org/bobweight/springs/valid"

// FrictionPressure returns the friction mean effective pressure in Pa at an engine
// speed in rpm, 300 to 9000: 0.97 + 0.15 N + 0.05 N^2 bar with N in 1000 rpm; D.
// Barnes-Moss (1975) after Heywood (1988), ch. 13 (read in a public copy), motored engines of
// 0.85 to 2 litres with open throttle.
func FrictionPressure(rpm float64) (float64, error) {
	if err := valid.Check(errRange, valid.In("engine speed", rpm, "rpm crank", 300, 9000)); err != nil {
		return 0, err
	}
	n := rpm / 1000
	return (0.97 + 0.15*n + 0.05*n*n) * 1e5, nil
}
