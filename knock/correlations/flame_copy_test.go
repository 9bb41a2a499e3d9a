package correlations

import "testing"

// The fits of Metghalchi and Keck in a second copy.
func TestFlameFitsMatchTheirCopy(t *testing.T) {
	for fuel, want := range map[LaminarFlame]metghalchiKeck{
		GasolineFlame: {0.305, -0.549, 1.21}, IsoOctaneFlame: {0.263, -0.847, 1.13}, IndoleneFlame: {0.2758, -0.7834, 1.13},
	} {
		if fits[fuel] != want {
			t.Errorf("fit %d is %v, its copy %v", fuel, fits[fuel], want)
		}
	}
}
