// Package reference reads the curves and motions that flyweights/testdata's
// reference.py made with SciPy, for the tests of flyweights and its motion.
package reference

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// Curve is a mechanism with its advance in rad at speeds in rad/s.
type Curve struct {
	Name                    string
	Mechanism               *flyweights.Mechanism
	Speeds, Rising, Falling []float64
}

// Motion is a run behind a speed that approaches To from From with a time
// constant: swings in rad at times in s.
type Motion struct {
	Mechanism                string
	CamInertia, Damping, Phi float64
	From, To, Time           float64
	Times, Swing             []float64
}

type vec [2]float64

func (v vec) r2() r2.Vec { return r2.Vec{X: v[0], Y: v[1]} }

type weight struct {
	Mass, Inertia        float64
	Pivot, Centre, Slide vec
	Clockwise            bool
}

type spring struct {
	Rate, FreeLength, InitialTension, Slack float64
	A, B                                    vec
	BodyA, BodyB                            string
}

type linkage struct {
	Kind                    string
	K                       float64
	Pivot, Point, CamJoint  vec
	Clockwise               bool
	Offset, Slope, Bend     float64
	Rest, Reach, Crank, Rod float64
	Centres, Radius, Growth float64
	Phi, Theta              []float64
}

type mechanism struct {
	Name                                           string
	Weights                                        []weight
	Springs                                        []spring
	Linkage                                        linkage
	Stop, Drag, FrictionMoment, FrictionProportion float64
	CamClockwise                                   bool
	Speeds, Rising, Falling                        []float64
}

// Load reads the file. Its mechanisms are built but not checked.
func Load(path string) ([]Curve, []Motion, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	var file struct {
		Mechanisms []mechanism
		Motions    []Motion
	}
	if err := json.Unmarshal(text, &file); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	var curves []Curve
	for _, m := range file.Mechanisms {
		built, err := m.build()
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %s: %w", path, m.Name, err)
		}
		curves = append(curves, Curve{m.Name, built, m.Speeds, m.Rising, m.Falling})
	}
	return curves, file.Motions, nil
}

func (m mechanism) build() (*flyweights.Mechanism, error) {
	link, err := m.Linkage.build()
	if err != nil {
		return nil, err
	}
	out := &flyweights.Mechanism{
		Linkage: link, CamClockwise: m.CamClockwise, Stop: m.Stop, Drag: m.Drag,
		Friction: flyweights.Friction{Moment: m.FrictionMoment, Proportion: m.FrictionProportion},
	}
	for _, w := range m.Weights {
		out.Weights = append(out.Weights, flyweights.Weight{
			Mass: w.Mass, Pivot: w.Pivot.r2(), Centre: w.Centre.r2(), Inertia: w.Inertia, Clockwise: w.Clockwise, Slide: w.Slide.r2(),
		})
	}
	for _, s := range m.Springs {
		a, err := body(s.BodyA)
		if err != nil {
			return nil, err
		}
		b, err := body(s.BodyB)
		if err != nil {
			return nil, err
		}
		out.Springs = append(out.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: s.Rate, FreeLength: s.FreeLength, InitialTension: s.InitialTension, Slack: s.Slack},
			A:   flyweights.Anchor{Body: a, Point: s.A.r2()}, B: flyweights.Anchor{Body: b, Point: s.B.r2()},
		})
	}
	return out, nil
}

func body(name string) (flyweights.Body, error) {
	switch name {
	case "plate":
		return flyweights.Plate, nil
	case "cam":
		return flyweights.Cam, nil
	}
	i, err := strconv.Atoi(name)
	return flyweights.OnWeight(i), err
}

func (l linkage) build() (flyweights.Linkage, error) {
	pivot, point := l.Pivot.r2(), l.Point.r2()
	switch l.Kind {
	case "ratio":
		return flyweights.Ratio{K: l.K}, nil
	case "slot":
		return flyweights.PinInSlot{Pivot: pivot, Pin: point, Clockwise: l.Clockwise, Offset: l.Offset}, nil
	case "four-bar":
		return linkages.FourBar{Pivot: pivot, Joint: point, CamJoint: l.CamJoint.r2(), Clockwise: l.Clockwise}, nil
	case "radial":
		return linkages.SliderCrank{Rest: l.Rest, Slide: l.Reach, Crank: l.Crank, Rod: l.Rod}, nil
	case "rolling":
		return linkages.RollingCams{Centres: l.Centres, Radius: l.Radius, Growth: l.Growth}, nil
	case "follower":
		return flank.Follower{Pivot: pivot, Roller: point, Clockwise: l.Clockwise, Slope: l.Slope, Bend: l.Bend}, nil
	case "tabulated":
		return linkages.NewTabulated(l.Phi, l.Theta)
	}
	return nil, fmt.Errorf("unknown linkage %q", l.Kind)
}
