package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/job/internal/schema"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/bodies"
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

// centre returns where a weight's centre of mass lies at rest: given, from its
// distances to pivot and shaft, or from its outline, which may stand beside either. Opening counter-clockwise it
// moves outwards, so it lies right of the line from the shaft through the pivot.
func (r *validator) centre(at string, w *schema.Weight, l layout) r2.Vec {
	var ways []string
	for _, name := range []string{"centre", "centre_to_pivot", "outline"} {
		if r.given(at + "." + name) {
			ways = append(ways, name)
		}
	}
	if len(ways) == 2 && ways[1] == "outline" {
		return r.hungAndTraced(at, w, l)
	}
	switch {
	case len(ways) > 1:
		r.fail(at, "needs one of %s and %s, and not both", ways[0], ways[1])
		return r2.Vec{}
	case len(ways) == 0 && r.given(at+".centre_to_shaft"):
		r.lack(at + ".centre_to_pivot")
		return r2.Vec{}
	case len(ways) == 0:
		r.lack(at + ".centre")
		return r2.Vec{}
	case ways[0] == "centre":
		r.without(at+".centre_to_shaft", "centre_to_pivot")
		return l.own(r.point(at+".centre", w.Centre))
	case ways[0] == "outline":
		r.without(at+".centre_to_shaft", "centre_to_pivot")
		return r.outline(at+".outline", w.Outline, l)
	}
	return r.byDistances(at, w, l)
}

// Plumb lines and a tracing of one weight lie so far apart at the most, m: a weight of
// uneven thickness has its centre elsewhere than its outline (common practice, no source);
// from noteApart on the report says so.
const (
	mostApart = 6e-3
	noteApart = 1e-3
)

// hungAndTraced is the centre of a weight whose outline was traced and that hung from two
// holes too: the plumb lines know the thickness, the outline checks them.
func (r *validator) hungAndTraced(at string, w *schema.Weight, l layout) r2.Vec {
	traced := r.outline(at+".outline", w.Outline, l)
	var hung r2.Vec
	if r.given(at + ".centre") {
		r.without(at+".centre_to_shaft", "centre_to_pivot")
		hung = l.own(r.point(at+".centre", w.Centre))
	} else {
		hung = r.byDistances(at, w, l)
	}
	if r.lacks(at) || r.lacks("distributor.pivot_radius") || !r.sound(at) {
		return hung
	}
	switch apart := r2.Norm(r2.Sub(hung, traced)); {
	case apart > mostApart:
		r.fail(at+".outline", "has its centre %.1f mm from where the plumb lines cross, valid is within %g mm: check both, and from which side the points are seen", 1e3*apart, 1e3*mostApart)
	case apart > noteApart:
		r.notes = append(r.notes, fmt.Sprintf("the plumb lines put the centre of %s %.1f mm from that of its outline; the plumb lines are used", cmp.Or(w.Name, at), 1e3*apart))
	}
	return hung
}

