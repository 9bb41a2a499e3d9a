package mapping_test

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/vacuum"
)

// unit begins at 6 inHg and gives 16 crank degrees, fully pulled at 12 inHg.
func unit() vacuum.Unit {
	return vacuum.Unit{
		Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
		ArmRadius: 32e-3, Friction: 0.3,
	}
}

// Twelve degrees static, all of the weights' 22 degrees out at cruise, 46 degrees
// wanted there: where does the hose go, and what must the light show?
func ExampleAdvise() {
	advice, err := mapping.Advise(mapping.Situation{
		Unit:             unit(),
		Drive:            advance.FourStroke,
		IdleVacuum:       17 * vacuum.InchOfMercury,
		CruiseVacuum:     15 * vacuum.InchOfMercury,
		Static:           12,
		MechanicalIdle:   0,
		MechanicalCruise: 22,
		WantedCruise:     46,
		WantedIdle:       22,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range advice.Sentences() {
		fmt.Println(line)
	}
	// Output:
	// Set the timing with the hose off and plugged.
	// Limiter: with a hand pump at full pull the unit must give 12.0 deg crank (3.34 mm of rod); it begins at 6.1 inHg and is full at 10.6 inHg.
	// Hose on the manifold source: the unit is fully pulled at idle with margin (full at 10.6 inHg, idle 17.0 inHg), so idle is steady, and 24.0 deg is nearer to the 22.0 deg wanted than 12.0 deg.
	// Hose on, idle: 24.0 deg, passes from 23.0 to 25.0 deg.
	// Hose on, light cruise: 46.0 deg, passes from 45.0 to 47.0 deg.
	// With the hose on, idle speeds up: set the idle speed again, not the timing.
}

// A long cam idles at 10 inHg, in the middle of the unit's ramp.
func ExampleAdvise_longCam() {
	advice, err := mapping.Advise(mapping.Situation{
		Unit:             unit(),
		Drive:            advance.FourStroke,
		IdleVacuum:       10 * vacuum.InchOfMercury,
		CruiseVacuum:     12 * vacuum.InchOfMercury,
		Static:           16,
		MechanicalCruise: 18,
		WantedCruise:     48,
		WantedIdle:       26,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(advice.Source)
	fmt.Println(advice.Why)
	for _, note := range advice.Notes {
		fmt.Println(note)
	}
	// Output:
	// ported
	// at the idle's 10.0 inHg the unit is on its ramp (begins at 6.1, full at 11.3 inHg): on manifold vacuum idle would wander, so it belongs on the ported source
	// At cruise, 12.0 inHg, the unit is on its ramp (full at 11.3 inHg): the total wanders with load. Slacken the spring until it is fully pulled at 10.5 inHg.
}
