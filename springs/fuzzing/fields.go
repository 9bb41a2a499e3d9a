package fuzzing

import (
	"math"
	"reflect"
	"testing"
)

// Floats gathers every float64 that can be set below a pointer, nested structs,
// slices and pointers included.
func Floats(v any) []reflect.Value { return gather(reflect.ValueOf(v), nil) }

func gather(v reflect.Value, out []reflect.Value) []reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return gather(v.Elem(), out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out = gather(v.Field(i), out)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			out = gather(v.Index(i), out)
		}
	case reflect.Float64:
		if v.CanSet() {
			out = append(out, v)
		}
	}
	return out
}

// Finite fails every float below a result that is not a number, where there is no
// error.
func Finite(t *testing.T, what string, err error, results ...any) {
	t.Helper()
	if err != nil {
		return
	}
	for _, r := range results {
		numbers(t, what, reflect.ValueOf(r))
	}
}

func numbers(t *testing.T, what string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			numbers(t, what, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				numbers(t, what+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			numbers(t, what+"[]", v.Index(i))
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Helper()
			t.Errorf("%s is %g without an error", what, x)
		}
	}
}
