package job

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
)

// Distances that a calliper takes are enough: three of them make a triangle, and
// which way round it lies follows from how the mechanism works. Nothing of the
// physics depends on where round its pivot a post of the plate stands.

// triangle returns the cosine of the angle between sides a and b of a triangle
// whose third side is c (law of cosines), and whether there is such a triangle.
func triangle(a, b, c float64) (cos float64, ok bool) {
	cos = (a*a + b*b - c*c) / (2 * a * b)
	return cos, cos > -1 && cos < 1
}

// thirdSide is the range of the third side of a triangle in words.
func thirdSide(a, b float64) string {
	return fmt.Sprintf("more than %s and less than %s", quantity.Length(math.Abs(a-b)), quantity.Length(a+b))
}

// without refuses a distance that stands beside points: one of the two would go
// unread.
func (r *validator) without(path, partner string) {
	if r.given(path) {
		r.fail(path, "goes with %s, which is not given; give points or distances, and not both", partner)
	}
}

// centre returns where a weight's centre of mass lies at rest: given, or from its
// distances to pivot and shaft. Opening counter-clockwise it moves outwards, so it
// lies right of the line from the shaft through the pivot.
func (r *validator) centre(at string, w *Weight, pivot float64) r2.Vec {
	switch points, distance := r.given(at+".centre"), r.given(at+".centre_to_pivot"); {
	case points == distance:
		r.fail(at, "needs one of centre and centre_to_pivot, and not both")
		return r2.Vec{}
	case points:
		r.without(at+".centre_to_shaft", "centre_to_pivot")
		return vec(r.point(at+".centre", w.Centre))
	}
	toPivot := between(r, at+".centre_to_pivot", w.ToPivot, mm(0.5), mm(200))
	toShaft := between(r, at+".centre_to_shaft", w.ToShaft, mm(0.5), mm(200))
	cos, ok := triangle(pivot, toShaft, toPivot)
	if !ok {
		r.fail(at+".centre_to_shaft", "is %s, with %s to the pivot and %s from pivot to shaft: no triangle has such sides; valid is %s", w.ToShaft, w.ToPivot, quantity.Length(pivot), thirdSide(pivot, toPivot))
		return r2.Vec{}
	}
	y := -toShaft * math.Sqrt(1-cos*cos)
	if !(y <= -leastArm) {
		r.fail(at+".centre_to_shaft", "is %s, with %s to the pivot: the centre of mass lies on the line from the shaft through the pivot, where nothing turns the weight outwards", w.ToShaft, w.ToPivot)
	}
	return r2.Vec{X: toShaft * cos, Y: y}
}

// leastArm is how far from that line a centre of mass must lie to be told from one
// on it, m: what a plumb line shows.
const leastArm = 0.2e-3

// posts returns where the posts of a spring stand at rest: given, or from the three
// distances between them and the pivot. The opening weight takes its post away from
// the plate's.
func (r *validator) posts(at string, p *Place, pivot float64) (plate, post r2.Vec) {
	for _, name := range []string{"plate_post", "weight_post"} {
		if r.given(at+"."+name) == r.given(at+".posts_apart") {
			r.fail(at, "needs one of %s and posts_apart, and not both", name)
			return r2.Vec{}, r2.Vec{}
		}
	}
	if !r.given(at + ".posts_apart") {
		r.without(at+".pivot_to_plate_post", "posts_apart")
		r.without(at+".pivot_to_weight_post", "posts_apart")
		return vec(r.point(at+".plate_post", p.Plate)), vec(r.point(at+".weight_post", p.Post))
	}
	a := between(r, at+".pivot_to_plate_post", p.PivotPlate, mm(1), mm(200))
	b := between(r, at+".pivot_to_weight_post", p.PivotPost, mm(1), mm(200))
	apart := between(r, at+".posts_apart", p.Apart, mm(1), mm(200))
	cos, ok := triangle(a, b, apart)
	if !ok {
		r.fail(at+".posts_apart", "is %s, with %s and %s from the pivot to the posts: no triangle has such sides; valid is %s", p.Apart, p.PivotPlate, p.PivotPost, thirdSide(a, b))
		return r2.Vec{}, r2.Vec{}
	}
	// From the pivot the plate's post is put towards the shaft, the weight's post
	// counter-clockwise of it.
	return r2.Vec{X: pivot - a}, r2.Vec{X: pivot - b*cos, Y: -b * math.Sqrt(1-cos*cos)}
}
