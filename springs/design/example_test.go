package design_test

import (
	"fmt"

	"example.org/bobweight/springs/design"
)

// The rate of nine coils of 0.8 mm music wire on a 6 mm mean diameter.
func ExampleWire_Rate() {
	w := design.Wire{Diameter: 0.8e-3, MeanDiameter: 6e-3, ActiveCoils: 9, ShearModulus: 81.7e9}
	k, err := w.Rate()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f N/mm\n", k/1000)
	// Output:
	// 2.15 N/mm
}

// A spring that is to pull 3.2 N at rest and rise by 1.2 N for each mm: what to
// wind, with at most 8 mm of room across.
func ExampleSprings() {
	choices, err := design.Springs(
		design.Wanted{Rate: 1200, Tension: 3.2, Length: 0.021, Longest: 0.0255},
		design.Stock{Material: design.MusicWire(), Wires: design.MusicWireSizes(), OutsideMost: 0.008},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	c := choices[0]
	fmt.Printf("%.2f mm wire, %.2f mm mean, %.2f turns, %.2f N wound in, factor of safety %.2f\n",
		c.Part.Diameter*1e3, c.Part.MeanDiameter*1e3, c.Part.BodyCoils, c.Part.InitialTension, c.Safety)
	// Output:
	// 0.76 mm wire, 6.08 mm mean, 12.50 turns, 3.11 N wound in, factor of safety 1.80
}

// What a part survives, and what a turn less would do to it.
func ExamplePart() {
	loop := design.FullLoop(0.8e-3, 6e-3)
	p := design.Part{
		Material: design.MusicWire(), Diameter: 0.8e-3, MeanDiameter: 6e-3, BodyCoils: 9,
		InitialTension: 4, Loops: [2]design.Loop{loop, loop},
	}
	shorter := p
	shorter.BodyCoils--
	for _, p := range []design.Part{p, shorter} {
		s, err := p.Spring(293.15)
		if err != nil {
			fmt.Println(err)
			return
		}
		const stretched = 0.0255 // m inside the loops
		safety, err := p.Static(s.Tension(stretched))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f turns: %.2f N/mm from %.1f mm; at %.1f mm factors of safety %.2f in the coils, %.2f in the hook\n",
			p.BodyCoils, s.Rate/1e3, s.FreeLength*1e3, stretched*1e3, safety.Body, safety.HookBending)
	}
	// Output:
	// 9 turns: 2.08 N/mm from 18.4 mm; at 25.5 mm factors of safety 1.55 in the coils, 1.34 in the hook
	// 8 turns: 2.33 N/mm from 17.6 mm; at 25.5 mm factors of safety 1.30 in the coils, 1.12 in the hook
}
