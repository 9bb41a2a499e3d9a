package recipes

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/flyweights"
)

// slow is the same recipe without tables: omega^2 of the assembled mechanism
// from package flyweights at each grid point, and everything else in the
// plainest way.
type slow struct {
	theta      []float64 // crank degrees
	rise, fall []float64 // omega^2
}

func newSlow(t *testing.T, p *Problem, g *grid, c Choice) *slow {
	t.Helper()
	m, err := p.assemble(c, p.Travel.High)
	if err != nil {
		t.Fatal(err)
	}
	s := &slow{}
	for k, phi := range g.phi {
		theta, _, _ := m.Linkage.Cam(phi)
		// A take-up stands twice: just before and just after.
		aside := 1e-12 * m.Stop
		switch {
		case k+1 < len(g.phi) && g.phi[k+1] == phi:
			phi -= aside
		case k > 0 && g.phi[k-1] == phi:
			phi += aside
		}
		phi = math.Min(phi, m.Stop)
		y, err := m.SpeedSquared(phi)
		if err != nil {
			t.Fatal(err)
		}
		grip := 0.0
		if f := m.Friction; f.Moment > 0 || f.Proportion > 0 {
			springs, weights := 0.0, 0.0
			for i := range m.Springs {
				springs += m.SpringMoment(i, phi)
			}
			for i := range m.Weights {
				weights += m.WeightMoment(i, phi)
			}
			grip = (f.Moment + f.Proportion*math.Abs(springs)) / weights
		}
		s.theta = append(s.theta, p.Drive.CrankDegrees(theta))
		s.rise, s.fall = append(s.rise, y+grip), append(s.fall, y-grip)
	}
	return s
}

// cross returns theta on the line from point k to the next where y passes v.
func (s *slow) cross(y []float64, k int, v float64) float64 {
	return s.theta[k] + (v-y[k])/(y[k+1]-y[k])*(s.theta[k+1]-s.theta[k])
}

// rising follows the weights out until omega^2 stands above v.
func (s *slow) rising(v, travel float64) float64 {
	if s.rise[0] > v {
		return 0
	}
	for k := 1; k < len(s.rise); k++ {
		if s.rise[k] > v {
			return math.Min(travel, s.cross(s.rise, k-1, v))
		}
	}
	return travel
}

// falling follows the weights in from the travel until omega^2 is not above v.
func (s *slow) falling(v, travel float64) float64 {
	k := 0
	for s.theta[k+1] < travel {
		k++
	}
	at := s.fall[k] + (travel-s.theta[k])/(s.theta[k+1]-s.theta[k])*(s.fall[k+1]-s.fall[k])
	if at <= v {
		return travel
	}
	for ; k >= 0; k-- {
		if s.fall[k] <= v {
			return math.Min(travel, s.cross(s.fall, k, v))
		}
	}
	return 0
}

// fast reads the current combination of a scan at one travel setting.
func (w *scan) fast(j int) {
	if w.y[0] >= 0 && w.yF[0] >= 0 && w.rises() {
		w.steady(new(score), math.Inf(-1))
		return
	}
	w.r.fall = w.fall
	w.t.invertRising(w.r.rise, w.nodes.omega2, w.y)
	w.t.invertFalling(w.r.fall, w.nodes.omega2, w.yF, w.travel[j], w.t.cell[j], w.yF[w.t.fill+j])
	w.r.sum(&w.nodes, w.hasBand)
}

