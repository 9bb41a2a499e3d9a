package learned

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// Determination says whether runs determine the curve of a combination.
type Determination struct {
	Determined bool
	// From and To are the crank degrees of advance between which the readings
	// determine it.
	From, To float64
	// Factor is the standard error of the logarithm of its squared speed, against
	// that of one run; 0 where it is not determined.
	Factor float64
	// Propose lists runs that would each determine it, best first: with the smallest
	// factor, then with the most other combinations determined. The last is always the
	// combination itself.
	Propose []Combination
}

// determine says by the names of the parts alone whether runs determine a
// combination. It asks for the rank of the runs' equations
//
//	ln n^2 = ln(sum of shares) - ln(weights)
//
// in the logarithms of shares and weights, linear about one angle: what lies in their
// null space no reading shows (Golub and Van Loan, Matrix Computations, 4th edition
// 2013, section 2.4). Weights on the scale are an equation of their own. The error
// compares runs of equal worth with shares of equal size. It refuses combinations
// without a spring.
func determine(runs []Combination, want Combination, s *Settings) (Determination, error) {
	set, err := s.resolved()
	if err != nil {
		return Determination{}, err
	}
	for _, c := range append(slices.Clone(runs), want) {
		if err := c.check(); err != nil {
			return Determination{}, err
		}
	}
	d := newDesign(runs, want, &set)
	out := Determination{}
	out.Determined, out.Factor = d.determines(runs, want)
	if !out.Determined {
		out.Propose = d.propose(runs, want, nil)
	}
	return out, nil
}

// design names the unknowns: shares, drag where the number of springs varies, and
// sets of weights. One factor on all of them changes nothing and needs no reference.
type design struct {
	set     *Settings
	columns []column
	drag    bool
	weights []string
	weighed []int // sets on the scale
}

func newDesign(runs []Combination, want Combination, s *Settings) *design {
	d := &design{set: s}
	fitted := count(want.Springs)
	for _, c := range append(slices.Clone(runs), want) {
		d.drag = d.drag || count(c.Springs) != fitted
		for p, kind := range c.Springs {
			if kind != "" {
				if col := d.column(kind, p); !slices.Contains(d.columns, col) {
					d.columns = append(d.columns, col)
				}
			}
		}
		if !slices.Contains(d.weights, c.Weights) {
			d.weights = append(d.weights, c.Weights)
		}
	}
	for i, name := range d.weights {
		if _, ok := s.Masses[name]; ok {
			d.weighed = append(d.weighed, i)
		}
	}
	return d
}

func (d *design) column(kind string, place int) column {
	if d.set.PlacesDiffer {
		return column{kind, place}
	}
	return column{kind, anyPlace}
}

func (d *design) size() int {
	n := len(d.columns) + len(d.weights)
	if d.drag {
		n++
	}
	return n
}

// row is the derivative of ln n^2 of a combination. With equal shares it serves the
// error, with unequal ones the rank, which must not owe anything to an accident.
func (d *design) row(c Combination, equal bool) []float64 {
	row := make([]float64, d.size())
	size := func(k int) float64 {
		if equal {
			return 1
		}
		_, part := math.Modf(float64(k+1) * (math.Sqrt(5) - 1) / 2)
		return 0.7 + 0.6*part
	}
	sum := 0.0
	for p, kind := range c.Springs {
		if kind == "" {
			continue
		}
		k := slices.Index(d.columns, d.column(kind, p))
		row[k] += size(k)
		sum += size(k)
	}
	if d.drag {
		row[d.size()-1] = 0.1
		sum += 0.1
	}
	for k := range row {
		row[k] /= sum
	}
	row[len(d.columns)+slices.Index(d.weights, c.Weights)] = -1
	return row
}

// matrix stacks the runs and what the scale says. The scale counts as one run.
func (d *design) matrix(runs []Combination, equal bool) *mat.Dense {
	n := d.size()
	var rows []float64
	for _, c := range runs {
		rows = append(rows, d.row(c, equal)...)
	}
	for i := 1; i < len(d.weighed); i++ {
		row := make([]float64, n)
		row[len(d.columns)+d.weighed[i-1]], row[len(d.columns)+d.weighed[i]] = 1, -1
		rows = append(rows, row...)
	}
	for len(rows) < n*n { // the decomposition wants the whole null space
		rows = append(rows, 0)
	}
	return mat.NewDense(len(rows)/n, n, rows)
}

