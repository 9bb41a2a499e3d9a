package bodies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Edge is one edge of an [Outline]: from where the edge before it ended to To.
type Edge struct {
	To    r2.Vec  // m
	Sweep float64 // rad turned along the edge, counter-clockwise positive, within a full turn; 0 is a straight line
}

// Outline is a closed run of edges; the first starts where the last ends. It may
// run either way round. It must not cross itself: [Outline.Section] counts area
// enclosed twice twice, [Plate] looks
// for crossings. The zero value encloses nothing and is refused.
type Outline []Edge

// Line returns the straight edge to a point.
func Line(to r2.Vec) Edge { return Edge{To: to} }

// Polygon returns the outline with straight edges through the points in order.
func Polygon(points ...r2.Vec) Outline {
	o := make(Outline, len(points))
	for i, p := range points {
		o[i] = Line(p)
	}
	return o
}

// Circle returns the outline of a circle of a radius in m about its centre.
func Circle(centre r2.Vec, radius float64) Outline {
	side := r2.Vec{X: radius}
	return Outline{
		{To: r2.Add(centre, side), Sweep: math.Pi},
		{To: r2.Sub(centre, side), Sweep: math.Pi},
	}
}

// RingPart returns the outline of the part of a ring between two radii in m and
// the directions from and to (rad, counter-clockwise from the x axis, to after from by
// less than a turn). An inner radius of 0 gives the sector of a circle.
func RingPart(centre r2.Vec, inner, outer, from, to float64) Outline {
	arc := Outline{
		Line(polar(centre, outer, from)),
		{To: polar(centre, outer, to), Sweep: to - from},
	}
	if inner == 0 {
		return append(Outline{Line(centre)}, arc...)
	}
	return append(arc, Line(polar(centre, inner, to)), Edge{To: polar(centre, inner, from), Sweep: from - to})
}

func polar(centre r2.Vec, radius, angle float64) r2.Vec {
	s, c := math.Sincos(angle)
	return r2.Add(centre, r2.Vec{X: radius * c, Y: radius * s})
}

// check refuses an outline without edges, a point that is not within 1000 m of
// the axis, a sweep that is not less than a full turn, and an arc that closes on
// its own start, or so nearly that rounding of its ends decides its radius.
func (o Outline) check() error {
	if len(o) < 2 {
		return outOfRange("outline", float64(len(o)), "edges", "2 edges or more, one of them an arc, or 3")
	}
	from := o[len(o)-1].To
	for i, e := range o {
		if err := checkPoint("end of the edge", e.To); err != nil {
			return fmt.Errorf("outline edge %d: %w", i+1, err)
		}
		if !(math.Abs(e.Sweep) < 2*math.Pi) {
			return outOfRange(fmt.Sprintf("sweep of outline edge %d", i+1), e.Sweep, "rad", "less than a full turn either way")
		}
		if e.Sweep != 0 && e.To == from {
			return outOfRange(fmt.Sprintf("length of outline edge %d", i+1), 0, "m", "an arc between two different points")
		}
		// The radius is chord/(2 sin(sweep/2)), and the chord's ends are rounded.
		if e.Sweep != 0 && !(2*math.Abs(math.Sin(e.Sweep/2)) >= 0x1p-52*1e6 || math.Abs(e.Sweep) < 1) {
			return outOfRange(fmt.Sprintf("sweep of outline edge %d", i+1), e.Sweep, "rad", "less than a full turn by 1e-9 rad or more: give a circle as two arcs")
		}
		from = e.To
	}
	return nil
}
