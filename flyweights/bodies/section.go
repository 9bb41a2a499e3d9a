package bodies

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/spatial/r2"
)

// Section is a plane figure as mechanics sees it: area, centroid and second
// moments of area about the centroid. The zero value is an empty figure.
type Section struct {
	Area     float64 // m^2
	Centroid r2.Vec  // m
	XX       float64 // m^4, integral of y^2 about the centroid
	YY       float64 // m^4, integral of x^2 about the centroid
	XY       float64 // m^4, integral of x y about the centroid
}

// moments are the integrals of 1, x, y, x^2, y^2 and x y over a figure.
type moments struct{ a, x, y, xx, yy, xy float64 }

func (m *moments) add(b moments) {
	m.a += b.a
	m.x += b.x
	m.y += b.y
	m.xx += b.xx
	m.yy += b.yy
	m.xy += b.xy
}

// Section returns the figure inside the outline. It refuses an outline that
// fails its check or encloses no area. Coordinates are taken from the first
// point while summing, so a small figure far from the axis loses no digits.
func (o Outline) Section() (Section, error) {
	if err := o.check(); err != nil {
		return Section{}, err
	}
	var sum moments
	var size float64
	origin := o[0].To
	from := r2.Sub(o[len(o)-1].To, origin)
	for _, e := range o {
		to := r2.Sub(e.To, origin)
		sum.add(triangle(from, to))
		if e.Sweep != 0 {
			sum.add(roundPart(from, to, e.Sweep))
		}
		size = max(size, r2.Norm2(to))
		from = to
	}
	if !(math.Abs(sum.a) > 1e-12*size) {
		return Section{}, outOfRange("area of the outline", math.Abs(sum.a), "m^2", "an outline that encloses some")
	}
	s := math.Copysign(1, sum.a) // an outline that runs clockwise counts the same
	c := r2.Scale(1/sum.a, r2.Vec{X: sum.x, Y: sum.y})
	return Section{
		Area:     s * sum.a,
		Centroid: r2.Add(c, origin),
		XX:       s * (sum.yy - sum.a*c.Y*c.Y),
		YY:       s * (sum.xx - sum.a*c.X*c.X),
		XY:       s * (sum.xy - sum.a*c.X*c.Y),
	}, nil
}

// triangle returns the moments of the signed triangle from the origin along the
// straight line p to q: the terms of the polygon formulas (Green's theorem on a
// straight edge).
func triangle(p, q r2.Vec) moments {
	c := r2.Cross(p, q)
	return moments{
		a:  c / 2,
		x:  c * (p.X + q.X) / 6,
		y:  c * (p.Y + q.Y) / 6,
		xx: c * (p.X*p.X + p.X*q.X + q.X*q.X) / 12,
		yy: c * (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) / 12,
		xy: c * (p.X*q.Y + 2*p.X*p.Y + 2*q.X*q.Y + q.X*p.Y) / 24,
	}
}

// arcNodes are the Gauss-Legendre points on -1 to 1 that integrate along an arc.
// The integrands are trigonometric polynomials of degree 4; with 28 points even
// a full turn is integrated to rounding.
var arcNodes, arcWeights = func() (x, w []float64) {
	x, w = make([]float64, 28), make([]float64, 28)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	return x, w
}()

