package mapping

import (
	"context"
	"math"
	"reflect"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// spoil sets every float field below v to values that nobody should give and calls
// use each time; it puts the good value back.
func spoil(v reflect.Value, path string, use func(field string)) {
	switch v.Kind() {
	case reflect.Pointer:
		if _, prepared := v.Interface().(*flyweights.Curve); !prepared && !v.IsNil() {
			spoil(v.Elem(), path, use)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			spoil(v.Field(i), path+"."+v.Type().Field(i).Name, use)
		}
	case reflect.Slice:
		for i := range v.Len() {
			spoil(v.Index(i), path+"[]", use)
		}
	case reflect.Float64:
		good := v.Float()
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, 5e-324, 1e-9, 1e9, math.MaxFloat64} {
			v.SetFloat(x)
			use(path)
		}
		v.SetFloat(good)
	}
}

// numbers fails any float below v that is not finite.
func numbers(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		numbers(t, what, v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				numbers(t, what+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbers(t, what+"[]", v.Index(i))
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %g without an error", what, x)
		}
	}
}

// Whatever a field holds, numbers come out or an error does.
func TestNoNaNLeavesWithoutAnError(t *testing.T) {
	bounds := func(_, p float64) (Requirement, error) {
		return Requirement{MBT: 40, KnockLimited: p > 7e4, KLSA: 35}, nil
	}
	d, s := distributor(t), situation()
	rpm, pressure := []float64{800, 2000, 3000}, []float64{4e4, 7e4, 1e5}
	air, margin := sea, 2.0
	whole := func(field string) {
		m, err := New(nil, d, air, rpm, pressure)
		if err != nil {
			return
		}
		numbers(t, "map"+field, reflect.ValueOf(*m))
		if c, err := m.Compare(context.Background(), bounds, margin); err == nil {
			numbers(t, "comparison"+field, reflect.ValueOf(*c))
		}
		if c, err := m.CruiseAt(rpm[1], pressure[1], bounds, margin); err == nil {
			numbers(t, "cruise"+field, reflect.ValueOf(*c))
		}
	}
	spoil(reflect.ValueOf(d), " with distributor", whole)
	spoil(reflect.ValueOf(rpm), " with speed", whole)
	spoil(reflect.ValueOf(pressure), " with pressure", whole)
	spoil(reflect.ValueOf(&air), " with air", whole)
	spoil(reflect.ValueOf(&margin), " with margin", whole)

	spoil(reflect.ValueOf(&s), " with situation", func(field string) {
		if a, err := Advise(s); err == nil {
			numbers(t, "advice"+field, reflect.ValueOf(*a))
		}
	})
	in := idling(t)
	spoil(reflect.ValueOf(&in), " with idling", func(field string) {
		if a, err := Idle(in); err == nil {
			numbers(t, "idle"+field, reflect.ValueOf(*a))
		}
	})
	sn := snap(t)
	sn.Settings = &vacuum.RunSettings{Every: 0.1}
	driver := []vacuum.Input{sn.Inputs[1], sn.Inputs[2]}
	sn.Inputs = driver
	spoil(reflect.ValueOf(&sn), " with snap", func(field string) {
		if a, err := TipInTransient(context.Background(), sn); err == nil {
			numbers(t, "tip-in"+field, reflect.ValueOf(*a))
		}
	})
	if _, err := New(nil, &advance.Distributor{}, sea, rpm, pressure); err == nil {
		t.Error("an empty distributor was mapped")
	}
}
