package workers

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/springs/valid"
)

func TestOrderForAnyNumberOfWorkers(t *testing.T) {
	for _, procs := range []int{1, 2, 8} {
		before := runtime.GOMAXPROCS(procs)
		for _, w := range []int{0, 1, 3, 64} {
			got, err := Map(context.Background(), Pool{Workers: w}, 1000, func(i int) (int, error) {
				if i%7 == 0 {
					runtime.Gosched()
				}
				return i * i, nil
			})
			if err != nil {
				t.Fatal(err)
			}
			for i, x := range got {
				if x != i*i {
					t.Fatalf("%d workers: result %d is %d", w, i, x)
				}
			}
		}
		runtime.GOMAXPROCS(before)
	}
}

// Of several errors the one of the lowest number comes out, on every schedule.
func TestLowestError(t *testing.T) {
	for range 200 {
		err := Pool{Workers: 8}.Each(context.Background(), 100, func(i int) error {
			if i >= 40 && i%2 == 0 {
				if i == 40 {
					runtime.Gosched()
				}
				return fmt.Errorf("piece %d", i)
			}
			return nil
		})
		if err == nil || err.Error() != "piece 40" {
			t.Fatal(err)
		}
	}
}

func TestProgress(t *testing.T) {
	var seen []int
	p := Pool{Workers: 5, Progress: func(done, total int) {
		if total != 50 {
			t.Errorf("total is %d", total)
		}
		seen = append(seen, done)
	}}
	if err := p.Each(context.Background(), 50, func(int) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if len(seen) != 50 || !slices.IsSorted(seen) || seen[49] != 50 {
		t.Errorf("progress %v", seen)
	}
}

// A cancelled run tells its cause and hands out what was done.
func TestCancelled(t *testing.T) {
	why := errors.New("the builder has seen enough")
	for _, w := range []int{1, 4} {
		ctx, cancel := context.WithCancelCause(context.Background())
		got, err := Map(ctx, Pool{Workers: w}, 1000, func(i int) (int, error) {
			if i == 10 {
				cancel(why)
			} else if i > 10 {
				<-ctx.Done()
			}
			return 1, nil
		})
		if !errors.Is(err, why) {
			t.Fatalf("%d workers: %v", w, err)
		}
		done := 0
		for _, x := range got {
			done += x
		}
		if len(got) != 1000 || done < 11 || done > 10+2*w {
			t.Errorf("%d workers: %d done of %d", w, done, len(got))
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	p := Pool{Workers: 1, Progress: func(done, total int) {
		if done == total {
			cancel()
		}
	}}
	if err := p.Each(ctx, 3, func(int) error { return nil }); err != nil {
		t.Errorf("cancelled after the last piece: %v", err)
	}
}

func TestWith(t *testing.T) {
	type buffer struct{ sum, pieces int }
	states, err := With(context.Background(), Pool{Workers: 3}, 100,
		func() *buffer { return new(buffer) },
		func(b *buffer, i int) error { b.sum += i; b.pieces++; return nil })
	if err != nil || len(states) != 3 {
		t.Fatal(len(states), err)
	}
	var all buffer
	for _, b := range states {
		all.sum += b.sum
		all.pieces += b.pieces
	}
	if all != (buffer{4950, 100}) {
		t.Error(all)
	}
}

func TestRefused(t *testing.T) {
	ctx := context.Background()
	_, maps := Map[int](ctx, Pool{}, 3, nil)
	_, states := With(ctx, Pool{}, 3, nil, func(int, int) error { return nil })
	for name, err := range map[string]error{
		"no context": Pool{}.Each(nil, 3, func(int) error { return nil }), //lint:ignore SA1012 nil is what is tested
		"no work":    Pool{}.Each(ctx, 3, nil),
		"no map":     maps,
		"no state":   states,
	} {
		if !errors.Is(err, errNil) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, n := range []int{0, -5} {
		got, err := Map(ctx, Pool{}, n, func(int) (int, error) { return 0, errors.New("called") })
		if err != nil || len(got) != 0 {
			t.Errorf("%d pieces: %v, %v", n, got, err)
		}
	}
}

// Work whose results no memory holds is refused before any is asked for.
func TestTooManyPieces(t *testing.T) {
	work := func(int) (int, error) { return 0, nil }
	for _, n := range []int{math.MaxInt, 1<<24 + 1} {
		if _, err := Map(t.Context(), Pool{}, n, work); !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), fmt.Sprint(n)) {
			t.Errorf("%d pieces: error %v", n, err)
		}
	}
	if _, err := Map(t.Context(), Pool{Workers: math.MaxInt}, 3, work); err != nil {
		t.Errorf("goroutines without end for three pieces: %v", err)
	}
}