// rankTol is the share of the largest singular value below which one is zero.
const rankTol = 1e-6

func (d *design) determines(runs []Combination, want Combination) (bool, float64) {
	if len(runs) == 0 {
		return false, 0
	}
	for _, equal := range []bool{false, true} {
		var svd mat.SVD
		if !svd.Factorize(d.matrix(runs, equal), mat.SVDThin) {
			return false, 0
		}
		values := svd.Values(nil)
		var v mat.Dense
		svd.VTo(&v)
		t := d.row(want, equal)
		outside, factor := 0.0, 0.0
		for j, s := range values {
			dot := 0.0
			for i := range t {
				dot += t[i] * v.At(i, j)
			}
			if s <= rankTol*values[0] {
				outside += dot * dot
			} else {
				factor += dot * dot / (s * s)
			}
		}
		if math.Sqrt(outside) > rankTol {
			return false, 0
		}
		if equal {
			return true, math.Sqrt(factor)
		}
	}
	return false, 0
}

// propose lists single runs that would determine a combination. Those for which
// loose is true cannot be run.
func (d *design) propose(runs []Combination, want Combination, loose func(Combination) bool) []Combination {
	type proposal struct {
		c      Combination
		factor float64
		serves int
	}
	var all []proposal
	options := d.candidates(want)
	for _, c := range options {
		if c.String() == want.String() || loose != nil && loose(c) {
			continue
		}
		with := append(slices.Clone(runs), c)
		ok, factor := d.determines(with, want)
		if !ok {
			continue
		}
		p := proposal{c: c, factor: factor}
		for _, other := range options {
			if yes, _ := d.determines(with, other); yes {
				p.serves++
			}
		}
		all = append(all, p)
	}
	slices.SortStableFunc(all, func(a, b proposal) int {
		switch {
		case math.Abs(a.factor-b.factor) > 1e-9 && a.factor < b.factor:
			return -1
		case math.Abs(a.factor-b.factor) > 1e-9:
			return 1
		}
		return b.serves - a.serves
	})
	var out []Combination
	for _, p := range all {
		out = append(out, p.c)
	}
	return append(out, want)
}

// mostCandidates bounds the runs that are tried as proposals.
const mostCandidates = 200

// candidates lists the combinations of at most two kinds with each set of weights, at
// the stop that is wanted.
func (d *design) candidates(want Combination) []Combination {
	var kinds []string
	for _, c := range d.columns {
		if !slices.Contains(kinds, c.kind) {
			kinds = append(kinds, c.kind)
		}
	}
	places := len(want.Springs)
	var out []Combination
	add := func(springs []string) {
		for _, w := range d.weights {
			c := Combination{Springs: springs, Weights: w, Stop: want.Stop}
			known := true
			for p, kind := range springs {
				known = known && (kind == "" || slices.Contains(d.columns, d.column(kind, p)))
			}
			if known && len(out) < mostCandidates && !slices.ContainsFunc(out, func(o Combination) bool { return o.String() == c.String() }) {
				out = append(out, c)
			}
		}
	}
	for _, a := range kinds {
		add(slices.Repeat([]string{a}, places))
	}
	for _, a := range kinds {
		for _, b := range kinds {
			if a == b {
				continue
			}
			for n := 1; n < places; n++ {
				if d.set.PlacesDiffer || a < b {
					add(append(slices.Repeat([]string{a}, n), slices.Repeat([]string{b}, places-n)...))
				}
			}
		}
	}
	return out
}

// sentence says in words what to do.
func (d *Determination) sentence(want Combination) string {
	if d.Determined {
		return fmt.Sprintf("The runs determine %s.", want)
	}
	names := make([]string, 0, 2)
	for _, c := range d.Propose {
		if len(names) < 2 {
			names = append(names, c.String())
		}
	}
	return fmt.Sprintf("The runs do not determine %s. Take a run with %s.", want, strings.Join(names, ", or with "))
}
