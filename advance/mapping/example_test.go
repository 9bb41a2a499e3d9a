package mapping_test

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

// Twelve degrees static, all of the weights' 22 degrees out at cruise, 46 degrees
// wanted there: where does the hose go, and what must the light show?
func ExampleAdvise() {
	advice, err := mapping.Advise(mapping.Situation{
		Unit: vacuum.Unit{
			Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
			ArmRadius: 32e-3, Friction: 0.3,
		},
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
		Unit: vacuum.Unit{
			Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
			ArmRadius: 32e-3, Friction: 0.3,
		},
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
	// Idle shows 16.0 deg with the hose as advised, 26.0 deg are wanted: a spring slackened to a full pull at 8.5 inHg would give 30.0 deg on manifold vacuum, steady.
	// At cruise, 12.0 inHg, the unit is on its ramp (full at 11.3 inHg): the total wanders with load. Slacken the spring until it is fully pulled at 10.5 inHg.
}

// The total over speed and load: a corner of the map in numbers.
func ExampleNew() {
	// The weights give 20 crank degrees from about 1100 engine rpm.
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.045, SpringMomentStop: 0.45, Travel: 10 * math.Pi / 180, Ratio: 0.5, Friction: 0.004,
	}.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	// The unit begins at 6 inHg and gives 16 crank degrees, fully pulled at 12 inHg.
	u := vacuum.Unit{
		Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
		ArmRadius: 32e-3, Friction: 0.3,
	}
	d := &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &u}
	air := air.Ambient{Pressure: 101325, Temperature: 293.15}
	m, err := mapping.New(nil, d, air, []float64{800, 1600, 2400, 3200}, []float64{40e3, 70e3, 100e3})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(" rpm   40 kPa  70 kPa 100 kPa  rising / falling")
	for i, rpm := range m.RPM {
		fmt.Printf("%4.0f", rpm)
		for _, total := range [][]float64{m.Rising[3*i : 3*i+3], m.Falling[3*i : 3*i+3]} {
			fmt.Printf("  %6.1f  %6.1f  %6.1f", total[0], total[1], total[2])
		}
		fmt.Println()
	}
	// Output:
	// rpm   40 kPa  70 kPa 100 kPa  rising / falling
	//  800    25.8    18.4    10.0    25.8    18.9    10.0
	// 1600    31.0    23.5    15.2    31.4    24.5    15.6
	// 2400    40.9    33.5    25.1    41.3    34.4    25.5
	// 3200    45.8    38.4    30.0    45.8    38.9    30.0
}

