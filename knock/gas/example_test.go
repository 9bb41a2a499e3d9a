package gas_test

import (
	"fmt"
	"log"

	"example.org/bobweight/knock/gas"
)

// The flame of petrol, taken as iso-octane, in air at the end of compression.
func ExampleMixture_Burn() {
	charge, err := gas.Charge([]gas.Part{{Species: gas.Named("iso-octane"), Moles: 1}}, 1)
	if err != nil {
		log.Fatal(err)
	}
	before, err := charge.At(700, 20e5)
	if err != nil {
		log.Fatal(err)
	}
	after, err := charge.Mixture().Burn(before.H, before.P)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f K, %.1f %% CO by volume\n", after.T, 100*after.MoleFraction("CO"))
	// Output: 2560 K, 1.6 % CO by volume
}

// Air to burn petrol, by mass.
func ExampleOxygen() {
	need := gas.Oxygen(gas.Named("iso-octane"))
	mass := 0.0
	for _, p := range gas.Air(need) {
		mass += p.Moles * p.Species.MolarMass()
	}
	fmt.Printf("%.1f kg of oxygen, in %.1f kg of air, per kg of fuel\n", need*0.0319988/gas.Named("iso-octane").MolarMass(), mass/gas.Named("iso-octane").MolarMass())
	// Output: 3.5 kg of oxygen, in 15.1 kg of air, per kg of fuel
}
