package bodies_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/bodies"
)

// mm returns a point given in millimetres.
func mm(x, y float64) r2.Vec { return r2.Vec{X: x / 1000, Y: y / 1000} }

// A weight of 6 mm steel: a bar with a rounded end and a pivot hole.
func ExamplePlate() {
	outline := bodies.Outline{
		bodies.Line(mm(-5, -6)),
		bodies.Line(mm(20, -6)),
		{To: mm(20, 6), Sweep: math.Pi},
		bodies.Line(mm(-5, 6)),
	}
	b, err := bodies.Plate(outline, 0.006, 7850, bodies.Circle(mm(0, 0), 0.0025))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("mass %.2f g, centre %.2f mm, inertia %.3f g cm^2\n", b.Mass*1e3, b.Centre.X*1e3, b.Inertia*1e7)
	// Output:
	// mass 15.87 g, centre 10.46 mm, inertia 13.450 g cm^2
}

// One weight of a pair pulls 4 % harder than the other: where its tip is 5 mm
// thick, which drill takes the surplus away?
func ExampleSwing_DrillDiameter() {
	s := bodies.Swing{Pivot: mm(22, 0)}
	heavy := bodies.Body{Mass: 0.0187, Centre: mm(11, -12)}
	moment, err := s.Moment(heavy, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	hole, err := s.DrillDiameter(bodies.Change{Body: heavy, Moment: moment / 1.04, At: mm(6, -19)}, 0.005, 7850)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm\n", hole*1e3)
	// Output:
	// 3.8 mm
}

// How much of a weight's swing its washer holds back: a face from 2.5 to 6 mm
// radius, dry, pressed with 1.5 N.
func ExampleBearing_Moment() {
	b := bodies.Bearing{Inner: 0.0025, Outer: 0.006}
	m, err := b.Moment(0.15, 1.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f N mm\n", m*1e3)
	// Output:
	// 1.01 N mm
}

// A balance says that the other way: how much metal, and where, makes a light
// weight pull 2 % harder.
func ExampleSwing_Mass() {
	s := bodies.Swing{Pivot: mm(22, 0)}
	light := bodies.Body{Mass: 0.0180, Centre: mm(11, -12)}
	moment, err := s.Moment(light, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	mass, err := s.Mass(bodies.Change{Body: light, Moment: moment * 1.02, At: mm(6, -19)})
	fmt.Printf("%.2f g %v\n", mass*1e3, err)
	// Output:
	// 0.23 g <nil>
}
