package recipes

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// placement is a spring on a post of a position; spring -1 is an empty position.
type placement struct{ spring, post int }

// tables hold what each part adds to omega^2 with one set of weights. The
// moments of springs add and are divided by the moment of the weights, so
//
//	omega^2 = base + sum over positions of one row each
//
// point by point of the grid, and a combination of parts costs additions only.
// Behind the grid points a row has its values at the travel settings.
type tables struct {
	*grid
	weights int
	width   int // length of a row: fill + travel settings

	fits   [][]placement // for each position, weak springs first; mirror positions share one list
	rise   [][]float64
	fall   [][]float64 // the same memory as rise where there is no friction
	steep  [][]float64 // smallest step of each row from point to point
	reach  [][]float64 // crank degrees up to which the wire bears the pull
	base   []float64   // drag and friction of the mechanism, rising
	baseF  []float64   // the same, falling
	loops  [][]bool    // whether a spring is taken up between rest and the longest travel
	smooth bool        // no friction: rising and falling are one
}

// beyond fills the points behind the stop: a speed no engine reaches, rising so
// that a bisection never divides by zero.
const beyond = 1e12 // rad^2/s^2

// Bounds of memory: every placement holds a row in the tables of each worker, with two
// points for each take-up and one for each travel setting.
const (
	maxFits  = 20_000
	maxTable = 1 << 25 // numbers in the rows of a position, 268 MB
)

// newTables computes the rows for one set of weights on a grid made for its
// geometry. fits is their order, where it is given already.
func newTables(p *Problem, g *grid, weights int, fits [][]placement) (*tables, error) {
	t := &tables{grid: g, weights: weights, width: g.fill + len(g.travel)}
	f := p.Mechanism.Friction
	t.smooth = f == flyweights.Friction{}
	inverse, err := weightMoments(p, g, weights)
	if err != nil {
		return nil, err
	}
	t.base, t.baseF = make([]float64, t.width), make([]float64, t.width)
	for k := range g.phi {
		drag := p.Mechanism.Drag * g.slope[k]
		if p.Shares != nil {
			drag = p.Shares.drag(k)
		}
		t.base[k], t.baseF[k] = (drag+f.Moment)*inverse[k], (drag-f.Moment)*inverse[k]
	}
	for k := len(g.phi); k < g.fill; k++ {
		t.base[k] = beyond * float64(k)
		t.baseF[k] = t.base[k]
	}
	g.addTravels(t.base)
	g.addTravels(t.baseF)

	n := len(p.Positions)
	t.fits, t.rise, t.fall = make([][]placement, n), make([][]float64, n), make([][]float64, n)
	t.steep, t.reach, t.loops = make([][]float64, n), make([][]float64, n), make([][]bool, n)
	for i := range p.Positions {
		if j := g.same[i]; j != i {
			t.fits[i], t.rise[i], t.fall[i], t.steep[i], t.reach[i], t.loops[i] = t.fits[j], t.rise[j], t.fall[j], t.steep[j], t.reach[j], t.loops[j]
			continue
		}
		if fits == nil {
			t.fits[i] = g.order(p, i)
		} else {
			t.fits[i] = fits[i]
		}
		if len(t.fits[i]) > maxFits {
			return nil, outOfRange(fmt.Sprintf("springs times posts at position %d", i+1), float64(len(t.fits[i])), "", fmt.Sprintf("at most %d", maxFits))
		}
		if n := len(t.fits[i]) * t.width; n > maxTable {
			return nil, outOfRange(fmt.Sprintf("springs times posts times places of take-up and travel settings at position %d", i+1), float64(n), "", fmt.Sprintf("at most %d", maxTable))
		}
		t.addRows(p, i, inverse)
	}
	return t, nil
}

// weightMoments returns one over the weights' moment per omega^2 at each point.
func weightMoments(p *Problem, g *grid, weights int) ([]float64, error) {
	if p.Shares != nil { // whose moments are rpm^2
		unit := p.Drive.Omega(1)
		inverse := make([]float64, len(g.phi))
		for k, x := range p.Shares.Weights[weights] {
			inverse[k] = unit * unit / x
		}
		return inverse, nil
	}
	m := p.Mechanism
	m.Weights = p.Drawer.Weights[weights].Weights
	inverse := make([]float64, len(g.phi))
	for k, phi := range g.phi {
		sum := 0.0
		for i := range m.Weights {
			sum += m.WeightMoment(i, phi)
		}
		if !(sum > 0 && valid.Finite(1/sum)) {
			return nil, outOfRange(fmt.Sprintf("moment of weights %d (%s) at a swing of %.4g rad", weights+1, p.Drawer.Weights[weights].Name, phi), sum, "kg m^2", "more than 0: they must pull outwards")
		}
		inverse[k] = 1 / sum
	}
	return inverse, nil
}

