package recipes

// changes counts the parts that a combination changes against what is in the
// distributor now: springs or their posts, the set of weights, the slot. Static
// timing is set anyway and costs no part.
type changes struct {
	present []placement
	weights int
	same    []int
}

// newChanges returns nil where nothing is known of the present parts.
func newChanges(p *Problem, same []int) *changes {
	if p.Present == nil {
		return nil
	}
	c := &changes{weights: p.Present.Weights, same: same}
	for i, s := range p.Present.Springs {
		f := placement{s, p.Present.Posts[i]}
		if s < 0 {
			f.post = 0
		}
		c.present = append(c.present, f)
	}
	return c
}

// parts counts changed springs and weights. Among mirror positions only which
// springs are there matters, not where.
func (c *changes) parts(fits func(position int) placement, weights int) int {
	if c == nil {
		return 0
	}
	n := len(c.present)
	var used [maxPositions]bool
	for i := range c.present {
		f := fits(i)
		for j, was := range c.present {
			if !used[j] && c.same[i] == c.same[j] && was == f {
				used[j] = true
				n--
				break
			}
		}
	}
	if weights != c.weights {
		n++
	}
	return n
}
