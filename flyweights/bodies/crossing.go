package bodies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// chordTurn is how far an arc turns along one of the chords that stand for it in
// the search for crossings, rad: the chord stays within 0.05 % of the radius.
const chordTurn = math.Pi / 48

// chords returns the points of an outline with its arcs broken into chords.
func (o Outline) chords() []r2.Vec {
	var points []r2.Vec
	from := o[len(o)-1].To
	for _, e := range o {
		n := int(math.Ceil(math.Abs(e.Sweep) / chordTurn))
		for i := 1; i < n; i++ {
			points = append(points, arcPoint(from, e, float64(i)/float64(n)))
		}
		points = append(points, e.To)
		from = e.To
	}
	return points
}

// arcPoint returns the point a fraction f along an arc: the chord from its start
// is as long as the inscribed angle says, and leans by the rest of it.
func arcPoint(from r2.Vec, e Edge, f float64) r2.Vec {
	h := e.Sweep / 2
	chord := r2.Scale(math.Sin(f*h)/math.Sin(h), r2.Sub(e.To, from))
	return r2.Add(from, r2.Rotate(chord, h*(f-1), r2.Vec{}))
}

// checkSimple refuses an outline that crosses itself.
func checkSimple(points []r2.Vec) error {
	n := len(points)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if at, ok := crossing(points[i], points[(i+1)%n], points[j], points[(j+1)%n]); ok {
				return crossed("the outline itself", at)
			}
		}
	}
	return nil
}

// checkApart refuses two closed runs of chords that cross.
func checkApart(name string, a, b []r2.Vec) error {
	for i := range a {
		for j := range b {
			if at, ok := crossing(a[i], a[(i+1)%len(a)], b[j], b[(j+1)%len(b)]); ok {
				return crossed(name, at)
			}
		}
	}
	return nil
}

func crossed(name string, at r2.Vec) error {
	return fmt.Errorf("%w: edges cross %s at %.6g, %.6g m, valid is an outline with holes inside and apart", errRange, name, at.X, at.Y)
}

// crossing reports where the straight lines p to q and r to s cross inside both.
// Touching ends do not cross.
func crossing(p, q, r, s r2.Vec) (r2.Vec, bool) {
	pq, rs := r2.Sub(q, p), r2.Sub(s, r)
	a, b := r2.Cross(pq, r2.Sub(r, p)), r2.Cross(pq, r2.Sub(s, p))
	c, d := r2.Cross(rs, r2.Sub(p, r)), r2.Cross(rs, r2.Sub(q, r))
	if !(a*b < 0 && c*d < 0) {
		return r2.Vec{}, false
	}
	return r2.Add(p, r2.Scale(c/(c-d), pq)), true
}

// inside reports whether a point lies inside a closed run of chords: a ray from
// it to the right crosses an odd number of them.
func inside(p r2.Vec, points []r2.Vec) bool {
	in := false
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// checkHoles refuses an outline or a hole that crosses itself, and holes that
// cross the outline or each other, or do not lie inside it.
func checkHoles(outline Outline, holes []Outline) error {
	edge := outline.chords()
	if err := checkSimple(edge); err != nil {
		return err
	}
	var before [][]r2.Vec
	for i, h := range holes {
		points := h.chords()
		err := checkSimple(points)
		if err == nil {
			err = checkApart("the outline", points, edge)
		}
		if err == nil && !inside(points[0], edge) {
			err = fmt.Errorf("%w: hole at %.6g, %.6g m, valid is inside the outline", errRange, points[0].X, points[0].Y)
		}
		for j := 0; j < i && err == nil; j++ {
			err = checkApart(fmt.Sprintf("hole %d", j+1), points, before[j])
			if err == nil && (inside(points[0], before[j]) || inside(before[j][0], points)) {
				err = fmt.Errorf("%w: hole lies in hole %d or around it, valid is apart", errRange, j+1)
			}
		}
		if err != nil {
			return fmt.Errorf("hole %d: %w", i+1, err)
		}
		before = append(before, points)
	}
	return nil
}
