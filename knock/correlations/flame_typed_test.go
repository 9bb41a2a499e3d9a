package correlations

import "testing"

// The fits of Metghalchi and Keck typed a second time.
func TestFlameFitsTypedTwice(t *testing.T) {
	for fuel, want := range map[LaminarFlame]metghalchiKeck{
		GasolineFlame: {0.305, -0.549, 1.21}, IsoOctaneFlame: {0.263, -0.847, 1.13}, IndoleneFlame: {0.2758, -0.7834, 1.13},
	} {
		if fits[fuel] != want {
			t.Errorf("fit %d is %v, typed again %v", fuel, fits[fuel], want)
		}
	}
}