// order lists the fits of a position, by the sum of their moments, then as the
// drawer names them.
func (g *grid) order(p *Problem, position int) []placement {
	type ranked struct {
		placement
		strength float64
	}
	var all []ranked
	if p.Positions[position].Empty {
		all = append(all, ranked{placement{-1, 0}, 0})
	}
	for s := range p.Drawer.Springs {
		for post := range p.Positions[position].Posts {
			r := ranked{placement: placement{s, post}}
			for k := range g.phi {
				r.strength += p.moment(g, position, r.placement, k)
			}
			all = append(all, r)
		}
	}
	slices.SortFunc(all, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.strength, b.strength), cmp.Compare(a.spring, b.spring), cmp.Compare(a.post, b.post))
	})
	fits := make([]placement, len(all))
	for i, r := range all {
		fits[i] = r.placement
	}
	return fits
}

// addRows fills the rows of one position.
func (t *tables) addRows(p *Problem, position int, inverse []float64) {
	fits := t.fits[position]
	grip := p.Mechanism.Friction.Proportion
	rise := make([]float64, len(fits)*t.width)
	fall := rise
	if !t.smooth {
		fall = make([]float64, len(rise))
	}
	steep, reach := make([]float64, len(fits)), make([]float64, len(fits))
	loops := make([]bool, len(fits))
	for i, f := range fits {
		reach[i] = math.Inf(1)
		if f.spring < 0 {
			continue
		}
		row, rowF := rise[i*t.width:(i+1)*t.width], fall[i*t.width:(i+1)*t.width]
		for k := range t.phi {
			moment := p.moment(t.grid, position, f, k) * inverse[k]
			rowF[k] = moment * (1 - grip)
			row[k] = moment * (1 + grip)
		}
		if p.Shares == nil {
			post, part := &t.posts[position][f.post], &p.Drawer.Springs[f.spring]
			reach[i], loops[i] = t.bears(post, part), post.takesUp(part.Spring.TakeUp())
		}
		t.addTravels(row)
		if !t.smooth {
			t.addTravels(rowF)
		}
		steep[i] = min(t.leastStep(row), t.leastStep(rowF))
	}
	t.rise[position], t.fall[position], t.steep[position], t.reach[position], t.loops[position] = rise, fall, steep, reach, loops
}

// moment is that of a spring at a position and grid point: N m on the swing, or its
// share where that is what is known.
func (p *Problem) moment(g *grid, position int, f placement, k int) float64 {
	if p.Shares != nil {
		return p.Shares.at(f.spring, position)[k]
	}
	return g.posts[position][f.post].moment(&p.Drawer.Springs[f.spring].Spring, k)
}

// leastStep is the smallest rise from one grid point to the next. A jump upwards
// at a take-up is no step.
func (g *grid) leastStep(row []float64) float64 {
	least := math.Inf(1)
	for k := 1; k < len(g.phi); k++ {
		if step := row[k] - row[k-1]; step < least && (step < 0 || g.phi[k] > g.phi[k-1]) {
			least = step
		}
	}
	return least
}

// bears returns the advance in crank degrees up to which the spring's wire
// bears its pull, infinite where it is not known or never too much.
func (g *grid) bears(post *reach, part *SpringPart) float64 {
	if part.MaxTension == 0 {
		return math.Inf(1)
	}
	before := 0.0
	for k := range g.phi {
		pull := post.tension(&part.Spring, k)
		if pull > part.MaxTension {
			if k == 0 || !(pull > before) {
				return g.theta[k]
			}
			f := max(0, (part.MaxTension-before)/(pull-before))
			return g.theta[k-1] + f*(g.theta[k]-g.theta[k-1])
		}
		before = pull
	}
	return math.Inf(1)
}

// addTravels appends the values at the travel settings to a row.
func (g *grid) addTravels(row []float64) {
	for j, k := range g.cell {
		row[g.fill+j] = row[k] + g.part[j]*(row[k+1]-row[k])
	}
}
