package recipes

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
)

// swing returns the swing in rad at which the cam has turned by a travel in
// crank degrees, by bisection: a linkage turns the cam one way only.
func (p *Problem) swing(travel float64) (float64, error) {
	m := &p.Mechanism
	if m.Linkage == nil {
		return 0, refuse("mechanism has no linkage")
	}
	if !(m.Stop > 0 && m.Stop < math.Pi) {
		return 0, outOfRange("stop of the mechanism", m.Stop, "rad", "more than 0 and less than half a turn")
	}
	most, _, _ := m.Linkage.Cam(m.Stop)
	want := p.Drive.ShaftRadians(travel)
	// The last digit of a travel worked out from Stop itself is forgiven.
	if !(travel > 0 && want <= most*(1+1e-9)) {
		return 0, outOfRange("travel", travel, "deg crank", fmt.Sprintf("more than 0 and at most %.6g, which is what Stop allows", p.Drive.CrankDegrees(most)))
	}
	short := func(phi float64) bool { theta, _, _ := m.Linkage.Cam(phi); return theta < want }
	if short(m.Stop) {
		return m.Stop, nil
	}
	_, reached, err := root.Edge(short, 0, m.Stop, 0)
	return reached, err
}

// reach is a post's spring length between the hooks at every grid point, with
// its slope: tension times slope is the moment on the swing.
type reach struct {
	length []float64 // m
	slope  []float64 // m/rad
	beside []float64 // m, just left or right of a doubled point, else length
}

// moment is T dL/dphi of a spring at grid point k.
func (r *reach) moment(s *springs.Spring, k int) float64 {
	return r.tension(s, k) * r.slope[k]
}

// tension is the pull of a spring at grid point k. Where the coils are taken up
// the point is doubled and the side decides whether they pull already.
func (r *reach) tension(s *springs.Spring, k int) float64 {
	if !(r.beside[k] > s.TakeUp()) {
		return 0
	}
	return s.InitialTension + s.Rate*max(0, r.length[k]-s.TakeUp())
}

// addMoments adds the moments of a spring at all grid points.
func (r *reach) addMoments(to []float64, s *springs.Spring) {
	up := s.TakeUp()
	length, slope, beside := r.length[:len(to)], r.slope[:len(to)], r.beside[:len(to)]
	for k := range to {
		if beside[k] > up {
			to[k] += (s.InitialTension + s.Rate*max(0, length[k]-up)) * slope[k]
		}
	}
}

// takesUp reports whether the length passes a take-up length on the way.
func (r *reach) takesUp(up float64) bool {
	for k := range r.beside {
		if (r.beside[k] > up) != (r.beside[0] > up) {
			return true
		}
	}
	return false
}

// grid is the mechanism without springs and masses on a common grid of swing
// positions, so that the moments of all parts can be added point by point. The
// points are equally spaced in the swing, and where any spring of the drawer is
// taken up on the way there are two, its left and its right limit: a tension
// that jumps stays a jump.
type grid struct {
	phi    []float64 // rad, rising, doubled at take-up
	theta  []float64 // crank degrees of advance
	slope  []float64 // dtheta/dphi of the cam, for the drag
	posts  [][]reach // position, post
	same   []int     // for each position the first one that is its mirror image, itself if none
	travel []float64 // crank degrees of the travel settings
	cell   []int     // grid cell in which each travel lies
	part   []float64 // share of that cell, in theta
	fill   int       // points per row, 2^n+1: padded for the bisection
	padded []float64 // theta held up to fill points
}

// newGrid lays the grid for the geometry of one set of weights: pivots matter,
// masses do not.
func newGrid(p *Problem, weights []flyweights.Weight, points int) (*grid, error) {
	if p.Shares != nil {
		return p.shareGrid(), nil
	}
	stop, err := p.swing(p.Travel.High)
	if err != nil {
		return nil, err
	}
	g := &grid{same: make([]int, len(p.Positions))}
	m := p.Mechanism
	m.Weights, m.Stop = weights, stop
	probes := make([][]*probe, len(p.Positions))
	for i, pos := range p.Positions {
		for j, post := range pos.Posts {
			q := newProbe(m, post)
			if err := q.m.Check(); err != nil {
				return nil, fmt.Errorf("position %d (%s), post %d (%s): %w", i+1, pos.Name, j+1, post.Name, err)
			}
			probes[i] = append(probes[i], q)
		}
	}
	g.lay(stop, points, takeUps(p, probes, stop))
	for _, phi := range g.phi {
		theta, d1, _ := m.Linkage.Cam(phi)
		g.theta = append(g.theta, p.Drive.CrankDegrees(theta))
		g.slope = append(g.slope, d1)
	}
	g.pad()
	for i := range probes {
		var posts []reach
		for j, q := range probes[i] {
			r := q.reach(g.phi)
			for k := range r.length {
				if !(r.length[k] > 0 && valid.Finite(r.length[k]) && valid.Finite(r.slope[k])) {
					return nil, outOfRange(fmt.Sprintf("position %d (%s), post %d: spring length at a swing of %.4g rad", i+1, p.Positions[i].Name, j+1, g.phi[k]),
						r.length[k], "m", "more than 0: its ends must not meet")
				}
			}
			posts = append(posts, r)
		}
		g.posts = append(g.posts, posts)
		g.same[i] = i
		for j := range i {
			if g.same[j] == j && mirrored(p, g, i, j) {
				g.same[i], g.posts[i] = j, g.posts[j]
				break
			}
		}
	}
	g.place(p.travels())
	return g, nil
}

