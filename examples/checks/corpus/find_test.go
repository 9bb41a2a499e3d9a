package corpus

import (
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/quantity"
)

// TestComparer checks the comparison itself, by hand: what it must pass, and
// above all what it must not.
func TestComparer(t *testing.T) {
	newton := func(x float64) quantity.Quantity { return SI(x, dimForce) }
	for _, c := range []struct {
		name     string
		text     string
		rounding string
		tol      *Tolerance
		got      quantity.Quantity
		agrees   bool
	}{
		{"inside half the last digit", "9.4 N", "", nil, newton(9.4499), true},
		{"on the edge of it", "9.4 N", "", nil, newton(9.45), true},
		{"outside", "9.4 N", "", nil, newton(9.4501), false},
		{"below the edge", "9.4 N", "", nil, newton(9.35), true},
		{"below, outside", "9.4 N", "", nil, newton(9.3499), false},
		{"zeros count", "9.400 N", "", nil, newton(9.4006), false},
		{"whole number", "302 N", "", nil, newton(302.49), true},
		{"whole number outside", "302 N", "", nil, newton(302.51), false},
		{"negative", "-9.4 N", "", nil, newton(-9.44), true},
		{"sign is seen", "-9.4 N", "", nil, newton(9.4), false},
		{"other unit", "9.4 kN", "", nil, newton(9449), true},
		{"other unit outside", "9.4 kN", "", nil, newton(9451), false},
		{"exponent", "2.84e-5 N", "", nil, newton(2.8449e-5), true},
		{"exponent outside", "2.84e-5 N", "", nil, newton(2.8451e-5), false},
		{"tiny value is not waved through", "3e-9 N", "", nil, newton(6e-5), false},
		{"tiny value, zero computed", "3e-9 N", "", nil, newton(0), false},
		{"zero published", "0 N", "", nil, newton(0.4), true},
		{"zero published, outside", "0 N", "", nil, newton(0.6), false},
		{"zero to a digit", "0.00 N", "", nil, newton(0.006), false},
		{"rounding", "1200 N", "100 N", nil, newton(1249), true},
		{"rounding outside", "1200 N", "100 N", nil, newton(1251), false},
		{"exact", "0.3 N", "exact", nil, newton(0.1 + 0.2), true},
		{"exact outside", "0.3 N", "exact", nil, newton(0.3 + 1e-9), false},
		{"tolerance", "9.4 N", "", &Tolerance{"0.3 N", "a reason"}, newton(9.69), true},
		{"tolerance outside", "9.4 N", "", &Tolerance{"0.3 N", "a reason"}, newton(9.71), false},
		{"tolerance in percent", "200 N", "", &Tolerance{"2 %", "a reason"}, newton(203.9), true},
		{"tolerance in percent, outside", "200 N", "", &Tolerance{"2 %", "a reason"}, newton(204.1), false},
		{"tolerance in percent of a ratio", "50 %", "", &Tolerance{"2 %", "a reason"}, Number(0.511), false},
		{"degree Celsius", "20 degC", "", nil, SI(293.6, dimTemperature), true},
		{"degree Celsius outside", "20 degC", "", nil, SI(293.7, dimTemperature), false},
		{"degree Fahrenheit", "68 degF", "", nil, SI(293.15+0.27, dimTemperature), true},
		{"degree Fahrenheit outside", "68 degF", "", nil, SI(293.15+0.29, dimTemperature), false},
		{"crank degrees", "20 deg crank", "", nil, CrankDegrees(20.4), true},
		{"crank degrees outside", "20 deg crank", "", nil, CrankDegrees(20.6), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			target, err := published("x", c.text, c.rounding, c.tol)
			if err != nil {
				t.Fatal(err)
			}
			if err := target.fits(c.got); err != nil {
				t.Fatal(err)
			}
			if _, agrees := target.gap(c.got, false); agrees != c.agrees {
				t.Errorf("%v against %s: agrees is %v, want %v", c.got, c.text, agrees, c.agrees)
			}
			if diff, agrees := target.gap(c.got, true); agrees != (diff == 0) {
				t.Errorf("%v against %s with all tolerances zero: agrees is %v at difference %g", c.got, c.text, agrees, diff)
			}
		})
	}
}

