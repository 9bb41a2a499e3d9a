package vacuum_test

import (
	"fmt"
	"math"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

// A hand pump on the unit: where does it begin, where does it end, and what does
// it give in between?
func Example() {
	u := vacuum.Unit{
		Area:      9e-4,
		Rate:      4100,
		Preload:   18.3,
		Travel:    4.4e-3,
		ArmRadius: 32e-3,
		Friction:  0.5,
	}
	fmt.Printf("begins at %.1f inHg, fully pulled at %.1f inHg\n", u.Onset()/vacuum.InchOfMercury, u.Full()/vacuum.InchOfMercury)
	for _, inHg := range []float64{5, 8, 11, 14} {
		up, err := u.Advance(inHg * vacuum.InchOfMercury)
		if err != nil {
			fmt.Println(err)
			return
		}
		down, err := u.Retreat(inHg * vacuum.InchOfMercury)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f inHg: %.1f deg dist pulling, %.1f deg dist releasing\n", inHg, up*180/math.Pi, down*180/math.Pi)
	}
	// Output:
	// begins at 6.2 inHg, fully pulled at 12.1 inHg
	//    5 inHg: 0.0 deg dist pulling, 0.0 deg dist releasing
	//    8 inHg: 2.4 deg dist pulling, 2.9 deg dist releasing
	//   11 inHg: 6.4 deg dist pulling, 6.9 deg dist releasing
	//   14 inHg: 7.9 deg dist pulling, 7.9 deg dist releasing
}

// A limiter set beyond the diaphragm's stroke is refused with the range.
func ExampleUnit_Check() {
	u := vacuum.Unit{
		Area:      9e-4,
		Rate:      4100,
		Preload:   18.3,
		Travel:    4.4e-3,
		Stroke:    4e-3,
		ArmRadius: 32e-3,
		Friction:  0.5,
	}
	fmt.Println(u.Check())
	// Output:
	// vacuum: value out of range: limiter travel is 0.0044 m, valid is at most the stroke of 0.004 m
}

// Five readings with a hand pump: twice where the plate starts, twice where it
// stops, and the angle at a deep vacuum.
func ExampleIdentify() {
	const inHg, deg = vacuum.InchOfMercury, math.Pi / 180
	id, err := vacuum.Identify([]vacuum.PumpReading{
		{Vacuum: 5.5 * inHg, Event: vacuum.Starts}, {Vacuum: 12 * inHg, Event: vacuum.Stops},
		{Vacuum: 6 * inHg, Event: vacuum.Starts}, {Vacuum: 12.5 * inHg, Event: vacuum.Stops},
		{Vacuum: 16 * inHg, Theta: 8 * deg},
	}, vacuum.MeasurementError{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("begins at %.1f inHg (%.1f to %.1f)\n", id.Onset.Value/inHg, id.Onset.Low/inHg, id.Onset.High/inHg)
	fmt.Printf("full at %.1f inHg (%.1f to %.1f)\n", id.Full.Value/inHg, id.Full.Low/inHg, id.Full.High/inHg)
	fmt.Printf("gives %.1f deg dist (%.1f to %.1f)\n", id.Most.Value/deg, id.Most.Low/deg, id.Most.High/deg)
	for _, note := range id.Notes {
		fmt.Println(note)
	}
	unit, err := id.Unit(0) // for a distributor, or for advice on the hose
	if err != nil {
		fmt.Println(err)
		return
	}
	theta, err := unit.Advance(9 * inHg)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at 9 inHg %.1f deg dist\n", theta/deg)
	// Output:
	// begins at 5.8 inHg (5.1 to 6.5)
	// full at 12.2 inHg (11.5 to 12.9)
	// gives 8.0 deg dist (7.0 to 8.9)
	// No reading was taken while the vacuum was let down: friction is unknown.
	// at 9 inHg 4.0 deg dist
}

// The unit should begin at 5 inHg and give 6 degrees: how far the limiter, how many
// turns of the adjuster?
func ExampleUnit_Adjust() {
	unit := vacuum.Unit{
		Area:      9e-4,
		Rate:      4100,
		Preload:   18.3,
		Travel:    4.4e-3,
		ArmRadius: 32e-3,
		Friction:  0.5,
	}
	set, turns, err := unit.Adjust(5*vacuum.InchOfMercury, 6*math.Pi/180, vacuum.Adjuster{Pitch: 0.5e-3, Out: 6, In: 6})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("limiter at %.2f mm of rod, adjuster %+.1f turns, fully pulled at %.1f inHg\n", set.Travel*1e3, turns, set.Full()/vacuum.InchOfMercury)
	// Output:
	// limiter at 3.34 mm of rod, adjuster -1.7 turns, fully pulled at 9.5 inHg
}

// The same throttle opening by opening, on either source.
func ExampleSystem_Steady() {
	e := knock.NewEngine(4, 80e-3, 79.6e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	e.Filling = []knock.Filling{{RPM: 600, Efficiency: 0.72}, {RPM: 3800, Efficiency: 0.85}}
	s := &vacuum.System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * math.Pi / 180, Discharge: 0.8, Bypass: 8e-6},
		Intake:   airpath.Intake{Engine: e, BackPressure: 2e3},
		Air:      air.Ambient{Pressure: 101325, Temperature: 293.15},
		Port:     vacuum.Port{Height: 1.2e-3, Diameter: 1.2e-3},
		Hose:     vacuum.Hose{Restriction: 2e-7, Volume: 35e-6},
		Unit: vacuum.Unit{
			Area:      9e-4,
			Rate:      4100,
			Preload:   18.3,
			Travel:    4.4e-3,
			ArmRadius: 32e-3,
			Friction:  0.5,
		},
	}
	for _, deg := range []float64{8, 10, 13, 20, 40} {
		fmt.Printf("%2.0f deg:", deg)
		for _, source := range []vacuum.Source{vacuum.FromManifold, vacuum.FromPort} {
			s.Source = source
			a, err := s.Steady(deg*math.Pi/180, 1146)
			if err != nil {
				fmt.Println(err)
				return
			}
			v, err := s.Air.Vacuum(a.Chamber)
			if err != nil {
				fmt.Println(err)
				return
			}
			fmt.Printf("  %s %4.1f inHg %4.1f deg dist", source, v/vacuum.InchOfMercury, a.Theta*180/math.Pi)
		}
		fmt.Println()
	}
	// Output:
	// 8 deg:  manifold 22.2 inHg  7.9 deg dist  ported  0.0 inHg  0.0 deg dist
	// 10 deg:  manifold 19.7 inHg  7.9 deg dist  ported  0.0 inHg  0.0 deg dist
	// 13 deg:  manifold 15.2 inHg  7.9 deg dist  ported 14.8 inHg  7.9 deg dist
	// 20 deg:  manifold  5.7 inHg  0.0 deg dist  ported  5.7 inHg  0.0 deg dist
	// 40 deg:  manifold  0.5 inHg  0.0 deg dist  ported  0.5 inHg  0.0 deg dist
}

// A torn diaphragm whose hole passes more than the hose can draw off.
func ExampleHose_Chamber() {
	unit := vacuum.Unit{
		Area:      9e-4,
		Rate:      4100,
		Preload:   18.3,
		Travel:    4.4e-3,
		ArmRadius: 32e-3,
		Friction:  0.5,
	}
	_, err := vacuum.Hose{Restriction: 2e-7, Volume: 35e-6, Leak: 5e-7}.Chamber(unit, air.Ambient{Pressure: 101325, Temperature: 293.15}, 60e3)
	fmt.Println(err)
	// Output:
	// vacuum: value out of range: leak is 5e-07 m^2, valid is below the restriction of 2e-07 m^2: leak larger than supply
}
