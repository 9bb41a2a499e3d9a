// Package workers shares independent pieces of work out to goroutines.
//
// What comes out does not depend on how many there are: every piece has its own
// number, its result stands at its own place, and of several errors the one of
// the lowest number is returned. The package holds no physics.
package workers

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"example.org/bobweight/springs/valid"
)

// errNil is returned where a context or a function is nil.
var errNil = errors.New("workers: the context, the work or the maker of states is nil")

// most bounds the pieces of one call: each has a place among the results.
const most = 1 << 24

// check refuses work that is missing or has no end.
func check(n int, given bool) error {
	if !given {
		return errNil
	}
	if n > most {
		return fmt.Errorf("workers: %w: there are %d pieces of work, valid is at most %d", valid.ErrRange, n, most)
	}
	return nil
}

// Pool says how many goroutines share the work and who is told. The zero value
// is ready for use.
type Pool struct {
	// Workers is the number of goroutines, at most 4096; 0 or less stands for GOMAXPROCS.
	Workers int
	// Progress, if not nil, is told after every piece how many of all are done. It
	// is called by one goroutine at a time, with done rising by 1.
	Progress func(done, total int)
}

// Each calls work with 0 to n-1, each once. It returns nil when all are done.
// After an error no more pieces begin; those that have begun are awaited, and the
// error of the lowest number is returned: it is the same for any number of
// workers. When the context ends first, its cause is returned. n below 1 is no
// work; more than 2^24 pieces are refused.
func (p Pool) Each(ctx context.Context, n int, work func(i int) error) error {
	if work == nil {
		return errNil
	}
	_, err := With(ctx, p, n, func() struct{} { return struct{}{} }, func(_ struct{}, i int) error { return work(i) })
	return err
}

// Map is [Pool.Each] for work with a result. The results stand in the order of
// their numbers. With an error come those that were done, and zero values
// elsewhere.
func Map[T any](ctx context.Context, p Pool, n int, work func(i int) (T, error)) ([]T, error) {
	if err := check(n, work != nil); err != nil {
		return nil, err
	}
	results := make([]T, max(n, 0))
	err := p.Each(ctx, n, func(i int) (err error) {
		results[i], err = work(i)
		return err
	})
	return results, err
}

// With is [Pool.Each] for work that needs a state of its own, such as a buffer:
// each goroutine makes one with state and hands it to all its pieces. The states
// are returned for the caller to bring together. Which pieces a state has seen
// depends on the schedule; bring states together by sums of integers, by a
// comparison that knows no ties, or not at all.
func With[S any](ctx context.Context, p Pool, n int, state func() S, work func(s S, i int) error) ([]S, error) {
	if err := check(n, ctx != nil && state != nil && work != nil); err != nil {
		return nil, err
	}
	q := queue{pool: p, total: max(n, 0), failed: max(n, 0)}
	states := make([]S, min(p.workers(), q.total))
	run := func(k int) {
		states[k] = state()
		for i, ok := q.take(ctx); ok; i, ok = q.take(ctx) {
			q.done(i, work(states[k], i))
		}
	}
	var others sync.WaitGroup
	for k := 1; k < len(states); k++ {
		others.Go(func() { run(k) })
	}
	if len(states) > 0 {
		run(0)
	}
	others.Wait()
	return states, q.outcome(ctx)
}

func (p Pool) workers() int {
	if p.Workers <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return min(p.Workers, 4096)
}

// queue hands the numbers out in their order. So when one fails, all below it
// have begun, and the lowest that fails is known once those have ended.
type queue struct {
	pool     Pool
	total    int
	mu       sync.Mutex
	next     int
	finished int
	failed   int // lowest number that failed
	err      error
}

func (q *queue) take(ctx context.Context) (int, bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.err != nil || q.next >= q.total || ctx.Err() != nil {
		return 0, false
	}
	q.next++
	return q.next - 1, true
}

func (q *queue) done(i int, err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if err != nil {
		if i < q.failed {
			q.failed, q.err = i, err
		}
		return
	}
	q.finished++
	if q.pool.Progress != nil {
		q.pool.Progress(q.finished, q.total)
	}
}

func (q *queue) outcome(ctx context.Context) error {
	switch {
	case q.err != nil:
		return q.err
	case q.finished < q.total:
		return context.Cause(ctx)
	}
	return nil
}
