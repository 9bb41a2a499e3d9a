package valid_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.org/bobweight/springs/valid"
)

var errRange = valid.Sentinel("drawer")

func TestSentence(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		r    valid.Range
		want string
	}{
		{valid.Range{"mixture", 3, "", 0.7, 1.5, false}, "mixture is 3, valid is 0.7 to 1.5"},
		{valid.Range{"mixture", 3, "1", 0.7, 1.5, false}, "mixture is 3, valid is 0.7 to 1.5"},
		{valid.Range{"mass", 0, "kg", 0, 1, true}, "mass is 0 kg, valid is more than 0 and at most 1 kg"},
		{valid.Range{"mass", math.NaN(), "kg", 0, 1, false}, "mass is NaN kg, valid is 0 to 1 kg"},
		{valid.Range{"speed", inf, "rad/s", -inf, inf, false}, "speed is +Inf rad/s, valid is a finite number"},
		{valid.Range{"rate", 0, "N/m", 0, inf, true}, "rate is 0 N/m, valid is a finite number above 0 N/m"},
		{valid.Range{"rate", -1, "N/m", 0, inf, false}, "rate is -1 N/m, valid is a finite number of 0 N/m or more"},
		{valid.Range{"level", 1, "", -inf, 0, false}, "level is 1, valid is a finite number of at most 0"},
	} {
		err := valid.Check(errRange, valid.Range{Field: "before"}, c.r)
		if !errors.Is(err, errRange) {
			t.Fatalf("%v: sentinel lost: %v", c.r, err)
		}
		if got, want := err.Error(), errRange.Error()+": "+c.want; got != want {
			t.Errorf("got %q\nwant %q", got, want)
		}
	}
}

func TestWithin(t *testing.T) {
	inf := math.Inf(1)
	err := valid.Check(errRange,
		valid.Range{"mixture", 0.7, "", 0.7, 1.5, false},
		valid.Range{"mixture", 1.5, "", 0.7, 1.5, false},
		valid.Range{"mass", math.SmallestNonzeroFloat64, "kg", 0, 1, true},
		valid.Range{"speed", -math.MaxFloat64, "rad/s", -inf, inf, false})
	if err != nil {
		t.Error(err)
	}
	if valid.Finite(1, math.NaN()) || valid.Finite(math.Inf(-1)) || !valid.Finite(math.MaxFloat64) || !valid.Finite() {
		t.Error("Finite")
	}
}

func ExampleRefuse() {
	errRange := errors.New("vacuum: value out of range")
	err := valid.Refuse(errRange, "hose bore", 0, "mm", "0.2 to 12 mm")
	fmt.Println(err)
	fmt.Println(errors.Is(err, errRange))
	// Output:
	// vacuum: value out of range: hose bore is 0 mm, valid is 0.2 to 12 mm
	// true
}

func ExampleCheck() {
	errRange := errors.New("knock: value out of range")
	fmt.Println(valid.Check(errRange, valid.Range{Field: "mixture", Value: 3, From: 0.7, To: 1.5}))
	// Output: knock: value out of range: mixture is 3, valid is 0.7 to 1.5
}

func TestSentinelNamesThePackage(t *testing.T) {
	err := valid.Check(errRange, valid.In("bore", 3, "m", 0.03, 0.2))
	if !errors.Is(err, valid.ErrRange) || !errors.Is(err, errRange) || errors.Is(err, valid.Sentinel("springs")) {
		t.Errorf("%v is ErrRange, of the drawer and of no other package", err)
	}
	if want := "drawer: value out of range: bore is 3 m, valid is 0.03 to 0.2 m"; err.Error() != want {
		t.Errorf("%q, want %q", err, want)
	}
}
