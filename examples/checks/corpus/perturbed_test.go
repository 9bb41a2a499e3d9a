package corpus

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"example.org/bobweight/testdata"
)

// TestPerturbed drives every calculation with the data of its cases, one value
// after the other made absurd. The library must refuse in words or find a number;
// it must never panic and never hang. What is not finite must not pass for a
// value: a calculation may multiply what the library finds by zero or divide by
// it, and the comparer then refuses the outcome.
func TestPerturbed(t *testing.T) {
	files, err := Load(testdata.Corpus, "corpus")
	if err != nil {
		t.Fatal(err)
	}
	runs, refused, infinite := 0, 0, 0
	for _, f := range files {
		for _, c := range f.Cases {
			all := changes(c)
			if testing.Short() { // another one of the changes for each case
				k := runs % max(len(all), 1)
				all = all[k:min(k+1, len(all))]
			}
			for _, change := range all {
				runs++
				found, err := driven(c.Calculation, change.given)
				if err != nil {
					refused++
					continue
				}
				for _, target := range c.targets {
					got := found[target.name]
					if math.IsNaN(got.SI) || math.IsInf(got.SI, 0) {
						infinite++
						if target.fits(got) == nil {
							t.Errorf("%s:%d: case %s with %s: %s = %g is compared", f.Name, c.line, c.ID, change.what, target.name, got.SI)
						}
					}
				}
			}
		}
	}
	t.Logf("%d runs, %d of them refused, %d values not finite", runs, refused, infinite)
	if refused == 0 || refused == runs {
		t.Errorf("%d of %d runs were refused; absurd data should sometimes be", refused, runs)
	}
}

// change is a case's data with one value made absurd.
type change struct {
	what  string
	given *Given
}

func changes(c *Case) []change {
	var out []change
	for _, name := range slices.Sorted(maps.Keys(c.Given)) {
		if c.Given[name].word != "" {
			continue
		}
		for _, factor := range []float64{0, -1, 1e-9, 1e-3, 1e3, 1e9, 1e25} {
			values := maps.Clone(c.Given)
			v := values[name]
			v.quantity.SI *= factor
			values[name] = v
			out = append(out, change{
				fmt.Sprintf("%s times %g", name, factor),
				&Given{values: values, lists: c.Lists, groups: c.Groups},
			})
		}
	}
	return out
}

// driven runs a calculation; a given that it cannot use is an error too.
func driven(name string, g *Given) (found Found, err error) {
	found, err = registry[name].run(g)
	if wrong := g.problem(); wrong != nil {
		err = wrong
	}
	return found, err
}
