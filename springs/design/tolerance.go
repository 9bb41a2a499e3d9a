package design

import (
	"fmt"
	"math"
	"sort"

	"example.org/bobweight/springs/valid"
)

// Tolerance is how far a made spring may lie off its drawing, each field half
// the width of the band or one standard deviation, as the user likes: what comes
// out of [Part.Spread] is of the same kind.
type Tolerance struct {
	Diameter       float64 // m, of the wire
	MeanDiameter   float64 // m, of the coil
	BodyCoils      float64 // turns
	Shear          float64 // of the shear modulus, as a fraction
	InitialTension float64 // N
	LoopHeight     float64 // m, of each loop
}

// Spread is how far rate, free length and load of a part may lie off.
type Spread struct {
	Rate       float64 // N/m, root of the sum of squares
	FreeLength float64 // m, root of the sum of squares
	Load       float64 // N, at the length asked for, root of the sum of squares
	WorstLoad  float64 // N, all deviations at their worst together
}

// Spread returns how the tolerances of the drawing show in the law, to first
// order, at a length in m beyond the take-up length at 20 degrees Celsius. Rate
// and length move together: thicker wire is stiffer and its body longer, which
// is why a load is not as uncertain as its parts.
//
//	dk/k = 4 dd/d - 3 dD/D - dN/Na + dG/G,   dL0 = (N + 1) dd + d dN + dheights
//	dT = dTi + (L - take-up) dk - k dL0
func (p Part) Spread(length float64, t Tolerance) (Spread, error) {
	s, err := p.Spring(roomTemperature)
	if err != nil {
		return Spread{}, err
	}
	w, err := p.Wire(roomTemperature)
	if err != nil {
		return Spread{}, err
	}
	if err := valid.Check(valid.ErrRange,
		valid.Above("length", length, "m", s.TakeUp(), maxLength),
		valid.In("tolerance of the wire diameter", t.Diameter, "m", 0, p.Diameter/2),
		valid.In("tolerance of the mean diameter", t.MeanDiameter, "m", 0, p.MeanDiameter/2),
		valid.In("tolerance of the turns", t.BodyCoils, "coils", 0, p.BodyCoils/2),
		valid.In("tolerance of the shear modulus", t.Shear, "of it", 0, 0.5),
		valid.In("tolerance of the initial tension", t.InitialTension, "N", 0, maxForce),
		valid.In("tolerance of the loop height", t.LoopHeight, "m", 0, maxLength),
	); err != nil {
		return Spread{}, err
	}
	k, x := s.Rate, length-s.TakeUp()
	var out Spread
	for _, cause := range []struct{ rate, free, tension float64 }{
		{rate: 4 * k / p.Diameter * t.Diameter, free: (p.BodyCoils + 1) * t.Diameter},
		{rate: -3 * k / p.MeanDiameter * t.MeanDiameter},
		{rate: -k / w.ActiveCoils * t.BodyCoils, free: p.Diameter * t.BodyCoils},
		{rate: k * t.Shear},
		{tension: t.InitialTension},
		{free: t.LoopHeight},
		{free: t.LoopHeight},
	} {
		load := cause.tension + x*cause.rate - k*cause.free
		out.Rate = math.Hypot(out.Rate, cause.rate)
		out.FreeLength = math.Hypot(out.FreeLength, cause.free)
		out.Load = math.Hypot(out.Load, load)
		out.WorstLoad += math.Abs(load)
	}
	return out, nil
}

// step is one row of a stepped table: values up to a size, by column.
type step struct {
	to     float64 // mm
	values []float64
}

// pick returns a value in m of a stepped table in mm for a size in m.
func pick(name string, size float64, from float64, rows []step, column int) (float64, error) {
	mm := size / milli
	i := sort.Search(len(rows), func(i int) bool { return mm <= rows[i].to*(1+edge) })
	if !(mm >= from*(1-edge)) || i == len(rows) {
		return 0, valid.Refuse(valid.ErrRange, name, size, "m", fmt.Sprintf("%.6g to %.6g m", from*milli, rows[len(rows)-1].to*milli))
	}
	return rows[i].values[column] * milli, nil
}

// DiameterTolerance returns half the width in m of the band that cold-coiled
// extension springs of the middle grade keep in their coil diameter, for a mean
// diameter of 0.63 to 25 mm and an index of 4 to 20 (DIN 2097, grade 2, as
// reproduced in spring makers' tables).
func DiameterTolerance(mean, index float64) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("spring index", index, "", 4, 20)); err != nil {
		return 0, err
	}
	column := sort.SearchFloat64s([]float64{8, 14}, index)
	return pick("mean coil diameter", mean, 0.63, []step{
		{1, []float64{0.07, 0.10, 0.15}},
		{1.6, []float64{0.08, 0.10, 0.15}},
		{2.5, []float64{0.10, 0.15, 0.20}},
		{4, []float64{0.15, 0.20, 0.25}},
		{6.3, []float64{0.20, 0.25, 0.30}},
		{10, []float64{0.25, 0.30, 0.35}},
		{16, []float64{0.30, 0.35, 0.40}},
		{25, []float64{0.35, 0.45, 0.50}},
	}, column)
}

// LengthTolerance returns half the width in m of the band that cold-coiled
// extension springs of the middle grade keep in their free length, for a free
// length up to 160 mm and an index of 4 to 20 (DIN 2097, grade 2, as reproduced
// in spring makers' tables).
func LengthTolerance(free, index float64) (float64, error) {
	if err := valid.Check(valid.ErrRange,
		valid.In("spring index", index, "", 4, 20),
		valid.Above("free length", free, "m", 0, 0.16*(1+edge)),
	); err != nil {
		return 0, err
	}
	column := sort.SearchFloat64s([]float64{8}, index)
	return pick("free length", free, 0, []step{
		{10, []float64{0.40, 0.50}},
		{16, []float64{0.50, 0.60}},
		{25, []float64{0.60, 0.70}},
		{40, []float64{0.80, 0.90}},
		{63, []float64{1.10, 1.30}},
		{100, []float64{1.50, 1.80}},
		{160, []float64{2.00, 2.40}},
	}, column)
}