// TestIncomparable checks that a value of another kind, NaN and infinities are
// never compared, and that gap would not let them through either.
func TestIncomparable(t *testing.T) {
	target, err := published("x", "9.4 N", "", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, got := range []quantity.Quantity{
		SI(9.4, dimMoment), Number(9.4), {SI: 9.4, Dim: dimForce, Shaft: quantity.Crank},
		SI(math.NaN(), dimForce), SI(math.Inf(1), dimForce), SI(math.Inf(-1), dimForce),
	} {
		if target.fits(got) == nil {
			t.Errorf("%v is held against 9.4 N", got)
		}
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, agrees := target.gap(SI(x, dimForce), false); agrees {
			t.Errorf("%v agrees with 9.4 N", x)
		}
	}
	crank, err := published("x", "12 deg crank", "", nil)
	if err != nil {
		t.Fatal(err)
	}
	if crank.fits(SI(0.2, dimAngle)) == nil {
		t.Error("an angle without shaft is held against one of the crank")
	}
	r, err := between("x", Range{"30 deg crank", "36 deg crank"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for deg, want := range map[float64]bool{29.9: false, 30: true, 33: true, 36: true, 36.1: false, math.NaN(): false} {
		if _, agrees := r.gap(CrankDegrees(deg), false); agrees != want {
			t.Errorf("%g in 30 to 36: agrees is %v, want %v", deg, agrees, want)
		}
	}
}

// TestWidenedRange checks that a tolerance widens a range on both sides.
func TestWidenedRange(t *testing.T) {
	r, err := between("x", Range{"30 deg crank", "36 deg crank"}, &Tolerance{"2 deg crank", "a reason"})
	if err != nil {
		t.Fatal(err)
	}
	for deg, want := range map[float64]bool{27.9: false, 28.1: true, 37.9: true, 38.1: false} {
		if _, agrees := r.gap(CrankDegrees(deg), false); agrees != want {
			t.Errorf("%g in 30 to 36 within 2: agrees is %v, want %v", deg, agrees, want)
		}
	}
	if _, err := between("x", Range{"30 deg crank", "36 deg crank"}, &Tolerance{"2 deg crank", ""}); err == nil {
		t.Error("a tolerance without reason is not refused")
	}
}

// TestBadTargets checks that doubtful expectations are refused.
func TestBadTargets(t *testing.T) {
	for _, c := range []struct {
		text, rounding string
		tol            *Tolerance
		says           string
	}{
		{"9.4", "", nil, "unit"},
		{"about 9 N", "", nil, "number"},
		{"9.4 N", "0.1 mm", nil, "kind"},
		{"9.4 N", "0 N", nil, "above zero"},
		{"9.4 N", "-1 N", nil, "above zero"},
		{"9.4 N", "0.1 N", &Tolerance{"1 N", "a reason"}, "and a tolerance"},
		{"9.4 N", "", &Tolerance{"1 N", " "}, "reason"},
		{"9.4 N", "", &Tolerance{"", "a reason"}, "within"},
		{"9.4 N", "", &Tolerance{"1 mm", "a reason"}, "kind"},
		{"20 degC", "", &Tolerance{"1 degC", "a reason"}, "K"},
		{"12 deg crank", "", &Tolerance{"1 deg", "a reason"}, "kind"},
	} {
		if _, err := published("x", c.text, c.rounding, c.tol); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s, rounding %q, tolerance %v: got error %v, want one saying %q", c.text, c.rounding, c.tol, err, c.says)
		}
	}
	for _, r := range []Range{{"30 deg", "36 mm"}, {"36 deg", "30 deg"}, {"30 deg", "30 deg"}, {"30 deg crank", "36 deg dist"}, {"30", "36 deg"}, {"30 deg", "x"}} {
		if _, err := between("x", r, nil); err == nil {
			t.Errorf("range %v is not refused", r)
		}
	}
}
