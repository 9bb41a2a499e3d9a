package corpus

import (
	"maps"
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
	return quantity.Quantity{SI: advance.CrankSpeed.ShaftRadians(deg), Dim: dimAngle, Shaft: quantity.Crank}
}

// CrankRPM makes a found value of an engine speed in crank rpm.
func CrankRPM(rpm float64) quantity.Quantity {
	return quantity.Quantity{SI: advance.CrankSpeed.Omega(rpm), Dim: dimAngularSpeed, Shaft: quantity.Crank}
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

// Calculation is what a case can name: the library functions that it drives, the
// givens that the cases of the corpus hand it, and the values that it finds.
type Calculation struct {
	Name    string   `json:"name"`
	Subject Subject  `json:"subject"`
	Drives  string   `json:"drives"`
	Givens  []string `json:"givens"`
	Finds   []string `json:"finds"`
}

// Calculations returns all registered calculations, sorted by name. The givens are
// those that at least one case of the files asked for, and the values those that at
// least one case got.
func Calculations(files []*File) []Calculation {
	asked, found := map[string]map[string]bool{}, map[string]map[string]bool{}
	for _, f := range files {
		for _, c := range f.Cases {
			calc, ok := registry[c.Calculation]
			if !ok {
				continue
			}
			g := c.given()
			// An outcome is Run's to judge; here only the names count.
			got, _ := calc.run(g)
			if asked[calc.name] == nil {
				asked[calc.name], found[calc.name] = map[string]bool{}, map[string]bool{}
			}
			for name := range g.asked {
				asked[calc.name][name] = true
			}
			for name := range got {
				found[calc.name][name] = true
			}
		}
	}
	var out []Calculation
	for _, name := range slices.Sorted(maps.Keys(registry)) {
		c := registry[name]
		subject, _ := subjectOf(c.drives)
		out = append(out, Calculation{Name: name, Subject: subject, Drives: c.drives,
			Givens: slices.Sorted(maps.Keys(asked[name])), Finds: slices.Sorted(maps.Keys(found[name]))})
	}
	return out
}
