package live

import (
	"math"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
)

// Shape is where the parts of a mechanism stand at rest, for a drawing that moves:
// mm in the frame of the plate, angles in rad at the distributor, counter-clockwise.
type Shape struct {
	Weights []WeightShape `json:"weights"`
	Places  []PlaceShape  `json:"places"`
	// Cam is how far the cam turns at a swing of the weights, [swing, cam], from rest on.
	Cam       [][2]float64 `json:"cam"`
	Clockwise bool         `json:"cam_clockwise"` // the cam turns so as the weights open
	Slot      SlotShape    `json:"slot"`
	Stop      float64      `json:"stop_swing"`         // swing at the stop as the job has it
	PerDegree float64      `json:"dist_rad_per_crank"` // shaft angle of one crank degree
}

// WeightShape is one weight.
type WeightShape struct {
	Pivot  [2]float64 `json:"pivot"`
	Centre [2]float64 `json:"centre"`
}

// PlaceShape is a pair of posts.
type PlaceShape struct {
	Name string    `json:"name"`
	A    PostShape `json:"a"`
	B    PostShape `json:"b"`
}

// PostShape is a post at rest and what carries it: "plate", "cam" or the number of a
// weight, from 1.
type PostShape struct {
	On     string     `json:"on"`
	Weight int        `json:"weight,omitempty"`
	At     [2]float64 `json:"at"`
}

// SlotShape is the slot as it was measured.
type SlotShape struct {
	Length float64 `json:"length"`
	Pin    float64 `json:"pin"`
	Radius float64 `json:"radius"`
}

// camSteps is in how many pieces the turn of the cam is told, mostSwing how far, rad.
const (
	camSteps  = 60
	mostSwing = 1.2
)

// ShapeOf is the shape of a job's mechanism; nil where the job does not describe it.
func ShapeOf(j *job.Job) *Shape {
	m := j.Mechanism
	if len(m.Weights) == 0 || len(j.Places) == 0 || m.Linkage == nil || !(m.Stop > 0) {
		return nil
	}
	s := &Shape{
		Clockwise: m.CamClockwise, Stop: m.Stop, PerDegree: j.Drive.ShaftRadians(1),
		Slot: SlotShape{Length: j.Slot.Length * 1e3, Pin: j.Slot.Pin * 1e3, Radius: j.Slot.Radius * 1e3},
	}
	for _, w := range m.Weights {
		s.Weights = append(s.Weights, WeightShape{Pivot: [2]float64{w.Pivot.X * 1e3, w.Pivot.Y * 1e3}, Centre: [2]float64{w.Centre.X * 1e3, w.Centre.Y * 1e3}})
	}
	post := func(a flyweights.Anchor) PostShape {
		p := PostShape{On: "plate", At: [2]float64{a.Point.X * 1e3, a.Point.Y * 1e3}}
		if a.Body == flyweights.Cam {
			p.On = "cam"
		}
		for i := range m.Weights {
			if a.Body == flyweights.OnWeight(i) {
				p.On, p.Weight = "weight", i+1
			}
		}
		return p
	}
	for _, p := range j.Places {
		s.Places = append(s.Places, PlaceShape{Name: p.Name, A: post(p.Posts[0].A), B: post(p.Posts[0].B)})
	}
	last := math.Inf(-1)
	for i := range camSteps + 1 {
		swing := mostSwing * float64(i) / camSteps
		turn, _, _ := m.Linkage.Cam(swing)
		if !(turn > last) { // a table or a pin ends somewhere
			break
		}
		s.Cam = append(s.Cam, [2]float64{swing, turn})
		last = turn
	}
	return s
}
