package recipes

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
)

// Shares are parts known by what they do instead of by what they are: what each kind
// of spring adds to the squared engine speed at which the mechanism balances, over
// mechanical advance, with a reference set of weights. Moments of springs add and
// weights divide, so
//
//	n^2(angle) = [sum of the springs' shares + drag] / factor of the weights
//
// and readings alone, without a dimension of the mechanism, give all of it: package
// advance/readings/learned fits such tables to runs. Between angles it goes in
// straight lines.
type Shares struct {
	// Angles are crank degrees of mechanical advance, from 0 to the largest travel or
	// beyond, never falling: where a spring is taken up an angle stands twice, before
	// and after the jump.
	Angles []float64
	// Springs are rpm^2 of the engine, 0 or more: for each kind of the drawer one row
	// over the angles where all positions are alike, else one for each position.
	Springs [][][]float64
	Weights [][]float64 // moment of each set of the drawer over that of the reference, more than 0, over the angles
	Drag    []float64   // rpm^2 that is there with any springs; nil for none
}

// checkShares refuses tables that are no numbers, or not as many as there are parts.
func (p *Problem) checkShares() error {
	if p.Shares == nil {
		return nil
	}
	if p.Mechanism.Friction != (flyweights.Friction{}) {
		return refuse("mechanism has friction beside parts given as shares, valid is none: it lies within the shares")
	}
	for i := range p.Positions {
		if n := len(p.Positions[i].Posts); n != 1 {
			return refuse("position %d has %d posts beside parts given as shares, valid is 1", i+1, n)
		}
	}
	for i := range p.Drawer.Springs {
		if p.Drawer.Springs[i].MaxTension != 0 {
			return refuse("spring %d has a largest tension beside parts given as shares, which know no tension", i+1)
		}
	}
	if err := p.checkOneShare("shares", p.Shares); err != nil {
		return err
	}
	for i := range p.ShareDraws {
		if err := p.checkOneShare(fmt.Sprintf("draw %d of shares", i+1), &p.ShareDraws[i]); err != nil {
			return err
		}
	}
	return nil
}

// mostAngles keeps a table to what a search can hold.
const mostAngles = 4097

func (p *Problem) checkOneShare(name string, s *Shares) error {
	if err := p.checkAngles(name, s.Angles); err != nil {
		return err
	}
	if len(s.Springs) != len(p.Drawer.Springs) || len(s.Weights) != len(p.Drawer.Weights) {
		return refuse("%s hold %d springs and %d weights, valid is those of the drawer: %d and %d", name, len(s.Springs), len(s.Weights), len(p.Drawer.Springs), len(p.Drawer.Weights))
	}
	for i, rows := range s.Springs {
		if len(rows) != 1 && len(rows) != len(p.Positions) {
			return refuse("spring %d of %s has %d rows, valid is 1 or one for each of %d positions", i+1, name, len(rows), len(p.Positions))
		}
		for _, x := range rows {
			if err := s.checkRow(fmt.Sprintf("spring %d", i+1), name, x, 0); err != nil {
				return err
			}
		}
	}
	for i, x := range s.Weights {
		if err := s.checkRow(fmt.Sprintf("weights %d", i+1), name, x, 1e-6); err != nil {
			return err
		}
	}
	if s.Drag == nil {
		return nil
	}
	return s.checkRow("drag", name, s.Drag, 0)
}

// checkAngles refuses angles that do not rise from 0 to the largest travel, none more
// than twice: a jump stands at two equal ones.
func (p *Problem) checkAngles(name string, angles []float64) error {
	n := len(angles)
	if n < 2 || n > mostAngles {
		return outOfRange("angles of "+name, float64(n), "", fmt.Sprintf("2 to %d", mostAngles))
	}
	for k, a := range angles {
		if a >= 0 && a <= 180 && (k == 0 || a > angles[k-1]) {
			continue
		}
		if err := within(fmt.Sprintf("angle %d of %s", k+1, name), a, "deg crank", 0, 180); err != nil {
			return err
		}
		if k > 0 && a < angles[k-1] || k > 1 && a == angles[k-2] || k == 1 && a == 0 {
			return outOfRange(fmt.Sprintf("angle %d of %s", k+1, name), a, "deg crank", "no less than the one before, and no angle more than twice, the first once")
		}
	}
	if angles[0] != 0 {
		return outOfRange("first angle of "+name, angles[0], "deg crank", "0")
	}
	if !(angles[n-1] >= p.Travel.High*(1-1e-12)) || angles[n-1] == angles[n-2] {
		return outOfRange("last angle of "+name, angles[n-1], "deg crank", fmt.Sprintf("the largest travel of %.6g or more, once", p.Travel.High))
	}
	return nil
}

