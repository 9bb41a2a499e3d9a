package flyweights_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// A light spring sets where the advance starts, a heavy one with a long loop
// makes the curve flatter further up.
func ExampleMechanism_Curve() {
	// Two equal weights half a turn apart, a pin on each in a radial slot of the cam, and a
	// light and a heavy spring from posts on the plate. Dimensions in m at rest.
	weight := flyweights.Weight{
		Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6,
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	pair := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{
				Law: springs.Spring{Rate: 1800, FreeLength: 0.0185},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: post},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook},
			},
			{ // heavier, with initial tension and a long loop: it comes in later
				Law: springs.Spring{Rate: 4000, FreeLength: 0.0190, InitialTension: 2, Slack: 0.0015},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)},
			},
		},
		Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
		Stop:    0.1,
	}
	curve, err := pair.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	const rpm = 2 * math.Pi / 60 // rad/s
	for _, n := range []float64{300, 600, 900, 1200, 1500} {
		fmt.Printf("%4.0f rpm dist: %4.1f deg dist\n", n, curve.Theta(n*rpm, flyweights.Rising)*180/math.Pi)
	}
	// Output:
	// 300 rpm dist:  0.0 deg dist
	//  600 rpm dist:  4.2 deg dist
	//  900 rpm dist:  6.0 deg dist
	// 1200 rpm dist:  9.5 deg dist
	// 1500 rpm dist: 10.8 deg dist
}

// The events name what the curve does and why.
func ExampleCurve_Events() {
	// Two equal weights half a turn apart, a pin on each in a radial slot of the cam, and a
	// light and a heavy spring from posts on the plate. Dimensions in m at rest.
	weight := flyweights.Weight{
		Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6,
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	pair := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{
				Law: springs.Spring{Rate: 1800, FreeLength: 0.0185},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: post},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook},
			},
			{ // heavier, with initial tension and a long loop: it comes in later
				Law: springs.Spring{Rate: 4000, FreeLength: 0.0190, InitialTension: 2, Slack: 0.0015},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)},
			},
		},
		Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
		Stop:    0.1,
	}
	curve, err := pair.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range curve.Events(flyweights.Rising) {
		fmt.Printf("%-5s %4.0f to %4.0f rpm dist, %4.1f deg: %s\n", e.Kind,
			e.Omega*30/math.Pi, e.ToOmega*30/math.Pi, e.Theta*180/math.Pi, e.Cause)
	}
	// Output:
	// start  386 to  386 rpm dist,  0.0 deg: the weights overcome the moment that holds them at rest
	// hold   635 to  792 rpm dist,  5.0 deg: spring 2 is taken up
	// stop  1302 to 1302 rpm dist, 10.8 deg: the pin meets the end of its slot
}

// How much of a slot to close so that 15 degrees of travel at the distributor
// are left.
func ExampleSlot_Closing() {
	slot := flyweights.Slot{Length: 0.0125, Pin: 0.0060, Radius: 0.0170}
	travel, err := slot.Travel()
	if err != nil {
		fmt.Println(err)
		return
	}
	closing, err := slot.Closing(15 * math.Pi / 180)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("travel now %.1f deg dist; close %.2f mm\n", travel*180/math.Pi, closing*1e3)
	// Output:
	// travel now 21.9 deg dist; close 2.05 mm
}

// A scale and a degree wheel are enough for a first curve.
func ExampleLumped_Curve() {
	curve, err := flyweights.Lumped{
		WeightMass: 0.060, PivotRadius: 0.025, CentreDistance: 0.0233, CentreAngle: 2.3,
		SpringMomentRest: 0.05, SpringMomentStop: 0.30, Travel: 0.2, Ratio: 2,
	}.Curve(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("starts at %.0f rpm dist, all in at %.0f rpm dist\n",
		curve.Start(flyweights.Rising)*30/math.Pi, curve.AllIn(flyweights.Rising)*30/math.Pi)
	// Output:
	// starts at 418 rpm dist, all in at 984 rpm dist
}

// A linkage measured with two degree wheels: swings of a weight and turns of the
// cam, joined without overshoot. It says how far a slot lets the weights swing.
func ExampleNewTabulated() {
	const deg = math.Pi / 180
	linkage, err := linkages.NewTabulated(
		[]float64{0, 2 * deg, 4 * deg, 6 * deg, 8 * deg},
		[]float64{0, 3.1 * deg, 6.4 * deg, 9.9 * deg, 13.8 * deg},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	swing, err := flyweights.Swing(linkage, 11*deg)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("11 deg of the cam take %.1f deg of the weights\n", swing/deg)
	// Output:
	// 11 deg of the cam take 6.6 deg of the weights
}

// A mechanism that cannot work is refused in words.
func ExampleMechanism_Check() {
	// Two equal weights half a turn apart, a pin on each in a radial slot of the cam, and a
	// light and a heavy spring from posts on the plate. Dimensions in m at rest.
	weight := flyweights.Weight{
		Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6,
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	m := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{
				Law: springs.Spring{Rate: 1800, FreeLength: 0.0185},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: post},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook},
			},
			{ // heavier, with initial tension and a long loop: it comes in later
				Law: springs.Spring{Rate: 4000, FreeLength: 0.0190, InitialTension: 2, Slack: 0.0015},
				A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)},
				B:   flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)},
			},
		},
		Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
		Stop:    0.1,
	}
	m.Weights[0].Centre = r2.Vec{X: 0.060} // outside its pivot: it can only swing in
	m.Weights[1].Centre = r2.Vec{X: -0.060}
	fmt.Println(m.Check())
	// Output:
	// flyweights: value out of range: moment of the weights at a swing of 0 rad is 0 kg m^2, valid is more than 0: the centre of mass must move outwards
}
