package design

import (
	"fmt"
	"sort"

	"example.org/bobweight/springs/valid"
)

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

// Tolerances returns half the widths in m of the bands that cold-coiled extension
// springs of the middle grade keep in their coil diameter and their free length: mean
// diameter 0.63 to 25 mm and free length up to 160 mm, in m, index 4 to 20 (DIN 2097,
// grade 2, as reproduced in spring makers' tables).
func Tolerances(mean, free, index float64) (diameter, length float64, err error) {
	diameter, err = diameterTolerance(mean, index)
	if err != nil {
		return 0, 0, err
	}
	length, err = lengthTolerance(free, index)
	return diameter, length, err
}

// diameterTolerance returns half the width in m of the band that cold-coiled
// extension springs of the middle grade keep in their coil diameter, for a mean
// diameter of 0.63 to 25 mm and an index of 4 to 20 (DIN 2097, grade 2, as
// reproduced in spring makers' tables).
func diameterTolerance(mean, index float64) (float64, error) {
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

// lengthTolerance returns half the width in m of the band that cold-coiled
// extension springs of the middle grade keep in their free length, for a free
// length up to 160 mm and an index of 4 to 20 (DIN 2097, grade 2, as reproduced
// in spring makers' tables).
func lengthTolerance(free, index float64) (float64, error) {
	if err := valid.Check(valid.ErrRange,
		valid.In("spring index", index, "", 4, 20),
		valid.Above("free length", free, "m", 0, maxLength),
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
