package airpath_test

import (
	"fmt"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
)

// Cruise at 25 m/s on a level road, at sea level and at 1500 m: how much vacuum is
// left for the distributor's unit?
func ExampleIntake_Demand() {
	e := knock.NewEngine(4, 80e-3, 79.6e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	in := airpath.Intake{Engine: e, BackPressure: 2e3}
	v := airpath.Vehicle{Mass: 1100, Rolling: 0.014, DragArea: 0.85, TyreRadius: 0.3, Gearing: 4.1, Transmission: 0.92}
	for _, altitude := range []float64{0, 1500} {
		a, err := air.Standard(altitude)
		if err != nil {
			fmt.Println(err)
			return
		}
		load, err := v.Cruise(in, 25, 0, a)
		if err != nil {
			fmt.Println(err)
			return
		}
		p, err := in.Demand(load, a)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f m: brake mean pressure %.2f bar, %.1f inHg\n", altitude, load.Brake/1e5, (a.Pressure-p)/3386.389)
	}
	// Output:
	//    0 m: brake mean pressure 2.98 bar, 10.3 inHg
	// 1500 m: brake mean pressure 2.70 bar, 7.1 inHg
}
