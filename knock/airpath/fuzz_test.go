package airpath

import (
	"math"
	"reflect"
	"testing"

	"example.org/bobweight/knock/air"
)

// hostile are values that no caller should give and some will.
var hostile = []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, math.Copysign(0, -1), 5e-324, 1e-300, 1e-9, 1e9, 1e300, math.MaxFloat64}

// seed adds hostile values at each of n places, alone and in pairs.
func seed(f *testing.F, n int) {
	for i := range n {
		for k := range 4 {
			f.Add(uint16(i), hostile[(i+3*k)%len(hostile)], uint16(i*(k+1)), hostile[(i+5*k)%len(hostile)])
		}
	}
}

// fields gathers every float64 below v, nested structs and slices included.
func fields(v reflect.Value, out []reflect.Value) []reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return fields(v.Elem(), out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out = fields(v.Field(i), out)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = fields(v.Index(i), out)
		}
	case reflect.Float64:
		if v.CanSet() {
			out = append(out, v)
		}
	}
	return out
}

// finite fails any float below a result that is not a number, where there is no error.
func finite(t *testing.T, what string, err error, results ...any) {
	t.Helper()
	if err != nil {
		return
	}
	for _, r := range results {
		numbers(t, what, reflect.ValueOf(r))
	}
}

func numbers(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			numbers(t, what, v.Elem())
		}
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

// world is everything that the package's functions are asked with.
type world struct {
	Intake                                                       Intake
	Throttle                                                     Throttle
	Air                                                          air.Ambient
	Load                                                         Load
	Vehicle                                                      Vehicle
	Angle, RPM, Pressure, Hose, Share, Area, Speed, Grade, Ratio float64
}

func ordinaryWorld() *world {
	in, th, sea := ordinary()
	in.FilledThrottled = false
	return &world{
		Intake: in, Throttle: th, Air: sea,
		Load:    Load{RPM: 900, Brake: 1e5, Friction: 1.2e5, Efficiency: 0.3, Heat: 2.95e6},
		Vehicle: Vehicle{Mass: 1100, Rolling: 0.014, DragArea: 0.9, TyreRadius: 0.3, Gearing: 4, Transmission: 0.9},
		Angle:   0.4, RPM: 1500, Pressure: 5e4, Hose: 1e-5, Share: 0.9, Area: 1e-4, Speed: 20, Grade: 0.01, Ratio: 0.7,
	}
}

// drive asks the package's functions everything that the world allows.
func (w *world) drive(t *testing.T) {
	x, err := w.Throttle.Area(w.Angle)
	finite(t, "Area", err, x)
	x, err = w.Throttle.Opening(w.Area)
	finite(t, "Opening", err, x)
	x, err = MeasuredRatio(w.Ratio)
	finite(t, "MeasuredRatio", err, x)
	x, err = w.Intake.FillTime(w.RPM)
	finite(t, "FillTime", err, x)
	x, err = w.Intake.Demand(w.Load, w.Air)
	finite(t, "Demand", err, x)
	x, err = w.Vehicle.RoadLoad(w.Speed, w.Grade, w.Air)
	finite(t, "RoadLoad", err, x)
	l, err := w.Vehicle.Cruise(w.Intake, w.Speed, w.Grade, w.Air)
	finite(t, "Cruise", err, l)
	p, err := New(w.Intake, w.Throttle, w.Air)
	if err != nil {
		p = nil // asked all the same
	}
	finite(t, "Path", nil, p.In(w.Angle, w.Pressure), p.Out(w.RPM, w.Pressure), p.Mass(w.Pressure))
	x, err = p.Manifold(w.Angle, w.RPM, w.Hose)
	finite(t, "Manifold", err, x)
	x, err = p.Burned(w.RPM, w.Pressure)
	finite(t, "Burned", err, x)
	x, err = p.Surplus(w.Load, w.Pressure, w.Share)
	finite(t, "Surplus", err, x)
	w.Throttle.Law = Measured
	if p, err = New(w.Intake, w.Throttle, w.Air); err == nil {
		x, err = p.Manifold(w.Angle, w.RPM, w.Hose)
		finite(t, "Manifold by the measured law", err, x, p.In(w.Angle, w.Pressure))
	}
}

// Whatever two fields hold, numbers come out or an error does, and nothing panics.
func FuzzAirpath(f *testing.F) {
	seed(f, len(fields(reflect.ValueOf(ordinaryWorld()), nil)))
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinaryWorld()
		w.Intake.Engine.Filling = append(w.Intake.Engine.Filling[:0:0], w.Intake.Engine.Filling...)
		all := fields(reflect.ValueOf(w), nil)
		all[int(i)%len(all)].SetFloat(x)
		all[int(j)%len(all)].SetFloat(y)
		w.drive(t)
	})
}
