package gas

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// standard is the pressure to which the entropies of the fits belong, Pa.
const standard = 1e5

// Mixture is the number of atoms of each element in one kilogram of gas: all that
// the equilibrium remembers of a charge. Make one with [Frozen.Mixture].
type Mixture struct{ atoms atoms } // mol/kg

const (
	lowestState, highestState = 250.0, highest
	lowestPascal              = 1.0
	highestPascal             = 1e9
)

func checkState(kelvin, pascal float64) error {
	if !inside(kelvin, lowestState, highestState) {
		return outOfRange("temperature", kelvin, "K", "250 to 6000 K")
	}
	if !inside(pascal, lowestPascal, highestPascal) {
		return outOfRange("pressure", pascal, "Pa", "1 to 1e9 Pa")
	}
	return nil
}

// Equilibrium returns the state of least Gibbs energy at a temperature in K (250
// to 6000) and pressure in Pa (1 to 1e9). It refuses a mixture without atoms.
func (m Mixture) Equilibrium(kelvin, pascal float64) (State, error) {
	if err := checkState(kelvin, pascal); err != nil {
		return State{}, err
	}
	s, err := newSolver(m)
	if err != nil {
		return State{}, err
	}
	return s.solve(kelvin, pascal)
}

// Compositions returns, for every pressure in Pa and then every temperature in K, the
// equilibrium gas as one that no longer reacts. Ranges as [Mixture.Equilibrium]. Each
// temperature starts from the composition of the one before it.
func (m Mixture) Compositions(kelvin, pascal []float64) ([][]Frozen, error) {
	solve, err := newSolver(m)
	if err != nil {
		return nil, err
	}
	grid := make([][]Frozen, len(pascal))
	for j, p := range pascal {
		solve.reset()
		for _, t := range kelvin {
			if err := checkState(t, p); err != nil {
				return nil, err
			}
			f, err := solve.composition(t, p)
			if err != nil {
				return nil, err
			}
			grid[j] = append(grid[j], f)
		}
	}
	return grid, nil
}

// composition returns the equilibrium gas at a temperature and pressure as one that
// no longer reacts.
func (s *solver) composition(t, p float64) (Frozen, error) {
	st, err := s.solve(t, p)
	if err != nil {
		return Frozen{}, err
	}
	parts := make([]Part, len(products))
	for j, n := range st.Moles {
		parts[j] = Part{products[j], n}
	}
	return Mix(parts...)
}

// solver is Newton's method on the element potentials pi and the total amount n:
// S. Gordon, B. J. McBride, NASA RP-1311 part I (1994), section 2.3, eqs. (2.18),
// (2.24), (2.26) and the step control of section 3.3. It keeps the last
// composition as the next guess.
type solver struct {
	mixture  Mixture
	rows     []int // elements present
	species  []int // products made of those elements only
	ln       [len(products)]float64
	total    float64
	cp, h, g [len(products)]float64 // cp/R, h/RT, mu/RT
	a        *mat.Dense
	b, x     *mat.VecDense
	lu       mat.LU
}

func newSolver(m Mixture) (*solver, error) {
	s := &solver{mixture: m}
	for k, b := range m.atoms {
		if b > 0 {
			s.rows = append(s.rows, k)
		}
	}
	for j, p := range products {
		possible := true
		for k, a := range p.atoms {
			possible = possible && (a == 0 || m.atoms[k] > 0)
		}
		if possible {
			s.species = append(s.species, j)
		}
	}
	if len(s.species) == 0 || len(s.rows) == 0 {
		return nil, outOfRange("atoms of the mixture", 0, "mol/kg", "more than 0")
	}
	size := len(s.rows) + 1
	s.a, s.b, s.x = mat.NewDense(size, size, nil), mat.NewVecDense(size, nil), mat.NewVecDense(size, nil)
	s.reset()
	return s, nil
}

// reset starts from equal amounts of every product, 0.1 kmol/kg in all as the
// report recommends.
func (s *solver) reset() {
	s.total = 100
	for _, j := range s.species {
		s.ln[j] = math.Log(s.total / float64(len(s.species)))
	}
}

const trace = -18.420681 // ln 1e-8: below this share a species may move freely

func (s *solver) solve(t, p float64) (State, error) {
	lnp := math.Log(p / standard)
	for _, j := range s.species {
		var e float64
		s.cp[j], s.h[j], e = products[j].reduced(t)
		s.g[j] = s.h[j] - e + lnp
	}
	for iteration := 0; iteration < 200; iteration++ {
		s.fill()
		s.lu.Factorize(s.a)
		if err := s.lu.SolveVecTo(s.x, false, s.b); err != nil {
			if _, ok := err.(mat.Condition); !ok {
				return State{}, fmt.Errorf("%w at %.6g K, %.6g Pa: %v", errConvergence, t, p, err)
			}
		}
		if s.step() {
			return s.state(t, p)
		}
	}
	return State{}, fmt.Errorf("%w at %.6g K, %.6g Pa", errConvergence, t, p)
}

