package correlations

import (
	"errors"
	"math"
	"testing"
)

// J. B. Heywood (1988), ch. 9: with a = 5, m = 2 the shares 10, 50 and 90 % are burned
// at 0.2762, 0.5175 and 0.7722 of the duration (from memory).
func TestWiebe(t *testing.T) {
	w := Wiebe{Develop: 0.276208, Rapid: 0.772233 - 0.276208}
	report(t, "Wiebe exponent m", 2, w.Exponent()-1, 2e-5)
	y, err := w.Angle(0.5)
	if err != nil {
		t.Fatal(err)
	}
	report(t, "half burned, share of the duration", 0.5175, y, 0.5e-4)
	// Derived identity: 20 and 26 degrees give m = 2.703, half burned at 33.26.
	w = Wiebe{20, 26}
	report(t, "Wiebe exponent from 20 and 26 deg", 2.703, w.Exponent()-1, 0.5e-3)
	y, err = w.Angle(0.5)
	if err != nil {
		t.Fatal(err)
	}
	report(t, "half burned after spark, deg", 33.26, y, 0.5e-2)
	for _, x := range []float64{0, 1e-6, 0.1, 0.5, 0.9, 0.9999} {
		y, err := w.Angle(x)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(w.burned(y)-x) <= 1e-12) {
			t.Errorf("share %g comes back as %g", x, w.burned(y))
		}
	}
	if w.burned(-3) != 0 || w.burned(math.NaN()) != 0 {
		t.Error("burned before spark")
	}
	if _, err := w.Angle(1); !errors.Is(err, errRange) {
		t.Errorf("share 1: got %v", err)
	}
}

// Constants of M. Metghalchi, J. C. Keck (1982) and D. B. Rhodes, J. C. Keck (1985) from
// memory; the numbers are evaluations of the published formulas.
func TestLaminarSpeed(t *testing.T) {
	for _, k := range []struct {
		flame                        LaminarFlame
		phi, kelvin, atm, burned, cm float64
	}{
		{GasolineFlame, 1, 298, 1, 0, 28.08}, {GasolineFlame, 1.2, 750, 30, 0, 113.7},
		{GasolineFlame, 1.1, 700, 15, 0.06, 79.80}, {GasolineFlame, 1.1, 640, 6, 0.16, 50.90},
		{IsoOctaneFlame, 1, 298, 1, 0, 24.87}, {IsoOctaneFlame, 1, 700, 20, 0, 99.09},
		{IndoleneFlame, 1, 298, 1, 0, 26.26}, {GulderFlame, 1, 700, 20e5 / atmosphere, 0, 88.12},
	} {
		s, err := k.flame.Speed(k.phi, k.kelvin, k.atm*atmosphere, k.burned)
		if err != nil {
			t.Fatal(err)
		}
		report(t, "laminar speed, cm/s", k.cm, s*100, 0.06)
	}
	a, _ := GasolineFlame.Speed(1, 298, atmosphere, 0.1)
	b, _ := GasolineFlame.Speed(1, 298, atmosphere, 0)
	report(t, "flame speed left with 10 % burned gas", 0.6502, a/b, 0.5e-4)
	if _, err := GasolineFlame.Speed(math.NaN(), 300, 1e5, 0); !errors.Is(err, errRange) {
		t.Errorf("NaN mixture: got %v", err)
	}
}

// Interval scaling of S. D. Hires et al., SAE 780232 (from memory): twice the speed,
// 1.26 times the angle; full load to light cruise 1.74 times.
func TestBurnScaling(t *testing.T) {
	ratio := func(at, reference FlameState) float64 {
		r, err := GasolineFlame.BurnAngleRatio(at, reference)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	full := FlameState{RPM: 2000, Mixture: 1.1, Kelvin: 700, Pascal: 15 * atmosphere, Burned: 0.06}
	fast := full
	fast.RPM = 4000
	report(t, "burn angle at double speed", 1.25992, ratio(fast, full), 1e-5)
	cruise := FlameState{RPM: 2000, Mixture: 1.1, Kelvin: 640, Pascal: 6 * atmosphere, Burned: 0.16}
	report(t, "burn angle, light cruise over full load", 1.741, ratio(cruise, full), 0.5e-3*2)
	if _, err := GasolineFlame.BurnAngleRatio(FlameState{}, full); !errors.Is(err, errRange) {
		t.Errorf("zero state: got %v", err)
	}
}
