package fuzzing_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime/debug"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/springs/fuzzing"
)

// caller draws arguments for any function. What functions return, and what stands in the
// demo job, is kept by its type and comes back as an argument, whole or with one field
// exchanged.
type caller struct {
	*rand.Rand
	kept     map[reflect.Type][]reflect.Value
	answered map[string]bool // functions that have, without an error
}

// keeps bounds what is kept of one type.
const keeps = 12

// keep gathers the values of the library's own types below a value.
func (c *caller) keep(v reflect.Value, depth int) {
	if !v.IsValid() || depth > 7 {
		return
	}
	t := v.Type()
	if own(t) || t.Kind() == reflect.Pointer && own(t.Elem()) && !v.IsNil() {
		if have := c.kept[t]; len(have) < keeps {
			c.kept[t] = append(have, v)
		} else {
			have[c.IntN(keeps)] = v
		}
	}
	switch t.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			c.keep(v.Elem(), depth+1)
		}
	case reflect.Struct:
		for i := range t.NumField() {
			if t.Field(i).IsExported() {
				c.keep(v.Field(i), depth+1)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range min(v.Len(), 3) {
			c.keep(v.Index(i), depth+1)
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next(); {
			c.keep(it.Value(), depth+1)
			break
		}
	}
}

func own(t reflect.Type) bool { return strings.HasPrefix(t.PkgPath(), module) }

var (
	contextType = reflect.TypeFor[context.Context]()
	errorType   = reflect.TypeFor[error]()
	randomType  = reflect.TypeFor[*rand.Rand]()
	testingType = reflect.TypeFor[*testing.T]()
)

var (
	numbers = []float64{0, math.Copysign(0, -1), math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 5e-324, -5e-324, 1e-300, 1e300, 1, -1}
	counts  = []int64{0, 1, 2, 3, 5, 12, -1, -2, 100, 1 << 31, math.MaxInt64, math.MinInt64}
	texts   = []string{"", "x", "north", "10 mm", "1e999 N", "15 deg crank", "\x1b[2J\u202e\u2028\xff", strings.Repeat("long ", 2000), "{}", "%s%d", "\x00"}
)

// float is an edge of float64, or a number of any size about those of a workshop.
func (c *caller) float() float64 {
	if c.IntN(3) == 0 {
		return numbers[c.IntN(len(numbers))]
	}
	x := math.Pow(10, 10*c.Float64()-5)
	if c.IntN(6) == 0 {
		return -x
	}
	return x
}

// draw returns a value of a type.
func (c *caller) draw(t reflect.Type, depth int) reflect.Value {
	if have := c.kept[t]; len(have) > 0 && c.IntN(4) > 0 {
		v := have[c.IntN(len(have))]
		if c.IntN(2) == 0 {
			return c.altered(v, depth)
		}
		return v
	}
	v := reflect.New(t).Elem()
	switch t {
	case contextType:
		return [...]reflect.Value{v, reflect.ValueOf(fuzzing.Steps(200)), reflect.ValueOf(fuzzing.Steps(1))}[c.few(3)].Convert(t)
	case randomType:
		if c.IntN(4) > 0 {
			v.Set(reflect.ValueOf(rand.New(rand.NewPCG(c.Uint64(), 1))))
		}
		return v
	case errorType:
		v.Set(reflect.ValueOf(errors.New("an error")))
		return v
	case testingType:
		v.Set(reflect.ValueOf(new(testing.T)))
		return v
	}
	if depth > 6 {
		return v
	}
	switch t.Kind() {
	case reflect.Float64, reflect.Float32:
		v.SetFloat(c.float())
	case reflect.Int, reflect.Int64, reflect.Int32, reflect.Int16, reflect.Int8:
		v.SetInt(counts[c.IntN(len(counts))])
	case reflect.Uint, reflect.Uint64, reflect.Uint32, reflect.Uint16, reflect.Uint8:
		v.SetUint(uint64(counts[c.IntN(len(counts))]))
	case reflect.Bool:
		v.SetBool(c.IntN(2) == 0)
	case reflect.String:
		v.SetString(texts[c.IntN(len(texts))])
	case reflect.Struct:
		for i := range t.NumField() {
			if t.Field(i).IsExported() && c.IntN(5) > 0 {
				v.Field(i).Set(c.draw(t.Field(i).Type, depth+1))
			}
		}
	case reflect.Pointer:
		if c.IntN(4) > 0 {
			v.Set(reflect.New(t.Elem()))
			v.Elem().Set(c.draw(t.Elem(), depth+1))
		}
	case reflect.Slice:
		for range c.IntN(5) {
			e := c.draw(t.Elem(), depth+1)
			if e.Kind() == reflect.Pointer && e.IsNil() { // a list of nothing is no list
				continue
			}
			v.Set(reflect.Append(v, e))
		}
	case reflect.Array:
		for i := range t.Len() {
			v.Index(i).Set(c.draw(t.Elem(), depth+1))
		}
	case reflect.Map:
		if c.IntN(3) > 0 {
			v.Set(reflect.MakeMap(t))
			v.SetMapIndex(c.draw(t.Key(), depth+1), c.draw(t.Elem(), depth+1))
		}
	case reflect.Func:
		if c.IntN(4) > 0 {
			v.Set(c.function(t, depth))
		}
	case reflect.Interface:
		c.implement(v, depth)
	}
	return v
}

// few is 0 in one of ten, else 1 to n-1, mostly 1.
func (c *caller) few(n int) int {
	if c.IntN(10) == 0 {
		return 0
	}
	return 1 + c.IntN(8)/7*c.IntN(n-1)
}

// function returns one that gives the same results whenever it is asked, without an
// error.
func (c *caller) function(t reflect.Type, depth int) reflect.Value {
	var out []reflect.Value
	for i := range t.NumOut() {
		if t.Out(i) == errorType {
			out = append(out, reflect.Zero(errorType))
			continue
		}
		out = append(out, c.draw(t.Out(i), depth+1))
	}
	return reflect.MakeFunc(t, func([]reflect.Value) []reflect.Value { return out })
}

// implement puts something that implements an interface into a value of it, or leaves
// it nil.
func (c *caller) implement(v reflect.Value, depth int) {
	if c.IntN(6) == 0 {
		return
	}
	var fits []reflect.Type
	for _, l := range listed {
		if t, ok := l.(reflect.Type); ok && t.Kind() != reflect.Interface {
			switch {
			case t.Implements(v.Type()): // a nil pointer to such a type panics in Go itself
				fits = append(fits, t)
			case reflect.PointerTo(t).Implements(v.Type()):
				fits = append(fits, reflect.PointerTo(t))
			}
		}
	}
	switch {
	case v.Type().NumMethod() == 0:
		v.Set(reflect.ValueOf(&struct{ X float64 }{c.float()}))
	case reflect.TypeFor[*strings.Reader]().Implements(v.Type()):
		v.Set(reflect.ValueOf(strings.NewReader(texts[c.IntN(len(texts))])))
	case reflect.TypeOf(io.Discard).Implements(v.Type()):
		v.Set(reflect.ValueOf(io.Discard))
	case len(fits) > 0:
		v.Set(c.draw(fits[c.IntN(len(fits))], depth+1))
	}
}

// altered returns a copy of a value in which one field, or one field of what stands
// there, is another.
func (c *caller) altered(v reflect.Value, depth int) reflect.Value {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return v
		}
		to := reflect.New(v.Type().Elem())
		to.Elem().Set(c.altered(v.Elem(), depth))
		return to
	}
	copied := reflect.New(v.Type()).Elem()
	copied.Set(v)
	switch v.Kind() {
	case reflect.Struct:
		if v.NumField() == 0 {
			return v
		}
		i := c.IntN(v.NumField())
		if f := copied.Field(i); v.Type().Field(i).IsExported() {
			if c.IntN(2) == 0 {
				f.Set(c.altered(f, depth+1))
			} else {
				f.Set(c.draw(f.Type(), depth+1))
			}
		}
	case reflect.Slice:
		if v.Len() > 0 && depth < 8 {
			copied.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, v.Len()), v))
			f := copied.Index(c.IntN(v.Len()))
			f.Set(c.altered(f, depth+1))
		}
	case reflect.Array:
		f := copied.Index(c.IntN(v.Len()))
		f.Set(c.altered(f, depth+1))
	case reflect.Float64:
		copied.SetFloat(c.float())
	case reflect.Int, reflect.Int64:
		copied.SetInt(counts[c.IntN(len(counts))])
	}
	return copied
}

