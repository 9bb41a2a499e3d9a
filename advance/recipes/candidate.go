package recipes

import (
	"cmp"
	"slices"
	"sort"
)

// candidate is a recipe inside the search: indices and its place in the order.
type candidate struct {
	first, second float64 // objectives in the order of the ranking
	changed       int
	weights       int
	springs       [maxPositions]int32
	posts         [maxPositions]int32
	travel        int // index of the setting
	static        int
}

// compare is a total order: better objectives, fewer changes, then the parts as
// the drawer names them. Two candidates never tie, so the best list does not
// depend on the order in which they are found.
func (a *candidate) compare(b *candidate) int {
	if c := cmp.Or(cmp.Compare(a.first, b.first), cmp.Compare(a.second, b.second), cmp.Compare(a.changed, b.changed), cmp.Compare(a.weights, b.weights)); c != 0 {
		return c
	}
	return cmp.Or(slices.Compare(a.springs[:], b.springs[:]), slices.Compare(a.posts[:], b.posts[:]),
		cmp.Compare(a.travel, b.travel), cmp.Compare(a.static, b.static))
}

// choice returns the parts of a candidate.
func (a *candidate) choice(positions int) Choice {
	c := Choice{Springs: make([]int, positions), Posts: make([]int, positions), Weights: a.weights}
	for i := range positions {
		c.Springs[i], c.Posts[i] = int(a.springs[i]), int(a.posts[i])
	}
	return c
}

// best keeps the first few candidates in order.
type best struct {
	limit int
	list  []candidate
}

// worst returns the objective that a candidate must not exceed to be kept.
func (b *best) full() bool { return len(b.list) == b.limit }

func (b *best) add(c *candidate) {
	if b.full() && c.compare(&b.list[b.limit-1]) >= 0 {
		return
	}
	i := sort.Search(len(b.list), func(i int) bool { return c.compare(&b.list[i]) < 0 })
	if b.full() {
		b.list = b.list[:b.limit-1]
	}
	b.list = slices.Insert(b.list, i, *c)
}
