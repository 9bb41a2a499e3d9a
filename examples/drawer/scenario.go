package main

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// engine is what one engine wants and tolerates at full load.
type engine struct {
	name       string
	mbt, knock []float64 // crank degrees at speeds
	idle       float64   // rpm crank
}

var speeds = []float64{800, 1200, 1600, 2000, 2500, 3000, 3600, 4300, 5000} // rpm crank

// engines are three of our own. The plain one is short of octane in the middle;
// the long cam dilutes and slows the burn at low speed, and has less to fear
// there; the compact chamber burns fast and wants little.
func engines() []engine {
	return []engine{
		{"plain engine", []float64{14, 20, 25, 29, 32, 34, 35, 36, 36}, []float64{18, 22, 25, 28, 31, 34, 37, 40, 42}, 700},
		{"long cam", []float64{22, 27, 31, 34, 36, 37, 38, 38, 38}, []float64{28, 31, 33, 35, 37, 39, 41, 43, 45}, 900},
		{"compact chamber", []float64{8, 12, 16, 19, 22, 24, 26, 27, 28}, []float64{12, 16, 19, 22, 24, 27, 30, 33, 35}, 700},
	}
}

// points puts degrees to the speeds.
func points(degrees []float64) (advance.Curve, error) {
	var all []advance.Point
	for i, d := range degrees {
		all = append(all, advance.Point{RPM: speeds[i], Degrees: d})
	}
	return advance.NewCurve(all)
}

// problem is the distributor and the drawer, the same for every engine.
func problem(e engine) (*recipes.Problem, error) {
	mbt, err := points(e.mbt)
	if err != nil {
		return nil, err
	}
	knock, err := points(e.knock)
	if err != nil {
		return nil, err
	}
	p := &recipes.Problem{
		Mechanism: flyweights.Mechanism{
			Linkage: flyweights.Ratio{K: 0.6}, Stop: 0.45, Drag: 2e-3, Friction: flyweights.Friction{Moment: 3e-4, Proportion: 0.01},
		},
		Drive:     advance.FourStroke,
		Positions: []recipes.Position{position("left", 0), position("right", 1)},
		Drawer:    drawer(),
		Slot:      flyweights.Slot{Length: 11.6e-3, Pin: 5.5e-3, Radius: 26.5e-3},
		Travel:    recipes.Span{Low: 10, High: 28, Step: 1},
		Static:    recipes.Span{Low: 2, High: 24, Step: 0.5},
		Idle:      e.idle,
		Present:   &recipes.Choice{Springs: []int{9, 9}, Posts: []int{0, 0}, Weights: 1},
		Target:    recipes.Target{MBT: mbt, Band: oldCurve()},
		Limits: recipes.Limits{
			Knock: knock, KnockMargin: 2, StartMargin: 80, ReturnMargin: 40,
			AllIn: recipes.Window{Low: 1600, High: 4000},
		},
	}
	return p, nil
}

// oldCurve is the band that the distributor's data sheet gives.
func oldCurve() []recipes.BandPoint {
	return []recipes.BandPoint{{RPM: 1000, Low: 6, High: 10}, {RPM: 2000, Low: 17, High: 21}, {RPM: 3000, Low: 25, High: 29}, {RPM: 4000, Low: 28, High: 32}}
}

// position holds a spring between a pin on weight i and a post on the plate, the
// second one opposite the first. The post may be bent out by 1 mm.
func position(name string, i int) recipes.Position {
	side := 1.0
	if i == 1 {
		side = -1
	}
	post := func(name string, x float64) recipes.Post {
		return recipes.Post{
			Name: name,
			A:    flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Scale(side, r2.Vec{X: 0.008, Y: 0.015})},
			B:    flyweights.Anchor{Point: r2.Scale(side, r2.Vec{X: x, Y: 0.006})},
		}
	}
	return recipes.Position{Name: name, Posts: []recipes.Post{post("straight", -0.010), post("bent out", -0.011)}}
}

// drawer holds fourteen kinds of springs, two of each, and four sets of weights.
// Every third spring has a long loop.
func drawer() recipes.Drawer {
	var d recipes.Drawer
	for i := range 14 {
		s := springs.Spring{Rate: 350 + 190*float64(i), FreeLength: 0.0168 + 0.0006*float64(i%4), InitialTension: 0.15 * float64(i%3)}
		name := fmt.Sprintf("coil %d", i+1)
		if i%3 == 2 {
			s.Slack = 0.0032 + 0.0002*float64(i%5)
			name = fmt.Sprintf("loop %d", i+1)
		}
		d.Springs = append(d.Springs, recipes.SpringPart{Name: name, Spring: s, Count: 2, RateSigma: 0.025, TensionSigma: 0.03, LengthSigma: 5e-5})
	}
	for i := range 4 {
		mass := 0.017 + 0.004*float64(i)
		w := flyweights.Weight{Mass: mass, Pivot: r2.Vec{X: 0.020}, Centre: r2.Vec{X: 0.014, Y: 0.013}, Inertia: mass * 6e-5, Clockwise: true}
		o := w
		o.Pivot, o.Centre = r2.Scale(-1, w.Pivot), r2.Scale(-1, w.Centre)
		d.Weights = append(d.Weights, recipes.WeightPart{Name: fmt.Sprintf("%.0f g", mass*1e3), Weights: []flyweights.Weight{w, o}, MassSigma: 0.005})
	}
	return d
}
