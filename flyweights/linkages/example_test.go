package linkages_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/linkages"
)

// The path of a weight's pin in a curved slot of the cam plate, measured with a
// calliper and a degree wheel: how far the cam turns.
func ExampleNewProfiled() {
	const deg = math.Pi / 180
	pivot, pin := r2.Vec{X: 0.025}, r2.Vec{X: -0.004, Y: -0.008}
	rest := r2.Norm(pin)
	l, err := linkages.NewProfiled(pivot, pin, false,
		[]float64{rest, rest + 0.0008, rest + 0.0016, rest + 0.0025}, []float64{0, 1.5 * deg, 2.6 * deg, 3.4 * deg})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, most := l.Travel()
	turn, _, _ := l.Cam(most)
	fmt.Printf("swing of %.1f deg to the last point, the cam turns %.1f deg\n", most/deg, turn/deg)
	// Output:
	// swing of 6.1 deg to the last point, the cam turns 8.1 deg
}

// A link from the weight to the cam plate: the ratio changes with the swing.
func ExampleFourBar() {
	const deg = math.Pi / 180
	l := linkages.FourBar{Pivot: r2.Vec{X: 0.025}, Joint: r2.Vec{X: 0.002, Y: -0.014}, CamJoint: r2.Vec{X: -0.006, Y: -0.009}}
	if err := l.Fits(l.Pivot, r2.Vec{}, l.Clockwise, l.TurnsClockwise()); err != nil {
		fmt.Println(err)
		return
	}
	for _, swing := range []float64{0, 4, 8} {
		theta, ratio, _ := l.Cam(swing * deg)
		fmt.Printf("swing %.0f deg: cam %4.1f deg, ratio %.2f\n", swing, theta/deg, ratio)
	}
	// Output:
	// swing 0 deg: cam  0.0 deg, ratio 2.23
	// swing 4 deg: cam  9.3 deg, ratio 2.44
	// swing 8 deg: cam 19.8 deg, ratio 2.86
}
