package job

import (
	"encoding"
	"reflect"
	"slices"
	"strings"
)

// FieldNames returns the names of all fields that a job file can have, sorted,
// each once.
func FieldNames() []string {
	names := map[string]bool{}
	collect(reflect.TypeFor[File](), names)
	var out []string
	for name := range names {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

func collect(t reflect.Type, names map[string]bool) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		return
	}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		names[name] = true
		if of := t.Field(i).Type; of.Kind() != reflect.Slice || of.Elem() != t {
			collect(of, names) // a set of weights holds weights
		}
	}
}