// fill writes the reduced system of eqs. (2.24) and (2.26).
func (s *solver) fill() {
	last := len(s.rows)
	s.a.Zero()
	for r, k := range s.rows {
		s.b.SetVec(r, s.mixture.atoms[k])
	}
	sum, weighted := 0.0, 0.0
	lnTotal := math.Log(s.total)
	for _, j := range s.species {
		n := math.Exp(s.ln[j])
		mu := s.g[j] + s.ln[j] - lnTotal
		sum += n
		weighted += n * mu
		at := &products[j].atoms
		for r, k := range s.rows {
			if at[k] == 0 {
				continue
			}
			s.b.SetVec(r, s.b.AtVec(r)+at[k]*n*(mu-1))
			s.a.Set(r, last, s.a.At(r, last)+at[k]*n)
			for c, l := range s.rows {
				s.a.Set(r, c, s.a.At(r, c)+at[k]*at[l]*n)
			}
		}
	}
	for r := range s.rows {
		s.a.Set(last, r, s.a.At(r, last))
	}
	s.a.Set(last, last, sum-s.total)
	s.b.SetVec(last, s.total-sum+weighted)
}

// step applies one damped correction and reports whether nothing moved any more.
func (s *solver) step() bool {
	last := len(s.rows)
	dTotal := s.x.AtVec(last)
	lnTotal := math.Log(s.total)
	largest, second := 5*math.Abs(dTotal), 1.0
	var d [len(products)]float64
	for _, j := range s.species {
		share := s.ln[j] - lnTotal
		d[j] = dTotal - (s.g[j] + share)
		for r, k := range s.rows {
			d[j] += products[j].atoms[k] * s.x.AtVec(r)
		}
		if share > trace {
			largest = math.Max(largest, math.Abs(d[j]))
		} else if d[j] > 0 {
			// A trace species may not grow past a share of 1e-4 in one step.
			second = math.Min(second, math.Abs((-share-9.2103404)/(d[j]-dTotal)))
		}
	}
	lambda := math.Min(math.Min(1, 2/math.Max(largest, 1e-300)), second)
	moved, sum := math.Abs(dTotal)*s.total, 0.0
	for _, j := range s.species {
		n := math.Exp(s.ln[j])
		sum += n
		moved = math.Max(moved, n*math.Abs(d[j]))
		s.ln[j] = math.Max(s.ln[j]+lambda*d[j], -200)
	}
	s.total *= math.Exp(lambda * dTotal)
	return moved <= 1e-11*sum
}

// state reads the settled composition and the derivatives of the equilibrium
// (RP-1311 part I, section 2.5, eqs. 2.50 to 2.59).
func (s *solver) state(t, p float64) (State, error) {
	last := len(s.rows)
	st := State{T: t, P: p}
	s.fill()
	lnTotal := math.Log(s.total)
	frozen, heat, own := 0.0, 0.0, 0.0
	var heatRows, amountRows [elements]float64
	for _, j := range s.species {
		n := math.Exp(s.ln[j])
		st.Moles[j] = n
		st.R += n * R
		st.H += n * R * t * s.h[j]
		st.S += n * R * (s.h[j] - (s.g[j] + s.ln[j] - lnTotal))
		frozen += n * s.cp[j]
		heat += n * s.h[j]
		own += n * s.h[j] * s.h[j]
		for r, k := range s.rows {
			heatRows[r] += products[j].atoms[k] * n * s.h[j]
			amountRows[r] += products[j].atoms[k] * n
		}
	}
	s.lu.Factorize(s.a)
	// Against ln T: the right-hand side is minus the enthalpies.
	for r := range s.rows {
		s.b.SetVec(r, -heatRows[r])
	}
	s.b.SetVec(last, -heat)
	if err := s.lu.SolveVecTo(s.x, false, s.b); err != nil {
		if _, ok := err.(mat.Condition); !ok {
			return State{}, fmt.Errorf("%w at %.6g K, %.6g Pa: %v", errConvergence, t, p, err)
		}
	}
	st.dlnVdlnT = 1 + s.x.AtVec(last)
	cp := frozen + own + heat*s.x.AtVec(last)
	for r := range s.rows {
		cp += heatRows[r] * s.x.AtVec(r)
	}
	st.Cp = cp * R
	// Against ln p: the right-hand side is the amounts.
	for r := range s.rows {
		s.b.SetVec(r, amountRows[r])
	}
	s.b.SetVec(last, st.R/R)
	if err := s.lu.SolveVecTo(s.x, false, s.b); err != nil {
		if _, ok := err.(mat.Condition); !ok {
			return State{}, fmt.Errorf("%w at %.6g K, %.6g Pa: %v", errConvergence, t, p, err)
		}
	}
	st.dlnVdlnP = -1 + s.x.AtVec(last)
	return st, nil
}