// Hose on manifold vacuum at 800 rpm: does idle stand still?
func ExampleIdle() {
	// The weights give 20 crank degrees from about 1100 engine rpm.
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.045, SpringMomentStop: 0.45, Travel: 10 * math.Pi / 180, Ratio: 0.5, Friction: 0.004,
	}.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	// The unit begins at 6 inHg and gives 16 crank degrees, fully pulled at 12 inHg.
	u := vacuum.Unit{
		Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
		ArmRadius: 32e-3, Friction: 0.3,
	}
	d := &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &u}
	// A 1.6 litre with its throttle and the hose to the unit.
	engine := knock.NewEngine(4, 80e-3, 79.577471545947667e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	engine.Filling = []knock.Filling{{RPM: 572.95779513082321, Efficiency: 0.72}, {RPM: 3819.7186342054881, Efficiency: 0.85}}
	sys := &vacuum.System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * math.Pi / 180, Discharge: 0.8, Bypass: 8e-6},
		Intake:   airpath.Intake{Engine: engine, Volume: 2.5e-3, BackPressure: 2e3, OverlapFactor: 1e-12, FilledThrottled: true},
		Air:      air.Ambient{Pressure: 101325, Temperature: 293.15},
		Port:     vacuum.Port{Height: 1.2e-3, Diameter: 1.2e-3},
		Hose:     vacuum.Hose{Restriction: 2e-7, Volume: 35e-6},
	}
	s, err := mapping.Idle(mapping.Idling{
		Distributor: d, System: sys, RPM: 800,
		Work: airpath.Load{Friction: 1.25e5, Efficiency: 0.30, Heat: 2.95e6},
		Drag: 15, MBT: 38,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f inHg, %.1f deg, steady: %t\n%s\n", s.Vacuum/vacuum.InchOfMercury, s.Spark, s.Steady, s.Why)
	// Output:
	// 21.2 inHg, 25.8 deg, steady: true
	// the vacuum unit is fully pulled with 9.2 inHg to spare, loop gain 0.00
}

// The throttle snapped open at 2000 rpm behind a drilling of half a millimetre.
func ExampleTipInTransient() {
	// The weights give 20 crank degrees from about 1100 engine rpm.
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.045, SpringMomentStop: 0.45, Travel: 10 * math.Pi / 180, Ratio: 0.5, Friction: 0.004,
	}.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	// The unit begins at 6 inHg and gives 16 crank degrees, fully pulled at 12 inHg.
	u := vacuum.Unit{
		Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
		ArmRadius: 32e-3, Friction: 0.3,
	}
	d := &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &u}
	// A 1.6 litre with its throttle and the hose to the unit.
	engine := knock.NewEngine(4, 80e-3, 79.577471545947667e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	engine.Filling = []knock.Filling{{RPM: 572.95779513082321, Efficiency: 0.72}, {RPM: 3819.7186342054881, Efficiency: 0.85}}
	sys := &vacuum.System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * math.Pi / 180, Discharge: 0.8, Bypass: 8e-6},
		Intake:   airpath.Intake{Engine: engine, Volume: 2.5e-3, BackPressure: 2e3, OverlapFactor: 1e-12, FilledThrottled: true},
		Air:      air.Ambient{Pressure: 101325, Temperature: 293.15},
		Port:     vacuum.Port{Height: 1.2e-3, Diameter: 1.2e-3},
		Hose:     vacuum.Hose{Restriction: 2e-7, Volume: 35e-6},
	}
	c, err := mapping.TipInTransient(context.Background(), mapping.TipIn{
		Distributor: d, System: sys,
		Inputs: []vacuum.Input{
			{Time: 0, Throttle: 0.26, RPM: 2000},
			{Time: 0.1, Throttle: 1.4, RPM: 2000},
			{Time: 2, Throttle: 1.4, RPM: 2000},
		},
		Requirements: func(rpm, pressure float64) (mapping.Requirement, error) {
			return mapping.Requirement{MBT: 40, KnockLimited: pressure > 70e3, KLSA: 33}, nil
		},
		Margin: 2,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Verdict)
	// Output:
	// too late: the manifold fills in 0.06 s, the unit is back in 0.52 s, and the spark is up to 4.4 deg beyond the limit with its margin for 0.30 s, about 5 cycles of a cylinder; a wider restriction or shorter hose lets go sooner, or less vacuum advance is called for
}

// From an engine's plain facts: the throttle snapped open from a cruise at 15 inHg.
func ExampleSnapOpen() {
	// The weights give 20 crank degrees from about 1100 engine rpm.
	curve, err := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.045, SpringMomentStop: 0.45, Travel: 10 * math.Pi / 180, Ratio: 0.5, Friction: 0.004,
	}.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	// The unit begins at 6 inHg and gives 16 crank degrees, fully pulled at 12 inHg.
	u := vacuum.Unit{
		Area: 9e-4, Rate: 4100, Preload: 18.3, Travel: 4.4e-3, Stroke: 6e-3,
		ArmRadius: 32e-3, Friction: 0.3,
	}
	d := &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: curve, Vacuum: &u}
	e := knock.NewEngine(4, 80e-3, 79.6e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	sys, err := mapping.OrdinarySystem(e, air.Ambient{Pressure: 101325, Temperature: 293.15})
	if err != nil {
		fmt.Println(err)
		return
	}
	snap, err := mapping.SnapOpen(d, sys, 2400, 15*vacuum.InchOfMercury)
	if err != nil {
		fmt.Println(err)
		return
	}
	snap.Margin = 2
	snap.Requirements = func(rpm, pressure float64) (mapping.Requirement, error) {
		return mapping.Requirement{MBT: 40, KnockLimited: pressure > 70e3, KLSA: 36}, nil // in earnest: from package knock
	}
	t, err := mapping.TipInTransient(context.Background(), snap)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(t.Verdict)
	// Output:
	// too late: the manifold fills in 0.05 s, the unit is back in 0.48 s, and the spark is up to 6.9 deg beyond the limit with its margin for 0.26 s, about 5 cycles of a cylinder; a wider restriction or shorter hose lets go sooner, or less vacuum advance is called for
}
