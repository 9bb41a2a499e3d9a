package springs_test

import (
	"fmt"

	"example.org/bobweight/springs"
)

// A light spring between posts 21 mm apart at rest and 25 mm at the stop. Its
// long loop leaves 1 mm of play, so at rest it still holds nothing beyond what
// its coils were wound with.
func ExampleSpring() {
	s := springs.Spring{Rate: 900, FreeLength: 0.019, InitialTension: 1.5, Slack: 0.001}
	for _, mm := range []float64{19.5, 21, 23, 25} {
		fmt.Printf("%4.1f mm: %.2f N\n", mm, s.Tension(mm/1000))
	}
	// Output:
	// 19.5 mm: 0.00 N
	// 21.0 mm: 2.40 N
	// 23.0 mm: 4.20 N
	// 25.0 mm: 6.00 N
}

// Four weights hung on a spring, its length read with a caliper. The free length
// says where the coils close, and so how much was wound in.
func ExampleMeasure() {
	var readings []springs.Reading
	for _, r := range []struct{ mm, newton float64 }{{20.4, 2.94}, {21.4, 3.92}, {22.5, 4.90}, {24.6, 6.86}} {
		readings = append(readings, springs.Reading{
			Length: r.mm / 1000, SigmaLength: 0.05e-3,
			Load: r.newton, SigmaLoad: 0.01,
		})
	}
	m, err := springs.Measure(readings, 0.0191, 0.05e-3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("rate %.2f N/mm, initial tension %.1f N; p-value %.1f\n", m.Spring.Rate/1000, m.Spring.InitialTension, m.PValue)
	// Output:
	// rate 0.93 N/mm, initial tension 1.8 N; p-value 0.7
}

// A spring loaded from nothing: two loads its coils do not feel yet, then four
// that open them. No free length need be measured.
func ExampleMeasurePiecewise() {
	var readings []springs.Reading
	for _, r := range []struct{ mm, newton float64 }{
		{19.10, 0.49}, {19.12, 1.47}, {20.35, 2.94}, {21.42, 3.92}, {22.48, 4.90}, {24.61, 6.86},
	} {
		readings = append(readings, springs.Reading{
			Length: r.mm / 1000, SigmaLength: 0.02e-3,
			Load: r.newton, SigmaLoad: 0.01,
		})
	}
	m, err := springs.MeasurePiecewise(readings)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := m.Spring
	fmt.Printf("rate %.3f N/mm, free length %.2f mm, initial tension %.2f N\n", s.Rate/1e3, s.FreeLength*1e3, s.InitialTension)
	// Output:
	// rate 0.921 N/mm, free length 19.11 mm, initial tension 1.80 N
}