// The tables, the reading by bisection and the sums give, recipe by recipe, what
// package flyweights and the plainest loops give: 100,000 random recipes in 40
// random problems, to 1e-9 of omega^2, crank degrees, torque and deviation.
func TestTableEqualsFlyweights(t *testing.T) {
	problems, each := 40, 2500
	if testing.Short() {
		problems = 10
	}
	rng := rand.New(rand.NewPCG(3, 4))
	snaps, sum := 0, 0.0
	for n := range uint64(problems) {
		p := shop(15, 3)
		vary(p, n)
		q := newPlan(p, &Settings{}, 0, 0)
		w := newScan(q, &Settings{}, 1)
		for i := range each {
			if err := w.load(3 * i / each); err != nil {
				t.Fatal(err)
			}
			w.at = [maxPositions]int{}
			if !w.place(0, rng.IntN(len(w.t.fits[0]))) {
				t.Fatal("no piece left")
			}
			w.at[1] = rng.IntN(len(w.t.fits[1]))
			w.add(1, w.at[1], w.y, w.yF)
			w.take(0)
			j, k := rng.IntN(len(q.travel)), rng.IntN(p.Static.count())
			c := w.candidate(score{travel: j, static: k})
			s := newSlow(t, p, w.t.grid, c.choice(2))
			for i := range s.rise {
				if size := 1 + abs(s.rise[i]); !(abs(w.y[i]-s.rise[i]) <= 1e-9*size) || !(abs(w.yF[i]-s.fall[i]) <= 1e-9*size) {
					t.Fatalf("problem %d, %v, point %d: omega^2 %v and %v, flyweights %v and %v", n, c.choice(2), i, w.y[i], w.yF[i], s.rise[i], s.fall[i])
				}
			}
			w.fast(j)
			if !w.rises() {
				snaps++
			}
			static, travel := p.Static.at(k), q.travel[j]
			spark := make([]float64, len(q.nodes.rpm))
			for i, v := range q.nodes.omega2 {
				rise, fall := s.rising(v, travel), s.falling(v, travel)
				if x, f := min(travel, w.r.rise[i]), min(travel, w.r.fall[i]); !(abs(x-rise) <= 1e-9) || !(abs(f-fall) <= 1e-9) {
					t.Fatalf("problem %d, %v, %v rpm, travel %v: advance %v and %v, flyweights %v and %v", n, c.choice(2), q.nodes.rpm[i], travel, x, f, rise, fall)
				}
				spark[i] = static + rise
			}
			got := q.timing(&w.r, clipped(w.r.rise, travel), travel, k, k, false)
			if torque, deviation := q.nodes.torque(spark), q.nodes.deviation(spark); !(abs(got.torque-torque) <= 1e-9) || !(abs(got.deviation-deviation) <= 1e-9) {
				t.Fatalf("problem %d, %v: torque %v, deviation %v, plainly %v, %v", n, c.choice(2), got.torque, got.deviation, torque, deviation)
			}
			sum += got.torque
		}
	}
	if snaps == 0 || !(sum > 0) {
		t.Errorf("%d of the recipes snap, losses sum to %v: the test says little", snaps, sum)
	}
}

// clipped counts the nodes that a travel does not clip.
func clipped(x []float64, travel float64) int {
	n := 0
	for n < len(x) && x[n] < travel {
		n++
	}
	return n
}

// The straight lines of the table err by the square of the spacing, and at 33
// points by less than what limits are loosened by before the exact curve judges.
func TestTableConvergesToTheExactCurve(t *testing.T) {
	angle, speed := map[int]float64{}, map[int]float64{}
	for _, points := range []int{33, 65, 129} {
		rng := rand.New(rand.NewPCG(5, 6))
		drawers := uint64(10)
		if testing.Short() {
			drawers = 3
		}
		for n := range drawers {
			p := shop(15, 3)
			vary(p, n)
			p.Limits.Snap = true
			w := newScan(newPlan(p, &Settings{}, 0, 0), &Settings{Grid: points}, 1)
			for i := range 100 {
				if err := w.load(3 * i / 100); err != nil {
					t.Fatal(err)
				}
				w.at = [maxPositions]int{}
				w.place(0, rng.IntN(len(w.t.fits[0])))
				w.at[1] = rng.IntN(len(w.t.fits[1]))
				w.add(1, w.at[1], w.y, w.yF)
				w.take(0)
				if w.y[0] < 0 || w.yF[0] < 0 || !w.rises() {
					continue // where it snaps, the last digit decides on which side
				}
				w.steady(new(score), math.Inf(-1))
				parts := w.candidate(score{})
				_, curve, err := p.exact(parts.choice(2), p.Travel.High)
				if err != nil {
					t.Fatal(err)
				}
				for i, rpm := range w.nodes.rpm {
					// Where the curve all but snaps, an error of speed is a
					// large one of angle: there the speed below tells.
					const steep = 40.0 // crank degrees in 1000 rpm
					before, after := curve.Theta(p.Drive.Omega(0.99*rpm), flyweights.Rising), curve.Theta(p.Drive.Omega(1.01*rpm), flyweights.Rising)
					if p.Drive.CrankDegrees(after-before) > steep/1000*0.02*rpm {
						continue
					}
					exact := p.Drive.CrankDegrees(curve.Theta(p.Drive.Omega(rpm), flyweights.Rising))
					angle[points] = max(angle[points], abs(exact-w.r.rise[i]))
				}
				for j, travel := range w.travel {
					_, end, err := p.exact(parts.choice(2), travel)
					if err != nil {
						t.Fatal(err)
					}
					v := end.AllIn(flyweights.Rising)
					speed[points] = max(speed[points], abs(w.r.allIn[j]/(v*v)-1))
				}
			}
		}
	}
	t.Logf("largest error of the advance %v crank degrees, of omega^2 %v", angle, speed)
	if !(angle[33] <= looseAngle) || !(speed[33] <= looseSpeed) {
		t.Errorf("33 points err by %v crank degrees and %v of omega^2, loosened by %v and %v", angle[33], speed[33], looseAngle, looseSpeed)
	}
	for _, coarse := range []int{33, 65} {
		for name, e := range map[string]map[int]float64{"advance": angle, "omega^2": speed} {
			if order := math.Log2(e[coarse] / e[2*coarse-1]); !(order >= 1.6 && order <= 2.4) {
				t.Errorf("%s from %d points: order of convergence %.2f, want 2", name, coarse, order)
			}
		}
	}
}
