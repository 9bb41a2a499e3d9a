package vacuum

import (
	"math"
	"reflect"
	"testing"
)

// hostile are values that no caller should give and some will.
var hostile = []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, math.Copysign(0, -1), 5e-324, 1e-300, 1e-9, 1e9, 1e300, math.MaxFloat64}

// spoil calls use with every float field of what v points to set to every hostile
// value in turn, nested structs and slices included, and puts it back.
func spoil(v reflect.Value, path string, use func(field string)) {
	switch v.Kind() {
	case reflect.Pointer:
		spoil(v.Elem(), path, use)
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
		for _, x := range hostile {
			v.SetFloat(x)
			use(path)
		}
		v.SetFloat(good)
	}
}

// finiteOrError fails a result that is not a number, nor refused.
func finiteOrError(t *testing.T, what string, err error, xs ...float64) {
	t.Helper()
	for _, x := range xs {
		if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
			t.Errorf("%s: %g without an error", what, x)
		}
	}
}

// Whatever a field holds, a number comes out or an error does.
func TestNoNaNLeavesWithoutAnError(t *testing.T) {
	type arguments struct{ Vacuum, X, Onset, Most, Pitch, Angle, Omega, P, Altitude, Setting, Kelvin, Speed, Grade, RPM, Depth, Clamp, Plate, Area, In, Out, Ratio float64 }
	a := arguments{3e4, 2e-3, 2e4, 0.1, 5e-4, 0.3, 60, 5e4, 500, 1e5, 300, 20, 0.01, 2000, 1e4, 0.06, 0.03, 1e-5, 1e-7, 2e-7, 0.6}
	s := ordinary()
	s.Unit.RodLength, s.Unit.RodTilt, s.Unit.Friction, s.Unit.Stroke = 0.05, 0.05, 0.4, 6e-3
	s.Engine.Compression, s.Line.Leak = 8.5, 2e-8
	v := Vehicle{Mass: 1100, Rolling: 0.014, DragArea: 0.9, TyreRadius: 0.3, Gearing: 4, Transmission: 0.9}
	l := Load{Omega: 60, Brake: 1e5, Friction: 1.2e5, Efficiency: 0.3, Heat: 2.95e6}
	g := Air
	driver := []Moment{{0, deg(10), 60}, {0.1, deg(30), 70}, {0.3, deg(12), 65}}
	readings := []Pulled{{1e4, 0, Pulling}, {2e4, 0.001, Pulling}, {3e4, 0.06, Pulling}, {5e4, 0.13, Pulling}, {6e4, 0.13, Releasing}}
	gauges := Gauges{Vacuum: 1000, Theta: 0.008}

	unit := func(field string) {
		u := s.Unit
		x, err := u.Advance(a.Vacuum)
		finiteOrError(t, "Advance"+field, err, x)
		x, err = u.Retreat(a.Vacuum)
		finiteOrError(t, "Retreat"+field, err, x)
		x, err = u.Follow(a.X, a.Vacuum)
		finiteOrError(t, "Follow"+field, err, x)
		finiteOrError(t, "Onset, Full, Most, Band, Stuck"+field, nil, u.Onset(), u.Full(), u.Most(), u.Band(), u.Stuck())
		adjusted, err := u.Adjust(a.Onset, a.Most, Adjuster{Pitch: a.Pitch, Out: 50, In: 50})
		finiteOrError(t, "Adjust"+field, err, adjusted.Limit, adjusted.Turns, adjusted.Full)
		limited, err := u.Limited(a.Most)
		finiteOrError(t, "Limited"+field, err, limited.Travel)
	}
	air := func(field string) {
		x, err := s.Throttle.Area(a.Angle)
		finiteOrError(t, "Area"+field, err, x)
		x, err = s.Throttle.Flow(a.Angle, s.Air, a.P)
		finiteOrError(t, "Throttle.Flow"+field, err, x)
		x, err = s.Throttle.Opening(a.Area)
		finiteOrError(t, "Opening"+field, err, x)
		x, err = s.Throttle.Passed(s.Port, a.Angle)
		finiteOrError(t, "Passed"+field, err, x)
		x, err = s.Throttle.PortPressure(s.Port, a.Angle, s.Air, a.P)
		finiteOrError(t, "PortPressure"+field, err, x)
		x, err = s.Throttle.Uncovers(s.Port)
		finiteOrError(t, "Uncovers"+field, err, x)
		x, err = s.Engine.Manifold(s.Throttle, a.Angle, a.Omega, s.Air)
		finiteOrError(t, "Manifold"+field, err, x)
		x, err = s.Engine.Flow(a.Omega, s.Air, a.P)
		finiteOrError(t, "Engine.Flow"+field, err, x)
		x, err = s.Engine.Burned(a.Omega, s.Air, a.P)
		finiteOrError(t, "Burned"+field, err, x)
		x, err = s.Engine.Clearance(s.Air, a.P)
		finiteOrError(t, "Clearance"+field, err, x)
		x, err = s.Engine.FillTime(a.Omega)
		finiteOrError(t, "FillTime"+field, err, x)
		x, err = s.Line.Chamber(s.Unit, s.Air, a.P)
		finiteOrError(t, "Chamber"+field, err, x)
		x, err = s.Line.Lag(s.Unit, s.Air, a.Depth)
		finiteOrError(t, "Lag"+field, err, x)
		x, err = s.Engine.Demand(l, s.Air)
		finiteOrError(t, "Demand"+field, err, x)
		x, err = v.RoadLoad(a.Speed, a.Grade, s.Air)
		finiteOrError(t, "RoadLoad"+field, err, x)
		x, y, err := v.Cruise(s.Engine, a.Speed, a.Grade, s.Air)
		finiteOrError(t, "Cruise"+field, err, x, y)
		finiteOrError(t, "Density"+field, nil, s.Air.Density())
		x, err = s.Air.Vacuum(a.P)
		finiteOrError(t, "Vacuum"+field, err, x)
		x, err = s.Air.MixtureRatio(14.7, Ambient{101325, 288})
		finiteOrError(t, "MixtureRatio"+field, err, x)
	}
	plain := func(field string) {
		std, err := Standard(a.Altitude)
		finiteOrError(t, "Standard"+field, err, std.Pressure, std.Temperature)
		w, err := Weather(a.Altitude, a.Setting, a.Kelvin)
		finiteOrError(t, "Weather"+field, err, w.Pressure)
		x, err := MotoredFriction(a.RPM)
		finiteOrError(t, "MotoredFriction"+field, err, x)
		x, err = FlatArea(a.Clamp, a.Plate)
		finiteOrError(t, "FlatArea"+field, err, x)
		x, err = ConvolutedArea(a.Clamp, a.Plate)
		finiteOrError(t, "ConvolutedArea"+field, err, x)
		x, err = StiffArea(a.Clamp)
		finiteOrError(t, "StiffArea"+field, err, x)
		x, err = MeasuredRatio(a.Ratio)
		finiteOrError(t, "MeasuredRatio"+field, err, x)
		x, err = g.Flow(a.Area, s.Air.Pressure, a.Kelvin, a.P)
		finiteOrError(t, "Gas.Flow"+field, err, x)
		x, err = g.Speed(s.Air.Pressure, a.Kelvin, a.P)
		finiteOrError(t, "Gas.Speed"+field, err, x)
		x, y, err := g.Throat(s.Air.Pressure, a.Kelvin, a.Speed)
		finiteOrError(t, "Gas.Throat"+field, err, x, y)
		x, err = g.Divider(a.In, s.Air.Pressure, a.Out, a.P)
		finiteOrError(t, "Divider"+field, err, x)
		x, y = g.Critical()
		finiteOrError(t, "Critical"+field, nil, x, y)
	}
	run := func(field string) {
		steady, err := s.Steady(a.Angle, a.Omega)
		finiteOrError(t, "Steady"+field, err, steady.Manifold, steady.Chamber, steady.Theta, steady.In, steady.Out)
		for _, source := range []Source{FromManifold, FromPort} {
			s.Source = source
			r, err := s.Run(nil, driver, &Settings{Every: 0.05})
			if err != nil {
				continue
			}
			for _, b := range r.Samples {
				finiteOrError(t, "Run"+field, nil, b.Manifold, b.Port, b.Chamber, b.Rod, b.Theta, b.In, b.Out, b.Hose, b.Torn)
			}
		}
	}
	identify := func(field string) {
		id, err := Identify(readings, gauges)
		if err != nil {
			return
		}
		for _, e := range []Estimate{id.Onset, id.Slope, id.Full, id.Most, id.Band} {
			finiteOrError(t, "Identify"+field, nil, e.Value, e.Low, e.High, id.Misfit)
		}
	}
	spoil(reflect.ValueOf(&s.Unit), " with Unit", unit)
	spoil(reflect.ValueOf(&a), " with argument", unit)
	spoil(reflect.ValueOf(s), " with System", air)
	spoil(reflect.ValueOf(&v), " with Vehicle", air)
	spoil(reflect.ValueOf(&l), " with Load", air)
	spoil(reflect.ValueOf(&a), " with argument", air)
	spoil(reflect.ValueOf(&a), " with argument", plain)
	spoil(reflect.ValueOf(&g), " with Gas", plain)
	spoil(reflect.ValueOf(s), " with System", run)
	spoil(reflect.ValueOf(&a), " with argument", run)
	spoil(reflect.ValueOf(driver), " with driver", run)
	spoil(reflect.ValueOf(readings), " with reading", identify)
	spoil(reflect.ValueOf(&gauges), " with gauges", identify)
}
