package fuzzing

import (
	"context"
	"sync/atomic"
)

// Steps is a context that ends after so many questions whether it has, so that a long
// call is cut at the same place on every machine.
func Steps(n int64) context.Context {
	s := steps{context.Background(), new(atomic.Int64), make(chan struct{})}
	s.left.Store(n)
	return s
}

type steps struct {
	context.Context
	left *atomic.Int64
	done chan struct{}
}

func (s steps) Done() <-chan struct{} { return s.done }

func (s steps) Err() error {
	left := s.left.Add(-1)
	if left == 0 {
		close(s.done)
	}
	if left > 0 {
		return nil
	}
	return context.Canceled
}
