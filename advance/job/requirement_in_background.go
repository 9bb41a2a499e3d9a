package job

import (
	"context"
	"sync"

	"example.org/bobweight/knock"
	"example.org/bobweight/springs/workers"
)

// ahead is the engine's answer, asked for beside the stages before it: it rests on
// nothing but the file.
type ahead struct {
	wants *requirement
	err   error
	stop  context.CancelFunc
	ready chan struct{}
}

// askAhead begins to ask the engine. Whoever begins must call [ahead.end].
func (j *Job) askAhead(ctx context.Context) *ahead {
	a := &ahead{ready: make(chan struct{})}
	ctx, a.stop = context.WithCancel(ctx)
	go func() {
		defer close(a.ready)
		a.wants, a.err = j.sparkRequirement(ctx)
	}()
	return a
}

// end gives up what is not awaited, and comes back when nothing runs any more.
func (a *ahead) end() {
	a.stop()
	<-a.ready
}

// lightLoad remembers what an engine wants away from full load: that does not hang on
// the recipe, and each of their sheets asks it.
type lightLoad struct {
	mu   sync.Mutex
	told map[knock.Condition]told
}

// told is an answer of the engine model.
type told struct {
	want knock.SparkRequirement
	err  error
}

// at is what the engine wants at a running point.
func (a *requirement) at(c knock.Condition) (knock.SparkRequirement, error) {
	a.light.mu.Lock()
	one, ok := a.light.told[c]
	a.light.mu.Unlock()
	if ok {
		return one.want, one.err
	}
	one.want, one.err = a.model.SparkRequirement(c)
	a.light.mu.Lock()
	a.light.told[c] = one
	a.light.mu.Unlock()
	return one.want, one.err
}

// all asks at many running points at once, for [requirement.at] to find: a point that is
// refused is refused there.
func (a *requirement) all(ctx context.Context, list []knock.Condition) error {
	return workers.Pool{}.Each(ctx, len(list), func(i int) error { _, _ = a.at(list[i]); return nil })
}
