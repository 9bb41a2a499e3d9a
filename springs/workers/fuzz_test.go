package workers

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// Whatever the numbers of pieces and of goroutines, and wherever a piece fails or the
// context ends: every piece that is done stands at its place, the error is that of the
// lowest that fails, and no piece is done twice.
func FuzzWorkers(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(10, 3, 5, -1)
	f.Add(-1, 0, 0, 0)
	f.Add(100, -7, 200, 50)
	f.Add(1, 1, 0, 0)
	f.Add(64, 1<<30, 63, 64)
	f.Fuzz(func(t *testing.T, n, goroutines, bad, stop int) {
		n, bad, stop = n%200, bad%200, stop%200
		ctx, cancel := context.WithCancelCause(t.Context())
		defer cancel(nil)
		ended, broken := errors.New("ended"), errors.New("broken")
		told := 0
		pool := Pool{Workers: goroutines, Progress: func(done, total int) {
			if told++; done != told || total != n {
				t.Errorf("told %d of %d after %d of %d", done, total, told-1, n)
			}
		}}
		times := make([]int, max(n, 0))
		got, err := Map(ctx, pool, n, func(i int) (string, error) {
			times[i]++
			if i == stop {
				cancel(ended)
			}
			if bad >= 0 && i >= bad {
				return "", fmt.Errorf("%w: %d", broken, i)
			}
			return fmt.Sprint(i), nil
		})
		done := 0
		for i, s := range got {
			if times[i] > 1 || s != "" && s != fmt.Sprint(i) {
				t.Errorf("piece %d was done %d times and gave %q", i, times[i], s)
			}
			if s != "" {
				done++
			}
		}
		fails := bad >= 0 && bad < n
		switch {
		case err == nil:
			if done != max(n, 0) {
				t.Errorf("%d of %d done without an error", done, n)
			}
		case errors.Is(err, broken):
			if !fails || err.Error() != fmt.Sprintf("broken: %d", bad) {
				t.Errorf("%v, want that of %d", err, bad)
			}
		case err != ended || stop < 0 || stop >= n:
			t.Errorf("error %v, stopped at %d of %d", err, stop, n)
		}
		if told != done {
			t.Errorf("%d told, %d done", told, done)
		}
	})
}