// pad sizes the rows for the bisection.
func (g *grid) pad() {
	g.fill = 2
	for g.fill+1 < len(g.phi) {
		g.fill *= 2
	}
	g.fill++
	g.padded = append(g.padded, g.theta...)
	for len(g.padded) < g.fill {
		g.padded = append(g.padded, g.theta[len(g.theta)-1])
	}
}

// place finds the cells of the travel settings.
func (g *grid) place(travels []float64) {
	for _, t := range travels {
		k, part := g.locate(t)
		g.travel, g.cell, g.part = append(g.travel, t), append(g.cell, k), append(g.part, part)
	}
}

// locate returns the cell in which a travel lies, the lower one at a point, and
// its share of the cell.
func (g *grid) locate(travel float64) (cell int, part float64) { return cellOf(g.theta, travel) }

// lay sets the swing positions: points equally spaced from 0 to stop and each
// take-up twice.
func (g *grid) lay(stop float64, points int, doubled []float64) {
	for i := range points {
		g.phi = append(g.phi, stop*float64(i)/float64(points-1))
	}
	near := 1e-9 * stop
	for _, d := range doubled {
		// A take-up that falls on a point takes its place.
		g.phi = slices.DeleteFunc(g.phi, func(x float64) bool { return math.Abs(x-d) < near })
		g.phi = append(g.phi, d, d)
	}
	slices.Sort(g.phi)
}

// mirrored reports whether two positions do the same to every spring, so that
// exchanging their springs changes nothing.
func mirrored(p *Problem, g *grid, i, j int) bool {
	if p.Positions[i].Empty != p.Positions[j].Empty || len(g.posts[i]) != len(g.posts[j]) {
		return false
	}
	for n := range g.posts[i] {
		a, b := &g.posts[i][n], &g.posts[j][n]
		for k := range a.length {
			size := math.Abs(a.length[k])
			if !(math.Abs(a.length[k]-b.length[k]) <= 1e-12*size && math.Abs(a.slope[k]-b.slope[k]) <= 1e-12*size) {
				return false
			}
		}
	}
	return true
}

// probe reads the length of a spring at a post and its slope from the mechanism,
// with a spring of constant tension.
type probe struct{ m flyweights.Mechanism }

// probeLaw pulls with 1 N at any length, but for a rate too small to count.
var probeLaw = springs.Spring{Rate: 1e-12, FreeLength: 1e-12, InitialTension: 1}

func newProbe(m flyweights.Mechanism, post Post) *probe {
	m.Springs = []flyweights.Spring{{Law: probeLaw, A: post.A, B: post.B}}
	return &probe{m}
}

func (q *probe) at(phi float64) (length, slope float64) {
	length = q.m.SpringLength(0, phi)
	return length, q.m.SpringMoment(0, phi) / probeLaw.Tension(length)
}

func (q *probe) reach(phi []float64) reach {
	n := len(phi)
	r := reach{make([]float64, n), make([]float64, n), make([]float64, n)}
	beside := 1e-7 * phi[n-1] // far wider than what two doubled points merge, far narrower than a cell
	for k, x := range phi {
		r.length[k], r.slope[k] = q.at(x)
		switch {
		case k+1 < n && phi[k+1] == x:
			r.beside[k], _ = q.at(x - beside)
		case k > 0 && phi[k-1] == x:
			r.beside[k], _ = q.at(x + beside)
		default:
			r.beside[k] = r.length[k]
		}
	}
	return r
}

// takeUps finds the swings, strictly between rest and stop, at which any spring
// of the drawer is taken up or let go at any post.
func takeUps(p *Problem, probes [][]*probe, stop float64) []float64 {
	const cells = 128
	var found []float64
	for _, posts := range probes {
		for _, q := range posts {
			var length [cells + 1]float64
			for i := range length {
				length[i], _ = q.at(stop * float64(i) / cells)
			}
			for n := range p.Drawer.Springs {
				up := p.Drawer.Springs[n].Spring.TakeUp()
				for i := range cells {
					if (length[i] > up) != (length[i+1] > up) {
						found = append(found, q.crossing(up, stop*float64(i)/cells, stop*float64(i+1)/cells))
					}
				}
			}
		}
	}
	slices.Sort(found)
	near := 1e-9 * stop
	found = slices.CompactFunc(found, func(a, b float64) bool { return math.Abs(b-a) < near })
	return slices.DeleteFunc(found, func(x float64) bool { return x < near || x > stop-near })
}

// crossing returns the swing between lo and hi at which the length passes up.
func (q *probe) crossing(up, lo, hi float64) float64 {
	first, _ := q.at(lo)
	_, passed, err := root.Edge(func(phi float64) bool { l, _ := q.at(phi); return (l > up) == (first > up) }, lo, hi, 0)
	if err != nil { // not finite, or no change between the two
		return hi
	}
	return passed
}
