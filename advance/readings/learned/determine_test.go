package learned_test

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/advance/readings/learned"
)

func combination(weights string, springs ...string) learned.Combination {
	return learned.Combination{Springs: springs, Weights: weights}
}

// What runs do and do not determine, by hand. With the same weights and alike places
// runs are edges between the names of springs, a pair of one name a loop: a linked
// group is determined if it holds a loop or an odd ring (the rank of an unsigned
// incidence matrix: Van Nuffelen, On the incidence matrix of a graph, IEEE
// Transactions on Circuits and Systems 23, 1976, p. 572); one of two sides gives only
// pairs across.
func TestDetermine(t *testing.T) {
	c := combination
	scale := map[string]learned.Mass{"": {Value: 40, Sigma: 0.4}, "v": {Value: 36, Sigma: 0.4}}
	for name, x := range map[string]struct {
		runs []learned.Combination
		want learned.Combination
		set  learned.Settings
		ok   bool
		fact float64
	}{
		"itself":                  {[]learned.Combination{c("", "a", "b")}, c("", "a", "b"), learned.Settings{}, true, 1},
		"half-way":                {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "b"), learned.Settings{}, true, math.Sqrt(0.5)},
		"beyond":                  {[]learned.Combination{c("", "a", "a"), c("", "a", "b")}, c("", "b", "b"), learned.Settings{}, true, math.Sqrt(5)},
		"other weights":           {[]learned.Combination{c("", "a", "a"), c("", "b", "b"), c("v", "a", "a")}, c("v", "a", "b"), learned.Settings{}, true, math.Sqrt(1.5)},
		"chain":                   {[]learned.Combination{c("", "a", "a"), c("", "a", "b"), c("", "b", "c")}, c("", "c", "c"), learned.Settings{}, true, 3},
		"ring":                    {[]learned.Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "a")}, c("", "a", "a"), learned.Settings{}, true, math.Sqrt(3)},
		"across":                  {[]learned.Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "d")}, c("", "a", "d"), learned.Settings{}, true, math.Sqrt(3)},
		"weighed":                 {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("v", "a", "b"), learned.Settings{Masses: scale}, true, math.Sqrt(1.5)},
		"swapped":                 {[]learned.Combination{c("", "a", "a"), c("", "b", "b"), c("", "a", "b")}, c("", "b", "a"), learned.Settings{PlacesDiffer: true}, true, math.Sqrt(3)},
		"linked weights":          {[]learned.Combination{c("", "a", "a"), c("v", "b", "b"), c("v", "a", "b")}, c("", "a", "b"), learned.Settings{}, true, 0},
		"drag shown":              {[]learned.Combination{c("", "a", "a"), c("", "a", "")}, c("", "", "a"), learned.Settings{}, true, 1},
		"1 pair from mixed":       {[]learned.Combination{c("", "a", "b")}, c("", "a", "a"), learned.Settings{}, false, 0},
		"2 one side of a chain":   {[]learned.Combination{c("", "a", "b"), c("", "b", "c"), c("", "c", "d")}, c("", "a", "c"), learned.Settings{}, false, 0},
		"3 loop of a chain":       {[]learned.Combination{c("", "a", "b"), c("", "b", "c")}, c("", "b", "b"), learned.Settings{}, false, 0},
		"4 groups without a link": {[]learned.Combination{c("", "a", "a"), c("", "b", "c")}, c("", "a", "b"), learned.Settings{}, false, 0},
		"5 spring never fitted":   {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "c"), learned.Settings{}, false, 0},
		"6 weights never fitted":  {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("v", "a", "b"), learned.Settings{}, false, 0},
		"7 weights without link":  {[]learned.Combination{c("", "a", "a"), c("v", "b", "b")}, c("", "a", "b"), learned.Settings{}, false, 0},
		"8 unlike places":         {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", "b"), learned.Settings{PlacesDiffer: true}, false, 0},
		"9 one spring alone":      {[]learned.Combination{c("", "a", "a"), c("", "b", "b")}, c("", "a", ""), learned.Settings{}, false, 0},
		"10 third weights":        {[]learned.Combination{c("", "a", "a"), c("v", "a", "a")}, c("w", "a", "a"), learned.Settings{}, false, 0},
		"11 one set on the scale": {[]learned.Combination{c("", "a", "a")}, c("v", "a", "a"), learned.Settings{Masses: map[string]learned.Mass{"v": scale["v"]}}, false, 0},
	} {
		got, err := learned.Determine(x.runs, x.want, &x.set)
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
			with, err := learned.Determine(append(x.runs[:len(x.runs):len(x.runs)], p), x.want, &x.set)
			if err != nil || !with.Determined {
				t.Errorf("%s: with %v still not determined (%v)", name, p, err)
			}
		}
		t.Logf("%s: propose %v", name, got.Propose)
	}
	if _, err := learned.Determine(nil, learned.Combination{}, nil); !errors.Is(err, learned.ErrRange) {
		t.Errorf("no springs: %v", err)
	}
}
