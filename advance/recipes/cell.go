package recipes

import "sort"

// cellOf returns the cell of a rising table in which x lies, by the place of its lower
// end, and how far into it x lies as a share: the lower cell at a point, the one before
// the jump where the table names a point twice, an outer one for an x beyond the table.
func cellOf(table []float64, x float64) (cell int, part float64) {
	k := min(max(sort.SearchFloat64s(table, x), 1), len(table)-1)
	for k > 1 && table[k] == table[k-1] {
		k--
	}
	return k - 1, (x - table[k-1]) / (table[k] - table[k-1])
}
