package corpus

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights/bodies"
)

var (
	dimFourth  = quantity.Dim{Length: 4}
	lineWeight = 1.0 // kg/m, where only the centre of a wire is asked for
)

func init() {
	register("plane figure", "bodies.Outline.Section, bodies.Section", planeFigure)
	register("section of parts", "bodies.Section.Add, bodies.Section.Principal", sectionOfParts)
	register("ring part", "bodies.RingPart", ringPart)
	register("bent wire", "bodies.WireBody", bentWire)
	register("round plate", "bodies.Plate, bodies.Body.About", roundPlate)
}

func vec(g *Given, x, y string) r2.Vec {
	return r2.Vec{X: g.SI(x, dimLength), Y: g.SI(y, dimLength)}
}

// outline reads one part of a figure.
func outline(g *Given) bodies.Outline {
	switch g.Word("shape", "rectangle", "polygon", "circle", "semicircle") {
	case "rectangle":
		at, size := vec(g, "x", "y"), vec(g, "width", "height")
		return bodies.Polygon(at, r2.Vec{X: at.X + size.X, Y: at.Y}, r2.Add(at, size), r2.Vec{X: at.X, Y: at.Y + size.Y})
	case "circle":
		return bodies.Circle(vec(g, "x", "y"), g.SI("radius", dimLength))
	case "semicircle":
		from := map[string]float64{"up": 0, "left": math.Pi / 2, "down": math.Pi, "right": -math.Pi / 2}[g.Word("side", "up", "left", "down", "right")]
		return bodies.RingPart(vec(g, "x", "y"), 0, g.SI("radius", dimLength), from, from+math.Pi)
	}
	var points []r2.Vec
	for i := 1; g.Has(fmt.Sprintf("x%d", i)); i++ {
		points = append(points, vec(g, fmt.Sprintf("x%d", i), fmt.Sprintf("y%d", i)))
	}
	return bodies.Polygon(points...)
}

// planeFigure adds and takes away parts and finds what books ask of the sum.
func planeFigure(g *Given) (Found, error) {
	var sum bodies.Section
	for _, p := range g.Groups("parts") {
		s, err := outline(p).Section()
		if err != nil {
			return nil, err
		}
		if p.WordOr("part", "added", "added", "cut out") == "added" {
			if sum, err = sum.Add(s); err != nil {
				return nil, err
			}
			continue
		}
		if sum, err = sum.Sub(s); err != nil {
			return nil, err
		}
	}
	baseX, baseY, cornerXY, err := sum.About(r2.Vec{})
	if err != nil {
		return nil, err
	}
	most, least, angle, err := sum.Principal()
	return Found{
		"area":                SI(sum.Area, dimArea),
		"x":                   SI(sum.Centroid.X, dimLength),
		"y":                   SI(sum.Centroid.Y, dimLength),
		"first moment of x":   SI(sum.Area*sum.Centroid.X, dimVolume),
		"first moment of y":   SI(sum.Area*sum.Centroid.Y, dimVolume),
		"I_x":                 SI(sum.XX, dimFourth),
		"I_y":                 SI(sum.YY, dimFourth),
		"I_x about y = 0":     SI(baseX, dimFourth),
		"I_y about x = 0":     SI(baseY, dimFourth),
		"I_xy about origin":   SI(cornerXY, dimFourth),
		"radius k_x":          SI(math.Sqrt(sum.XX/sum.Area), dimLength),
		"radius k_y":          SI(math.Sqrt(sum.YY/sum.Area), dimLength),
		"largest":             SI(most, dimFourth),
		"smallest":            SI(least, dimFourth),
		"axis of the largest": SI(angle, dimAngle),
	}, err
}

// sectionOfParts adds parts of which area, centre and own second moments are known.
func sectionOfParts(g *Given) (Found, error) {
	var sum bodies.Section
	for _, p := range g.Groups("parts") {
		var err error
		if sum, err = sum.Add(bodies.Section{
			Area: p.SIOr("area", dimArea, 1), Centroid: r2.Vec{Y: p.SIOr("y", dimLength, 0)},
			XX: p.SIOr("I_x", dimFourth, 0), YY: p.SIOr("I_y", dimFourth, 0), XY: p.SIOr("I_xy", dimFourth, 0),
		}); err != nil {
			return nil, err
		}
	}
	most, least, angle, err := sum.Principal()
	return Found{
		"y": SI(sum.Centroid.Y, dimLength), "I_x": SI(sum.XX, dimFourth),
		"largest": SI(most, dimFourth), "smallest": SI(least, dimFourth), "axis of the largest": SI(angle, dimAngle),
	}, err
}

// ringPart finds the centre of a ring part, or of a sector where there is no
// inner radius, from that of the circle.
func ringPart(g *Given) (Found, error) {
	outer, half := g.SI("outer radius", dimLength), g.SI("half angle", dimAngle)
	s, err := bodies.RingPart(r2.Vec{}, g.SIOr("inner radius", dimLength, 0), outer, -half, half).Section()
	return Found{"centre": SI(s.Centroid.X, dimLength), "over radius": Number(s.Centroid.X / outer)}, err
}

// bentWire finds the centre of a wire that runs from the first of its points to
// the last, along arcs where a sweep is given.
func bentWire(g *Given) (Found, error) {
	var start r2.Vec
	var edges []bodies.Edge
	for i, p := range g.Groups("points") {
		if i == 0 {
			start = vec(p, "x", "y")
			continue
		}
		edges = append(edges, bodies.Edge{To: vec(p, "x", "y"), Sweep: p.SIOr("sweep", dimAngle, 0)})
	}
	b, err := bodies.WireBody(start, edges, lineWeight)
	return Found{"x": SI(b.Centre.X, dimLength), "y": SI(b.Centre.Y, dimLength)}, err
}

func roundPlate(g *Given) (Found, error) {
	b, err := bodies.Plate(
		bodies.Circle(r2.Vec{}, g.SI("radius", dimLength)),
		g.SI("thickness", dimLength), g.SI("density", dimDensity),
		bodies.Circle(r2.Vec{}, g.SI("hole radius", dimLength)),
	)
	if err != nil {
		return nil, err
	}
	inertia, err := b.About(r2.Vec{X: g.SI("axis distance", dimLength)})
	return Found{"inertia": SI(inertia, quantity.Dim{Mass: 1, Length: 2}), "mass": SI(b.Mass, dimMass)}, err
}