// callable is a function or a method with its name.
type callable struct {
	name string
	f    reflect.Value
}

// callables returns every function that is listed and every method of every type.
func callables() []callable {
	var all []callable
	for _, l := range listed {
		name := nameOf(l)
		t, ok := l.(reflect.Type)
		if !ok {
			all = append(all, callable{name, reflect.ValueOf(l)})
			continue
		}
		if t.Kind() == reflect.Interface {
			continue
		}
		values := map[string]bool{}
		for i := range t.NumMethod() {
			values[t.Method(i).Name] = true
			all = append(all, callable{name + "." + t.Method(i).Name, t.Method(i).Func})
		}
		p := reflect.PointerTo(t)
		for i := range p.NumMethod() {
			if m := p.Method(i); !values[m.Name] {
				all = append(all, callable{name + "." + m.Name, m.Func})
			}
		}
	}
	return all
}

// TestAnyArgument calls every exported function and method of the library with edges of
// float64, huge and negative counts, nil, zero values, strange texts and with what other
// calls have returned. Nothing panics; an error is a sentence; without one every number
// is finite and every result can be written as JSON. What asks for more than it finds by
// chance is driven from valid values by the fuzzer of its package.
func TestAnyArgument(t *testing.T) {
	demo, err := os.ReadFile(library + "/examples/recurve/demo.json")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &caller{rand.New(rand.NewPCG(16, 1)), map[reflect.Type][]reflect.Value{}, map[string]bool{}}
	answered, functions := 0, callables()
	for round := range 30 {
		c.keep(reflect.ValueOf(j), 0)
		for _, f := range functions {
			if notCalled[f.name] != "" || round%max(everySo[f.name], 1) != 0 {
				continue
			}
			c.call(t, f)
		}
	}
	for _, f := range functions {
		if c.answered[f.name] {
			answered++
		}
	}
	t.Logf("%d of %d functions have answered without an error", answered, len(functions))
	if answered*2 < len(functions) {
		t.Errorf("only %d of %d functions have answered without an error", answered, len(functions))
	}
}

