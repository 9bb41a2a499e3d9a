package corpus

import (
	"fmt"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
)

// Found is what a calculation found, by name, in SI with dimensions.
type Found map[string]quantity.Quantity

// SI makes a found value of a number in the coherent SI unit of a dimension.
func SI(x float64, d quantity.Dim) quantity.Quantity { return quantity.Quantity{SI: x, Dim: d} }

// Number makes a found value of a plain number.
func Number(x float64) quantity.Quantity { return quantity.Quantity{SI: x} }

// CrankDegrees makes a found value of an angle in crank degrees.
func CrankDegrees(deg float64) quantity.Quantity {
	return quantity.Quantity{SI: advance.CrankSpeed.ShaftRadians(deg), Dim: quantity.DimAngle, Shaft: quantity.Crank}
}

// CrankRPM makes a found value of an engine speed in crank rpm.
func CrankRPM(rpm float64) quantity.Quantity {
	return quantity.Quantity{SI: advance.CrankSpeed.Omega(rpm), Dim: quantity.DimAngularSpeed, Shaft: quantity.Crank}
}

// calculation is a library call under the short name that cases use.
type calculation struct {
	name   string
	drives string // the library functions it calls, for the table
	run    func(*Given) (Found, error)
}

// registry holds the calculations of the calc_*.go files by name; clashes holds
// the names that were registered twice, which [Run] reports.
var (
	registry = map[string]calculation{}
	clashes  []string
)

// register is called from the init functions of the calc_*.go files.
func register(name, drives string, run func(*Given) (Found, error)) {
	if _, ok := registry[name]; ok {
		clashes = append(clashes, name)
	}
	registry[name] = calculation{name, drives, run}
}

// Calculations returns the names of all registered calculations with the library
// functions they drive, sorted, one "name: functions" a line.
func Calculations() []string {
	var out []string
	for _, c := range registry {
		out = append(out, fmt.Sprintf("%s: %s", c.name, c.drives))
	}
	slices.Sort(out)
	return out
}
