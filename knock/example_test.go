package knock_test

import (
	"context"
	"fmt"
	"log"

	"example.org/bobweight/knock"
)

// What a four-cylinder engine on pump petrol wants at full load and where it may
// begin to knock, from a tape measure alone. The band is wide: nothing has been heard
// on this engine yet.
func ExampleModel_Each_fullLoad() {
	e := knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85})
	m, err := knock.New(e)
	if err != nil {
		log.Fatal(err)
	}
	wants, err := m.Each(context.Background(), []knock.Condition{{RPM: 1500}, {RPM: 3000}}, nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range wants {
		fmt.Printf("%.0f rpm: best %.0f, trace knock near %.0f (%.0f to %.0f) deg BTDC\n", w.RPM, w.MBT, w.KLSA, w.KLSALow, w.KLSAHigh)
	}
	// Output:
	// 1500 rpm: best 26, trace knock near 16 (0 to 31) deg BTDC
	// 3000 rpm: best 34, trace knock near 31 (14 to 49) deg BTDC
}

// Trace knock was heard at 22 degrees and 2000 rpm. The limit moves there and its band
// shrinks, there and for what is near.
func ExampleModel_Calibrate() {
	e := knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85})
	m, err := knock.New(e)
	if err != nil {
		log.Fatal(err)
	}
	m, err = m.Calibrate(context.Background(), knock.Observation{
		Condition: knock.Condition{RPM: 2000}, Kind: knock.TraceKnock, Spark: 22,
	})
	if err != nil {
		log.Fatal(err)
	}
	better, err := m.WithFuel(knock.Fuel{RON: 98, MON: 88})
	if err != nil {
		log.Fatal(err)
	}
	for name, m := range map[string]*knock.Model{"RON 95": m, "RON 98": better} {
		w, err := m.SparkRequirement(knock.Condition{RPM: 2000})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: trace knock near %.0f (%.0f to %.0f)\n", name, w.KLSA, w.KLSALow, w.KLSAHigh)
	}
	// Unordered output:
	// RON 95: trace knock near 22 (19 to 25)
	// RON 98: trace knock near 25 (22 to 29)
}

// Ten degrees late costs a few percent of torque; the first degrees cost nothing.
func ExampleModel_TorqueLoss() {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		log.Fatal(err)
	}
	cond := knock.Condition{RPM: 2500}
	w, err := m.SparkRequirement(cond)
	if err != nil {
		log.Fatal(err)
	}
	for _, late := range []float64{2, 5, 10, 15} {
		loss, err := m.TorqueLoss(cond, w.MBT-late)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2.0f deg late: %.1f %%\n", late, 100*loss)
	}
	// Output:
	// 2 deg late: 0.1 %
	//  5 deg late: 0.6 %
	// 10 deg late: 2.4 %
	// 15 deg late: 5.4 %
}

// How much spark a fuel allows with three degrees kept back, and the octane that a
// curve asks for.
func ExampleModel_OctaneRequirement() {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		log.Fatal(err)
	}
	m, err = m.Calibrate(context.Background(), knock.Observation{Condition: knock.Condition{RPM: 2000}, Spark: 22})
	if err != nil {
		log.Fatal(err)
	}
	wants, err := m.Each(context.Background(), []knock.Condition{{RPM: 1500}, {RPM: 2500}}, nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range wants {
		allowed := min(w.MBT, w.KLSALow-3)
		index, _, _, err := m.OctaneRequirement(knock.Condition{RPM: w.RPM}, allowed)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.0f rpm: allowed %.0f, the limit lies from %.0f to %.0f; that asks for an octane index of %.0f\n", w.RPM, allowed, w.KLSALow, w.KLSAHigh, index)
	}
	// Output:
	// 1500 rpm: allowed 6, the limit lies from 9 to 22; that asks for an octane index of 81
	// 2500 rpm: allowed 19, the limit lies from 22 to 33; that asks for an octane index of 84
}
