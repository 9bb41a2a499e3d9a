package recipes

import (
	"time"
)

// mostChoices bounds a search to some minutes.
const mostChoices = 2e8

// choicesOf counts the ways to put parts in, pieces of each kind without end: for
// positions that are alike only which springs hang there counts, not where.
func (p *Problem) choicesOf() float64 {
	count := float64(len(p.Drawer.Weights))
	alike := map[int]int{}
	for _, first := range p.mirrors(0) {
		alike[first]++
	}
	for first, n := range alike {
		fits := len(p.Drawer.Springs) * len(p.Positions[first].Posts)
		if p.Positions[first].Empty {
			fits++
		}
		for i := range n {
			count *= float64(fits+i) / float64(i+1)
		}
	}
	return count
}

// checkSize refuses what would take hours.
func (p *Problem) checkSize() error {
	if n := p.choicesOf(); !(n <= mostChoices) {
		return outOfRange("number of ways to put parts in", n, "ways", "at most 2e+08: leave out kinds that cannot serve, or positions")
	}
	return nil
}

// Estimate says before a search how many ways to put parts in it has to try, and
// about how many seconds it will take here: it tries some of them, for a hundredth
// of a second or so. The count is a bound where there are few pieces of a kind. The
// seconds are those of going through all once; a drawer of hundreds of parts that hardly
// differ is gone through up to eight times, until the best are told apart.
// Errors are those of [Search].
func (p *Problem) Estimate(s *Settings) (choices, seconds float64, err error) {
	if s == nil {
		s = &Settings{}
	}
	if err := firstOf(p.check(), s.check()); err != nil {
		return 0, 0, err
	}
	if err := p.checkSize(); err != nil {
		return 0, 0, err
	}
	choices = p.choicesOf()
	q := newPlan(p, s, 0, 0)
	w := newScan(q, s, s.keep())
	begin := time.Now()
	if err := w.load(0); err != nil {
		return 0, 0, err
	}
	load := time.Since(begin)
	if q.reachable[1] == 0 {
		return choices, 0, nil
	}
	begin = time.Now()
	const enough = 10 * time.Millisecond
	stop := func() bool { return time.Since(begin) > enough }
	for i, t := 0, newTasks(p); i < t.perWeights && !stop(); i++ {
		if err := w.task(t, i, stop); err != nil {
			return 0, 0, err
		}
	}
	each := time.Since(begin).Seconds() / float64(max(w.seen, 1))
	workers := float64(s.workers())
	return choices, (choices*each)/workers + float64(len(p.Drawer.Weights))*load.Seconds(), nil
}
