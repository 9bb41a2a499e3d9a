package drawing

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/vg"
)

// around is the outline at a distance r round points: their convex hull, rounded.
func around(points []r2.Vec, r float64) vg.Path {
	hull := convex(points)
	if len(hull) == 1 {
		return circle(hull[0], r)
	}
	var ring []r2.Vec
	for i, q := range hull {
		before, after := hull[(i+len(hull)-1)%len(hull)], hull[(i+1)%len(hull)]
		from, to := outward(before, q), outward(q, after)
		for to < from {
			to += 2 * math.Pi
		}
		ring = append(ring, arc(q, r, from, to)...)
	}
	return closed(ring)
}

// along is the outline at a distance r from a line that bends less sharply than that.
func along(line []r2.Vec, r float64) vg.Path {
	var ring []r2.Vec
	side := func(line []r2.Vec) {
		n := len(line)
		for i, q := range line {
			normal := outward(line[max(i-1, 0)], line[min(i+1, n-1)])
			ring = append(ring, r2.Add(q, r2.Vec{X: r * math.Cos(normal), Y: r * math.Sin(normal)}))
		}
		last := outward(line[n-2], line[n-1])
		ring = append(ring, arc(line[n-1], r, last, last+math.Pi)...)
	}
	side(line)
	back := slices.Clone(line)
	slices.Reverse(back)
	side(back)
	return closed(ring)
}

// outward is the direction to the right of the way from a to b.
func outward(a, b r2.Vec) float64 { return math.Atan2(b.Y-a.Y, b.X-a.X) - math.Pi/2 }

func arc(at r2.Vec, r, from, to float64) []r2.Vec {
	const steps = 10
	var out []r2.Vec
	for i := range steps + 1 {
		angle := from + (to-from)*float64(i)/steps
		out = append(out, r2.Vec{X: at.X + r*math.Cos(angle), Y: at.Y + r*math.Sin(angle)})
	}
	return out
}

func closed(ring []r2.Vec) vg.Path {
	out := path(ring...)
	out.Close()
	return out
}

// convex is the convex hull, counter-clockwise (monotone chain; A. M. Andrew, Another
// efficient algorithm for convex hulls in two dimensions, Information Processing
// Letters 9, 1979).
func convex(points []r2.Vec) []r2.Vec {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	half := func(list []r2.Vec) []r2.Vec {
		var out []r2.Vec
		for _, q := range list {
			for len(out) >= 2 && r2.Cross(r2.Sub(out[len(out)-1], out[len(out)-2]), r2.Sub(q, out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, q)
		}
		return out[:len(out)-1]
	}
	lower := half(sorted)
	slices.Reverse(sorted)
	return append(lower, half(sorted)...)
}
