package knock

import (
	"context"

	"example.org/bobweight/springs/workers"
)

// Each answers for many running points, in their order, on all processors. It stops
// with the context and tells progress, if given, how many are done; progress is
// never called by two goroutines at once.
func (m *Model) Each(ctx context.Context, conditions []Condition, progress func(done, total int)) ([]SparkRequirement, error) {
	wants := make([]SparkRequirement, len(conditions))
	err := parallel(ctx, len(conditions), progress, func(i int) (err error) {
		wants[i], err = m.SparkRequirement(conditions[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return wants, nil
}

// parallel runs work for 0 to n-1 on all processors.
func parallel(ctx context.Context, n int, progress func(done, total int), work func(i int) error) error {
	return workers.Pool{Progress: progress}.Each(ctx, n, work)
}