// roundPart returns the moments of the circular segment between the chord p to q and
// its arc of the given sweep, positive where the arc lies to the right of the
// chord, as it does on the outside of an outline that runs counter-clockwise.
//
// Green's theorem along the arc in the chord's own axes: v along the chord from
// its middle, u out from it. With half sweep h and radius R,
//
//	v = R sin t,   u = R (cos t - cos h),   -h <= t <= h
//
// and the integral of u^(i+1) v^j / (i+1) dv. Written with the product of two
// sines for cos t - cos h nothing cancels, however flat the arc.
func roundPart(p, q r2.Vec, sweep float64) moments {
	h := sweep / 2
	chord := r2.Sub(q, p)
	// Ends that differ by less than the distance from the first point shows, and
	// a sweep too small to square: such an arc encloses nothing.
	if chord == (r2.Vec{}) || math.Abs(h) < 1e-150 {
		return moments{}
	}
	radius := r2.Norm(chord) / (2 * math.Sin(math.Abs(h)))
	along := r2.Unit(chord)
	out := r2.Vec{X: along.Y, Y: -along.X}

	var a, u1, uu, vv float64
	for i, x := range arcNodes {
		sin, cos := math.Sincos(h * x)
		u := 2 * radius * math.Sin((h+h*x)/2) * math.Sin((h-h*x)/2)
		v := radius * sin
		dv := arcWeights[i] * radius * cos * math.Abs(h)
		a += u * dv
		u1 += u * u / 2 * dv
		uu += u * u * u / 3 * dv
		vv += v * v * u * dv
	}
	// A clockwise arc bulges to the other side and takes area away.
	s := math.Copysign(1, sweep)
	a, uu, vv = s*a, s*uu, s*vv
	// u1 keeps its sign: both the area and the side are reversed.

	mid := r2.Scale(0.5, r2.Add(p, q))
	cross := u1 // first moment along out
	return moments{
		a:  a,
		x:  a*mid.X + cross*out.X,
		y:  a*mid.Y + cross*out.Y,
		xx: a*mid.X*mid.X + 2*cross*mid.X*out.X + uu*out.X*out.X + vv*along.X*along.X,
		yy: a*mid.Y*mid.Y + 2*cross*mid.Y*out.Y + uu*out.Y*out.Y + vv*along.Y*along.Y,
		xy: a*mid.X*mid.Y + cross*(mid.X*out.Y+mid.Y*out.X) + uu*out.X*out.Y + vv*along.X*along.Y,
	}
}

// Add returns both figures taken together. Figures so large that their moments
// overflow are refused.
func (s Section) Add(t Section) (Section, error) {
	sum := s.with(t)
	return sum, checkFinite("sum of two figures", "SI", sum.Area, sum.Centroid.X, sum.Centroid.Y, sum.XX, sum.YY, sum.XY)
}

// with adds by parallel axes: both centroids move to the common one; the reduced
// area times the distance squared is what that costs.
func (s Section) with(t Section) Section {
	area := s.Area + t.Area
	if area == 0 {
		return Section{}
	}
	d := r2.Sub(t.Centroid, s.Centroid)
	reduced := s.Area * (t.Area / area)
	return Section{
		Area:     area,
		Centroid: r2.Add(s.Centroid, r2.Scale(t.Area/area, d)),
		XX:       s.XX + t.XX + reduced*d.Y*d.Y,
		YY:       s.YY + t.YY + reduced*d.X*d.X,
		XY:       s.XY + t.XY + reduced*d.X*d.Y,
	}
}

// Sub returns the figure with t cut out of it; t must lie inside. It refuses a
// part that leaves no area or a negative second moment.
func (s Section) Sub(t Section) (Section, error) {
	if !(t.Area < s.Area) {
		return Section{}, outOfRange("area cut out", t.Area, "m^2", "less than the area it is cut from")
	}
	t.Area, t.XX, t.YY, t.XY = -t.Area, -t.XX, -t.YY, -t.XY
	left, err := s.Add(t)
	if err != nil {
		return Section{}, err
	}
	if least := min(left.XX, left.YY); !(least >= 0) {
		return Section{}, outOfRange("second moment left", least, "m^4", "0 or more: the part cut out must lie inside")
	}
	return left, nil
}

// About returns the second moments of area in m^4 about axes through a point
// parallel to the frame's: the integrals of y^2, x^2 and x y from there.
func (s Section) About(p r2.Vec) (xx, yy, xy float64, err error) {
	d := r2.Sub(s.Centroid, p)
	xx, yy, xy = s.XX+s.Area*d.Y*d.Y, s.YY+s.Area*d.X*d.X, s.XY+s.Area*d.X*d.Y
	return xx, yy, xy, checkFinite("second moment about the point", "m^4", xx, yy, xy)
}

// polar is the second moment of area in m^4 about the centroid.
func (s Section) polar() float64 { return s.XX + s.YY }

// Principal returns the largest and smallest second moment of area in m^4 about
// axes through the centroid, and the angle in rad, counter-clockwise from the x
// axis, of the axis of the largest: tan 2a = -2 XY / (XX - YY) (Mohr's circle).
func (s Section) Principal() (largest, smallest, angle float64, err error) {
	mean, diff := s.XX/2+s.YY/2, s.XX/2-s.YY/2
	r := math.Hypot(diff, s.XY)
	largest, smallest, angle = mean+r, mean-r, math.Atan2(-s.XY, diff)/2
	return largest, smallest, angle, checkFinite("principal moment", "m^4", largest, smallest, angle)
}
