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

// The rate of nine coils of 0.8 mm music wire on a 6 mm mean diameter.
func ExampleWire_Rate() {
	w := springs.Wire{Diameter: 0.8e-3, MeanDiameter: 6e-3, ActiveCoils: 9, ShearModulus: 81.7e9}
	k, err := w.Rate()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f N/mm\n", k/1000)
	// Output:
	// 2.15 N/mm
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
	fmt.Printf("rate %.2f N/mm, initial tension %.1f N, chance %.1f\n", m.Spring.Rate/1000, m.Spring.InitialTension, m.Chance)
	// Output:
	// rate 0.93 N/mm, initial tension 1.8 N, chance 0.7
}

// A spring that is to pull 3.2 N at rest and rise by 1.2 N for each mm: what to
// wind, with at most 8 mm of room across.
func ExampleDesign() {
	choices, err := springs.Design(
		springs.Wanted{Rate: 1200, Tension: 3.2, Length: 0.021, Longest: 0.0255},
		springs.Stock{Material: springs.MusicWire(), Wires: springs.MusicWireSizes(), OutsideMost: 0.008},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	c := choices[0]
	fmt.Printf("%.2f mm wire, %.2f mm mean, %.2f turns, %.2f N wound in, reserve %.2f\n",
		c.Part.Diameter*1e3, c.Part.MeanDiameter*1e3, c.Part.BodyCoils, c.Part.InitialTension, c.Reserve)
	// Output:
	// 0.76 mm wire, 6.08 mm mean, 12.50 turns, 3.11 N wound in, reserve 1.80
}

// What a part survives, and what a turn less would do to it.
func ExamplePart() {
	loop := springs.FullLoop(0.8e-3, 6e-3)
	p := springs.Part{
		Material: springs.MusicWire(), Diameter: 0.8e-3, MeanDiameter: 6e-3, BodyCoils: 9,
		InitialTension: 4, Loops: [2]springs.Loop{loop, loop},
	}
	shorter, err := p.CutCoils(1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range []springs.Part{p, shorter} {
		s, err := p.Spring(293.15)
		if err != nil {
			fmt.Println(err)
			return
		}
		longest, err := p.Longest()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f turns: %.2f N/mm from %.1f mm, takes set at %.1f mm\n", p.BodyCoils, s.Rate/1e3, s.FreeLength*1e3, longest*1e3)
	}
	// Output:
	// 9 turns: 2.08 N/mm from 18.4 mm, takes set at 28.5 mm
	// 8 turns: 2.33 N/mm from 17.6 mm, takes set at 26.6 mm
}

// A spring loaded from nothing: two loads its coils do not feel yet, then four
// that open them. No free length need be measured.
func ExampleMeasureWhole() {
	var readings []springs.Reading
	for _, r := range []struct{ mm, newton float64 }{
		{19.10, 0.49}, {19.12, 1.47}, {20.35, 2.94}, {21.42, 3.92}, {22.48, 4.90}, {24.61, 6.86},
	} {
		readings = append(readings, springs.Reading{
			Length: r.mm / 1000, SigmaLength: 0.02e-3,
			Load: r.newton, SigmaLoad: 0.01,
		})
	}
	m, err := springs.MeasureWhole(readings)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := m.Spring
	fmt.Printf("rate %.3f N/mm, free length %.2f mm, initial tension %.2f N\n", s.Rate/1e3, s.FreeLength*1e3, s.InitialTension)
	// Output:
	// rate 0.921 N/mm, free length 19.11 mm, initial tension 1.80 N
}
