package knock_test

import (
	"context"
	"fmt"
	"log"
	"math"

	"example.org/bobweight/knock"
)

// Best torque over speed and load: what weights and vacuum unit share between them.
func ExampleModel_Each() {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		log.Fatal(err)
	}
	var conditions []knock.Condition
	for _, pressure := range []float64{99e3, 75e3, 50e3} {
		for _, rpm := range []float64{1000, 2000, 3000} {
			conditions = append(conditions, knock.Condition{RPM: rpm, InletPressure: pressure})
		}
	}
	all, err := m.Each(context.Background(), conditions, nil)
	if err != nil {
		log.Fatal(err)
	}
	for i := 0; i < len(all); i += 3 {
		fmt.Printf("%2.0f kPa: %3.0f %3.0f %3.0f\n", conditions[i].InletPressure/1e3, all[i].MBT, all[i+1].MBT, all[i+2].MBT)
	}
	// Output:
	// 99 kPa:  21  29  35
	// 75 kPa:  25  34  39
	// 50 kPa:  35  42  48
}

// One cycle beyond the limit: where the end gas ignites by itself.
func ExampleModel_Cycle() {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 91, MON: 82}))
	if err != nil {
		log.Fatal(err)
	}
	c, err := m.Cycle(knock.Condition{RPM: 2000}, 30)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f bar, knocks %v, %.0f deg after top centre with %.0f %% unburned\n", c.PeakPressure/1e5, c.Knocks, c.Onset, 100*c.Unburned)
	// Output:
	// 42 bar, knocks true, 17 deg after top centre with 26 % unburned
}

// The textbook's Otto cycle comes out of the same integration.
func ExampleAirStandard_Run() {
	i, err := knock.AirStandard{Ratio: 8, Pressure: 1e5, Temperature: 288, Heat: 1e6, Cv: 718, Gamma: 1.4}.Run()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f, closed form %.4f\n", i.Efficiency, 1-math.Pow(8, -0.4))
	// Output: 0.5647, closed form 0.5647
}