// call calls a function once and looks at what comes.
func (c *caller) call(t *testing.T, f callable) {
	var args []reflect.Value
	for i := range f.f.Type().NumIn() {
		args = append(args, c.draw(f.f.Type().In(i), 0))
	}
	said := func() string {
		var texts []string
		for _, a := range args {
			texts = append(texts, fmt.Sprintf("%.300s", fmt.Sprintf("%#v", a)))
		}
		return strings.Join(texts, "\n\t")
	}
	defer func() {
		if p := recover(); p != nil {
			t.Errorf("%s panics: %v\n\t%s\n%s", f.name, p, said(), debug.Stack())
		}
	}()
	var results []reflect.Value
	if f.f.Type().IsVariadic() {
		results = f.f.CallSlice(args)
	} else {
		results = f.f.Call(args)
	}
	var failed error
	for _, r := range results {
		if r.Type() == errorType && !r.IsNil() {
			failed = r.Interface().(error)
		}
	}
	if failed != nil {
		if text := failed.Error(); text == "" || strings.Contains(text, "%!") {
			t.Errorf("%s: an error without a sentence: %q", f.name, text)
		}
		return
	}
	c.answered[f.name] = true
	for _, r := range results {
		if !r.CanInterface() || passes[f.name] != "" {
			continue
		}
		before := t.Failed()
		fuzzing.Finite(t, f.name, nil, r.Interface())
		if t.Failed() && !before {
			t.Logf("of\n\t%s", said())
		}
		if r.Kind() != reflect.Func {
			if _, err := json.Marshal(r.Interface()); err != nil {
				t.Errorf("%s: %v", f.name, err)
			}
		}
		c.keep(r, 0)
	}
}
