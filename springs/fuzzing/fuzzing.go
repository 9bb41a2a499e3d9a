// Package fuzzing is what the fuzzers of all packages share; only tests import it. A
// fuzzer made by [New] runs as any other: its seeds with go test, Go's own engine with
// -fuzz. Under .ci/fuzz -executions it draws inputs from its seeds itself, without the
// engine's account of coverage, and so tries many times as many in a second.
package fuzzing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// Environment that .ci/fuzz sets: for how many seconds a fuzzer draws inputs itself, how
// many it tries at most, and with which seed.
const (
	secondsVariable = "FUZZING_SECONDS"
	mostVariable    = "FUZZING_MOST"
	seedVariable    = "FUZZING_SEED"
)

// F is a fuzzer with the methods of [testing.F] that it needs.
type F struct {
	f     *testing.F
	draws time.Duration // 0 where Go's engine does
	seeds [][]any
}

// New wraps the argument of a fuzz test.
func New(f *testing.F) *F {
	seconds, _ := strconv.ParseFloat(os.Getenv(secondsVariable), 64)
	return &F{f: f, draws: time.Duration(seconds * float64(time.Second))}
}

// Add keeps an input as a seed, as [testing.F.Add] does.
func (f *F) Add(args ...any) {
	f.f.Helper()
	f.seeds = append(f.seeds, args)
	f.f.Add(args...)
}

// Pairs keeps hostile values at each of n places as seeds, alone and in pairs, for a
// call that takes place, value, place and value.
func (f *F) Pairs(n int) {
	for i := range n {
		for k := range 4 {
			f.Add(uint16(i), hostile(i+3*k), uint16(i*(k+1)), hostile(i+5*k))
		}
	}
}

// Fuzz runs a call as [testing.F.Fuzz] does, or for the time that the environment says
// with inputs drawn here. Then the first input that fails is printed as it would stand
// in Add, and so is one that takes longer than a minute.
func (f *F) Fuzz(call any) {
	f.f.Helper()
	if f.draws == 0 {
		f.f.Fuzz(call)
		return
	}
	seed, _ := strconv.ParseUint(os.Getenv(seedVariable), 10, 64)
	most, err := strconv.ParseUint(os.Getenv(mostVariable), 10, 64)
	if err != nil {
		most = math.MaxUint64
	}
	to, name, drawn := reflect.ValueOf(call), f.f.Name(), false
	// The first seed begins the draw; the others, those in files too, run as ever.
	f.f.Fuzz(reflect.MakeFunc(to.Type(), func(args []reflect.Value) []reflect.Value {
		to.Call(args)
		if !drawn {
			drawn = true
			r := &run{name: name, t: args[0], call: to, drawer: &drawer{Rand: rand.New(rand.NewPCG(seed, 1)), seeds: f.seeds}}
			r.until(time.Now().Add(f.draws), most)
		}
		return nil
	}).Interface())
}

// run draws inputs for one fuzzer.
type run struct {
	*drawer
	name string
	t    reflect.Value // of the test
	call reflect.Value
	done atomic.Uint64
	now  atomic.Pointer[[]any]
}

// asked is after how many inputs a run looks at the clock.
const asked = 16

// until calls with drawn inputs until a time, a number of them or a failure.
func (r *run) until(stop time.Time, most uint64) {
	whole := false
	defer func() {
		r.count()
		if !whole {
			r.found("")
		}
	}()
	ended := make(chan struct{})
	defer close(ended)
	go r.watch(ended)
	for n := r.done.Load(); n < most && (n%asked != 0 || time.Now().Before(stop)); n = r.done.Load() {
		args := r.input()
		r.now.Store(&args)
		in := []reflect.Value{r.t}
		for _, a := range args {
			in = append(in, reflect.ValueOf(a))
		}
		r.call.Call(in)
		r.done.Add(1)
		if r.t.Interface().(*testing.T).Failed() {
			return
		}
	}
	whole = true
}

// count prints how many inputs are tried.
func (r *run) count() { fmt.Printf("EXECUTIONS %d %s\n", r.done.Load(), r.name) }

// found prints the input at work.
func (r *run) found(what string) {
	fmt.Printf("FINDING %s%s: f.Add(%s)\n", r.name, what, literals(*r.now.Load()))
}

// watch prints the count as it grows, so that it is known of a run that is stopped, and
// ends the process where one input takes longer than a minute.
func (r *run) watch(ended <-chan struct{}) {
	last, seconds := r.done.Load(), 0
	for {
		select {
		case <-ended:
			return
		case <-time.After(time.Second):
		}
		if n := r.done.Load(); n != last {
			last, seconds = n, 0
			r.count()
		} else if seconds++; seconds == 60 {
			r.found(" takes longer than a minute")
			os.Exit(1)
		}
	}
}

// literals writes an input as the arguments of Add.
func literals(args []any) string {
	var out []string
	for _, a := range args {
		switch a := a.(type) {
		case []byte:
			out = append(out, fmt.Sprintf("[]byte(%q)", a))
		case string:
			out = append(out, fmt.Sprintf("%q", a))
		default:
			out = append(out, fmt.Sprintf("%T(%v)", a, a))
		}
	}
	return strings.Join(out, ", ")
}
