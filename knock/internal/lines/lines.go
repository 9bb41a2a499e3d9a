// Package lines interpolates linearly between the points of a table.
//
// Nothing is extrapolated: outside the table the strict form refuses and the
// clamped form gives the value at the end. The package holds no physics.
package lines

import (
	"fmt"
	"sort"

	"example.org/bobweight/springs/valid"
)

// errRange is wrapped where a table or an argument is refused.
var errRange = valid.Sentinel("lines")

// most is the largest size of a coordinate; differences cannot overflow.
const most = 1e300

// Table holds points whose first coordinates rise. Make one with [New].
type Table struct{ x, y []float64 }

// New makes a table from one point or more. The x must rise from each point to
// the next; x and y must be at most 1e300 in size. The slices are copied.
func New(x, y []float64) (*Table, error) {
	if len(x) == 0 || len(x) != len(y) {
		return nil, fmt.Errorf("%w: table has %d x and %d y, valid is one of each or more, of equal number", errRange, len(x), len(y))
	}
	for i := range x {
		if err := valid.Check(errRange,
			valid.Range{Field: fmt.Sprintf("x %d of the table", i+1), Value: x[i], From: -most, To: most},
			valid.Range{Field: fmt.Sprintf("y %d of the table", i+1), Value: y[i], From: -most, To: most}); err != nil {
			return nil, err
		}
		if i > 0 && !(x[i] > x[i-1]) {
			return nil, valid.Refuse(errRange, fmt.Sprintf("x %d of the table", i+1), x[i], "", fmt.Sprintf("more than the %.6g before it", x[i-1]))
		}
	}
	return &Table{append([]float64(nil), x...), append([]float64(nil), y...)}, nil
}

// ends returns the first and the last x.
func (t *Table) ends() (from, to float64) {
	if t.empty() {
		return 0, 0
	}
	return t.x[0], t.x[len(t.x)-1]
}

// Strict returns y at x. An x outside the table, NaN included, is refused.
func (t *Table) Strict(x float64) (float64, error) {
	if t.empty() {
		return 0, fmt.Errorf("%w: table has no points, valid is one made with New", errRange)
	}
	from, to := t.ends()
	if err := valid.Check(errRange, valid.Range{Field: "x", Value: x, From: from, To: to}); err != nil {
		return 0, err
	}
	return t.at(x), nil
}

// Clamped returns y at x, or at the nearer end for an x outside the table,
// infinities included. NaN is refused.
func (t *Table) Clamped(x float64) (float64, error) {
	from, to := t.ends()
	if x < from {
		x = from
	} else if x > to {
		x = to
	}
	return t.Strict(x)
}

func (t *Table) empty() bool { return t == nil || len(t.x) == 0 }

// at interpolates; x lies within the table. It gives the points' own y exactly.
func (t *Table) at(x float64) float64 {
	i := sort.SearchFloat64s(t.x, x)
	if t.x[i] == x {
		return t.y[i]
	}
	x0, x1, y0, y1 := t.x[i-1], t.x[i], t.y[i-1], t.y[i]
	y := y0 + (y1-y0)*((x-x0)/(x1-x0))
	return min(max(y, min(y0, y1)), max(y0, y1)) // rounding stays within the points
}
