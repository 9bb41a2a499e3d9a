package readings

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// questions are the intervals asked of one fit. None depends on another, so the
// processors share them, each with working memory of its own; the answers are the
// same whoever gives them.
type questions []question

type question struct {
	into *Estimate
	ask  func(e *ensemble) Estimate
}

func (q *questions) interval(into *Estimate, of figure) {
	*q = append(*q, question{into, func(e *ensemble) Estimate { return e.interval(of) }})
}

func (q *questions) within(into *Estimate, of figure, least, most float64) {
	*q = append(*q, question{into, func(e *ensemble) Estimate { return e.within(of, least, most) }})
}

func (q *questions) atMost(into *Estimate, of figure) {
	*q = append(*q, question{into, func(e *ensemble) Estimate { return e.atMost(of) }})
}

func (q *questions) atLeast(into *Estimate, of figure) {
	*q = append(*q, question{into, func(e *ensemble) Estimate { return e.atLeast(of) }})
}

// answer finds them all.
func (q questions) answer(e *ensemble) {
	var next atomic.Int64
	work := func(e *ensemble) {
		for k := int(next.Add(1)) - 1; k < len(q); k = int(next.Add(1)) - 1 {
			*q[k].into = q[k].ask(e)
		}
	}
	var others sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(q)) - 1 {
		c := e.clone()
		others.Go(func() { work(c) })
	}
	work(e)
	others.Wait()
}