// mostShare bounds the values of a table.
const mostShare = 1e12

// checkRow refuses a row that has not one value from lo for each angle.
func (s *Shares) checkRow(what, name string, x []float64, lo float64) error {
	if len(x) != len(s.Angles) {
		return refuse("%s of %s has %d values, valid is one for each of %d angles", what, name, len(x), len(s.Angles))
	}
	for k, v := range x {
		if v >= lo && v <= mostShare {
			continue // the name of a value is made only where it is refused: draws hold many
		}
		if err := within(fmt.Sprintf("%s of %s at angle %d", what, name, k+1), v, "", lo, mostShare); err != nil {
			return err
		}
	}
	return nil
}

// at is the row of a spring at a position.
func (s *Shares) at(spring, position int) []float64 {
	rows := s.Springs[spring]
	return rows[min(position, len(rows)-1)]
}

// drag is the drag at an angle.
func (s *Shares) drag(k int) float64 {
	if s.Drag == nil {
		return 0
	}
	return s.Drag[k]
}

// balance is omega^2 of a choice at each angle, rad^2/s^2 at the distributor shaft.
func (s *Shares) balance(p *Problem, c Choice) []float64 {
	unit := p.Drive.Omega(1)
	y := make([]float64, len(s.Angles))
	for k := range y {
		sum := s.drag(k)
		for i, n := range c.Springs {
			if n >= 0 {
				sum += s.at(n, i)[k]
			}
		}
		y[k] = sum * unit * unit / s.Weights[c.Weights][k]
	}
	return y
}

// alike reports whether two positions do the same to every spring.
func (s *Shares) alike(i, j int) bool {
	for n := range s.Springs {
		a, b := s.at(n, i), s.at(n, j)
		for k := range a {
			if a[k] != b[k] {
				return false
			}
		}
	}
	return true
}

// shareGrid is the grid of a problem whose parts are given as shares: the swing is
// the advance itself, in rad at the distributor shaft.
func (p *Problem) shareGrid() *grid {
	g := &grid{theta: p.Shares.Angles, same: make([]int, len(p.Positions)), slope: make([]float64, len(p.Shares.Angles))}
	for _, a := range g.theta {
		g.phi = append(g.phi, p.Drive.ShaftRadians(a))
	}
	for i := range p.Positions {
		g.same[i] = i
		for j := range i {
			if g.same[j] == j && p.Positions[i].Empty == p.Positions[j].Empty && p.Shares.alike(i, j) {
				g.same[i] = j
				break
			}
		}
	}
	g.pad()
	g.place(p.travels())
	return g
}

// learned draws the curve of a choice whose parts are given as shares, and says where
// its table bends.
func (p *Problem) learned(c Choice, travel float64) (*flyweights.Curve, error) {
	if err := p.checkChoice(c); err != nil {
		return nil, err
	}
	s := p.Shares
	last := s.Angles[len(s.Angles)-1]
	if !(travel > 0 && travel <= last*(1+1e-9)) {
		return nil, outOfRange("travel", travel, "deg crank", fmt.Sprintf("more than 0 and at most %.6g, the last angle of the shares", last))
	}
	y := s.balance(p, c)
	deg := p.Drive.CrankDegrees(1)
	return flyweights.Trace(nil, p.Drive.ShaftRadians(min(travel, last)), func(phi float64) flyweights.Moments {
		at, slope := s.line(y, deg*phi)
		return flyweights.Moments{Weights: 1, Restore: at, DRestore: slope * deg, Theta: phi, DTheta: 1}
	})
}

// line reads a row at an advance, and its slope per crank degree.
func (s *Shares) line(y []float64, angle float64) (value, slope float64) {
	k, _ := cellOf(s.Angles, angle)
	slope = (y[k+1] - y[k]) / (s.Angles[k+1] - s.Angles[k])
	return y[k] + slope*(angle-s.Angles[k]), slope
}

// bendsAt are the engine speeds at which a choice given as shares may bend: where its
// table has an angle.
func (p *Problem) bendsAt(c Choice) []float64 {
	if p.Shares == nil {
		return nil
	}
	y := p.Shares.balance(p, c)
	for k := range y {
		y[k] = min(p.Drive.RPM(math.Sqrt(max(0, y[k]))), maxSpeed)
	}
	return y
}