// byDistances is the centre of a weight by its distances to pivot and shaft.
func (r *validator) byDistances(at string, w *schema.Weight, l layout) r2.Vec {
	if l.slides {
		r.fail(at+".centre_to_pivot", "stands beside slide_out: weights that slide have no pivot; give centre or outline")
		return r2.Vec{}
	}
	pivot := l.pivot.X
	toPivot := between(r, at+".centre_to_pivot", w.ToPivot, mm(0.5), mm(200))
	toShaft := between(r, at+".centre_to_shaft", w.ToShaft, mm(0.5), mm(200))
	if r.lacks(at) || r.lacks("distributor.pivot_radius") {
		return r2.Vec{}
	}
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

// outline returns the centre of an evenly thick weight from points round its edge.
func (r *validator) outline(path string, list [][]quantity.Length, l layout) r2.Vec {
	if n := len(list); n < 3 || n > 400 {
		r.fail(path, "has %d points, valid is 3 to 400", n)
		return r2.Vec{}
	}
	points := make([]r2.Vec, 0, len(list))
	for i, p := range list {
		points = append(points, l.own(r.point(fmt.Sprintf("%s[%d]", path, i), p)))
	}
	if !r.sound(path) {
		return r2.Vec{}
	}
	section, err := bodies.Polygon(points...).Section()
	if err != nil {
		r.wrap(path, err)
		return r2.Vec{}
	}
	return section.Centroid
}

// posts returns the two ends of a spring at rest, each on its body: given as points,
// or from the three distances between them and the pivot. The opening weight takes
// its post away from the plate's.
func (r *validator) posts(at string, p *schema.Place, l layout, w int) (a, b flyweights.Anchor) {
	distances := r.given(at + ".posts_apart")
	for _, name := range []string{"plate_post", "weight_post", "cam_post", "other_weight_post"} {
		if r.given(at+"."+name) && distances {
			r.fail(at, "needs one of %s and posts_apart, and not both", name)
			return a, b
		}
	}
	if !distances {
		return r.points(at, p, l, w)
	}
	if l.slides {
		r.fail(at+".posts_apart", "goes with distances from a pivot, which weights that slide do not have; give the points of the posts")
		return a, b
	}
	pivot := l.pivot.X
	toPlate := between(r, at+".pivot_to_plate_post", p.PivotPlate, mm(1), mm(200))
	toPost := between(r, at+".pivot_to_weight_post", p.PivotPost, mm(1), mm(200))
	apart := between(r, at+".posts_apart", p.Apart, mm(1), mm(200))
	if r.lacks(at) || r.lacks("distributor.pivot_radius") {
		return a, b
	}
	cos, ok := triangle(toPlate, toPost, apart)
	if !ok {
		r.fail(at+".posts_apart", "is %s, with %s and %s from the pivot to the posts: no triangle has such sides; valid is %s", p.Apart, p.PivotPlate, p.PivotPost, thirdSide(toPlate, toPost))
		return a, b
	}
	// From the pivot the plate's post is put towards the shaft, the weight's post
	// counter-clockwise of it.
	plate := r2.Vec{X: pivot - toPlate}
	post := r2.Vec{X: pivot - toPost*cos, Y: -toPost * math.Sqrt(1-cos*cos)}
	return flyweights.Anchor{Body: flyweights.Plate, Point: l.turn(w, plate)}, flyweights.Anchor{Body: flyweights.OnWeight(w), Point: l.turn(w, post)}
}

// points returns the two ends that are given as points: two of plate, weight, cam and
// another weight.
func (r *validator) points(at string, p *schema.Place, l layout, w int) (a, b flyweights.Anchor) {
	posted := slices.ContainsFunc([]string{"plate_post", "weight_post", "cam_post", "other_weight_post"}, func(name string) bool { return r.given(at + "." + name) })
	if !posted && (r.given(at+".pivot_to_plate_post") || r.given(at+".pivot_to_weight_post")) {
		r.lack(at + ".posts_apart")
		return a, b
	}
	r.without(at+".pivot_to_plate_post", "posts_apart")
	r.without(at+".pivot_to_weight_post", "posts_apart")
	var ends []flyweights.Anchor
	for _, end := range []struct {
		name  string
		point []quantity.Length
		body  flyweights.Body
	}{
		{"plate_post", p.Plate, flyweights.Plate}, {"cam_post", p.Cam, flyweights.Cam}, {"weight_post", p.Post, flyweights.OnWeight(w)},
	} {
		if r.given(at + "." + end.name) {
			ends = append(ends, flyweights.Anchor{Body: end.body, Point: l.turn(w, l.own(r.point(at+"."+end.name, end.point)))})
		}
	}
	if r.given(at + ".other_weight_post") {
		other := r.whole(at+".other_weight", p.Other, 0, 1, l.count) - 1
		ends = append(ends, flyweights.Anchor{Body: flyweights.OnWeight(other), Point: l.turn(other, l.own(r.point(at+".other_weight_post", p.OtherPost)))})
	}
	switch {
	case len(ends) > 2:
		r.fail(at, "has %d posts, valid is two of plate_post, weight_post, cam_post and other_weight_post", len(ends))
	case len(ends) < 2:
		if !r.given(at + ".weight_post") {
			r.lack(at + ".weight_post")
		}
		if len(ends) == 0 || r.given(at+".weight_post") {
			r.lack(at + ".plate_post")
		}
	}
	if len(ends) != 2 {
		return a, b
	}
	return ends[0], ends[1]
}
