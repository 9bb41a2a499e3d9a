package correlations

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Every fit, over the whole of float64: a finite number or a refusal, and no panic.
func FuzzFits(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.08, 3e6, 800.0, 90.0, 1.1, 0.06, 2000.0, 20.0, 0)
	f.Add(math.MaxFloat64, math.MaxFloat64, math.SmallestNonzeroFloat64, -1.0, math.Inf(1), math.NaN(), 1e308, -1e308, 7)
	f.Add(0.08, 3e6, 800.0, 90.0, 1.1, 5e-324, 2000.0, 20.0, 0) // a delay of no time
	f.Add(math.SmallestNonzeroFloat64, 1e3, 200.0, 30.0, 0.6, 1.0, 300.0, 0.1, 3)
	f.Fuzz(func(t *testing.T, length, pascal, kelvin, octane, phi, burned, rpm, angle float64, law int) {
		answered := func(what string, v float64, err error) {
			t.Helper()
			if err == nil && !valid.Finite(v) {
				t.Errorf("%s: %g without an error", what, v)
			}
			if err != nil && !errors.Is(err, errRange) {
				t.Errorf("%s: %v", what, err)
			}
		}
		ask := func(what string) func(float64, error) {
			return func(v float64, err error) { t.Helper(); answered(what, v, err) }
		}
		delay := Delay{Scale: burned, Pressure: phi, Activation: octane * 50}
		ask("delay")(Delay{}.Seconds(pascal, kelvin, octane))
		ask("other delay")(delay.Seconds(pascal, kelvin, octane))
		integral, onset, _, err := delay.Onset(length, octane, func(float64) (float64, float64) { return pascal, kelvin })
		answered("integral", integral, err)
		answered("onset", onset, err)
		flame := LaminarFlame(law)
		ask("flame")(flame.Speed(phi, kelvin, pascal, burned))
		ask("burn angle")(flame.BurnAngleRatio(FlameState{rpm, phi, kelvin, pascal, burned}, FlameState{2000, 1.1, 700, 1.5e6, 0.06}))
		w := Wiebe{Develop: angle, Rapid: octane}
		if w.Check() == nil {
			answered("Wiebe exponent", w.Exponent(), nil)
			answered("Wiebe share", w.burned(rpm), nil)
			ask("Wiebe angle")(w.Angle(burned))
		}
		ask("wall coefficient")(WallCoefficient(length, pascal, kelvin, angle))
		ask("gas speed")(GasSpeed(angle, length, kelvin, pascal, burned, pascal, pascal/2))
		ask("residual gas")(ResidualFraction(rpm, angle, pascal, pascal*phi, phi, octane))
		ask("overlap factor")(OverlapFactor(angle, length, burned, phi))
		ask("friction")(FrictionPressure(rpm))
	})
}
