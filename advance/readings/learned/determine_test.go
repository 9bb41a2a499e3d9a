package learned

import (
	"errors"
	"math"
	"testing"
)

func combination(weights string, springs ...string) Combination {
	return Combination{Springs: springs, Weights: weights}
}

// What runs do and do not determine, by hand. With the same weights and alike places
// runs are edges between the names of springs, a pair of one name a loop: a linked
// group is determined if it holds a loop or an odd ring (the rank of an unsigned
// incidence matrix: Van Nuffelen, On the incidence matrix of a graph, IEEE
// Transactions on Circuits and Systems 23, 1976, p. 572); one of two sides gives only
// pairs across.
func TestDetermine(t *testing.T) {
	c := combination
	scale := map[string]Mass{"": {Value: 40, Sigma: 0.4}, "v": {Value: 36, Sigma: 0.4}}
	for name, x := range map[string]struct {
		runs []Combination
		want Combination
		set  Settings
		ok   bool
		fact float64
	}{
		"itself":                  {[]Combination{c("", "a", "b")}, c("", "a", "b"), Settings{}, true, 1},
		"half-way":                {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "b"), Settings{}, true, math.Sqrt(0.5)},
		"beyond":                  {[]Combination{c("", "a", "a"), c("", "a", "b")}, c("", "b", "b"), Settings{}, true, math.Sqrt(5)},
		"other weights":           {[]Combination{c("", "a", "a"), c("", "b", "b"), c("v", "a", "a")}, c("v", "a", "b"), Settings{}, true, math.Sqrt(1.5)},
		"chain":                   {[]Combination{c("", "a", "a"), c("", "a", "b"), c("", "b", "c")}, c("", "c", "c"), Settings{}, true, 3},
		"ring":                    {[]Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "a")}, c("", "a", "a"), Settings{}, true, math.Sqrt(3)},
		"across":                  {[]Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "d")}, c("", "a", "d"), Settings{}, true, math.Sqrt(3)},
		"weighed":                 {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("v", "a", "b"), Settings{Masses: scale}, true, math.Sqrt(1.5)},
		"swapped":                 {[]Combination{c("", "a", "a"), c("", "b", "b"), c("", "a", "b")}, c("", "b", "a"), Settings{PlacesDiffer: true}, true, math.Sqrt(3)},
		"linked weights":          {[]Combination{c("", "a", "a"), c("v", "b", "b"), c("v", "a", "b")}, c("", "a", "b"), Settings{}, true, 0},
		"drag shown":              {[]Combination{c("", "a", "a"), c("", "a", "")}, c("", "", "a"), Settings{}, true, 1},
		"1 pair from mixed":       {[]Combination{c("", "a", "b")}, c("", "a", "a"), Settings{}, false, 0},
		"2 one side of a chain":   {[]Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "d")}, c("", "a", "c"), Settings{}, false, 0},
		"3 loop of a chain":       {[]Combination{c("", "a", "b"), c("", "b", "c")}, c("", "b", "b"), Settings{}, false, 0},
		"4 groups without a link": {[]Combination{c("", "a", "a"), c("", "b", "c")}, c("", "a", "b"), Settings{}, false, 0},
		"5 spring never fitted":   {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "c"), Settings{}, false, 0},
		"6 weights never fitted":  {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("v", "a", "b"), Settings{}, false, 0},
		"7 weights without link":  {[]Combination{c("", "a", "a"), c("v", "b", "b")}, c("", "a", "b"), Settings{}, false, 0},
		"8 unlike places":         {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "b"), Settings{PlacesDiffer: true}, false, 0},
		"9 one spring alone":      {[]Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", ""), Settings{}, false, 0},
		"10 third weights":        {[]Combination{c("", "a", "a"), c("v", "a", "a")}, c("w", "a", "a"), Settings{}, false, 0},
		"11 one set on the scale": {[]Combination{c("", "a", "a")}, c("v", "a", "a"), Settings{Masses: map[string]Mass{"v": scale["v"]}}, false, 0},
	} {
		got, err := determine(x.runs, x.want, &x.set)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got.Determined != x.ok {
			t.Errorf("%s: determined %t, want %t", name, got.Determined, x.ok)
		}
		if x.fact > 0 && !(math.Abs(got.Factor-x.fact) < 1e-9) {
			t.Errorf("%s: factor %.4f, want %.4f", name, got.Factor, x.fact)
		}
		if x.ok {
			continue
		}
		// Every run proposed must do what it promises; the combination itself is last.
		n := len(got.Propose)
		if n == 0 || got.Propose[n-1].String() != x.want.String() {
			t.Errorf("%s: proposals %v do not end with the combination itself", name, got.Propose)
		}
		for _, p := range got.Propose {
			with, err := determine(append(x.runs[:len(x.runs):len(x.runs)], p), x.want, &x.set)
			if err != nil || !with.Determined {
				t.Errorf("%s: with %v still not determined (%v)", name, p, err)
			}
		}
		t.Logf("%s: propose %v", name, got.Propose)
	}
	if _, err := determine(nil, Combination{}, nil); !errors.Is(err, errRange) {
		t.Errorf("no springs: %v", err)
	}
}
