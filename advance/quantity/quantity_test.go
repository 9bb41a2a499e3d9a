package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/bobweight/advance"

	"example.org/bobweight/springs/valid"
)

// TestTableComplete reads every definition through: a unit that could not be
// made of the ones above it is not in the table.
func TestTableComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range definitions {
		if seen[d.symbol] {
			t.Errorf("%s is defined twice", d.symbol)
		}
		seen[d.symbol] = true
		s, ok := table[d.symbol]
		if !ok || s.ratio.Sign() <= 0 {
			t.Errorf("%s = %s %s is not in the table", d.symbol, d.factor, d.of)
		}
	}
	if got, want := len(table), len(definitions)+10; got != want {
		t.Errorf("%d symbols, want %d", got, want)
	}
}

// TestParse checks the texts of the package comment against values worked out
// by hand from the exact definitions; equality is to the last bit, since a
// value is rounded once.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text  string
		si    float64
		dim   Dim
		shaft Shaft
	}{
		{"18.5 g", 0.0185, dimMass, NoShaft},
		{"18.5g", 0.0185, dimMass, NoShaft},
		{"  18.5 g ", 0.0185, dimMass, NoShaft},
		{"2.1 N/mm", 2100, dimStiffness, NoShaft},
		{"9.4 lbf/in", 9.4 * 0.45359237 * 9.80665 / 0.0254, dimStiffness, NoShaft},
		{"14 inHg", 47409.446, dimPressure, NoShaft},
		{"3.5 mm", 0.0035, dimLength, NoShaft},
		{"1.2 kg m^2", 1.2, Dim{Mass: 1, Length: 2}, NoShaft},
		{"1.2 g cm^2", 1.2e-7, Dim{Mass: 1, Length: 2}, NoShaft},
		{"1.2 g·cm²", 1.2e-7, Dim{Mass: 1, Length: 2}, NoShaft},
		{"287.05 J/(kg K)", 287.05, Dim{Length: 2, Time: -2, Temperature: -1}, NoShaft},
		{"3 kg m^-3", 3, Dim{Mass: 1, Length: -3}, NoShaft},
		{"8.5:1", 8.5, dimNumber, NoShaft},
		{"8.5 1", 8.5, dimNumber, NoShaft},
		{"12 %", 0.12, dimNumber, NoShaft},
		{"20 degC", 293.15, dimTemperature, NoShaft},
		{"68 degF", 293.15, dimTemperature, NoShaft},
		{"-273.15 degC", 0, dimTemperature, NoShaft},
		{"180 deg", math.Pi, dimAngle, NoShaft},
		{"180 deg crank", math.Pi, dimAngle, Crank},
		{"60 rpm dist", 2 * math.Pi, dimAngularSpeed, Distributor},
		{"60 rev/min dist", 2 * math.Pi, dimAngularSpeed, Distributor},
		{"-1e-3 m", -0.001, dimLength, NoShaft},
		{"5e3 1", 5000, dimNumber, NoShaft},
		{"36 km/h", 10, Dim{Length: 1, Time: -1}, NoShaft},
		{"25 inH2O", 25 * 249.0889, dimPressure, NoShaft},
		{"2 (kg m)/s^2", 2, dimForce, NoShaft},
	} {
		q, err := Parse(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		// One unit in the last place for the hand product that rounds in steps.
		if !(math.Abs(q.SI-c.si) <= 2e-16*math.Abs(c.si)) || q.Dim != c.dim || q.Shaft != c.shaft {
			t.Errorf("%q = %v %v, want %v %v %v", c.text, q, q.Shaft, c.si, c.dim, c.shaft)
		}
	}
}

// TestExactFactors pins the factors that NIST SP 811 (2008), Appendix B.8, prints
// in bold, which are exact, and the conventional columns of liquid: the value
// must be the nearest float64, to the bit. The rounded factors of that appendix
// are checked to their last digit by the worked-example corpus.
func TestExactFactors(t *testing.T) {
	for text, want := range map[string]float64{
		"1 in": 0.0254, "1 ft": 0.3048, "1 mi": 1609.344, "1 thou": 2.54e-5,
		"1 lb": 0.45359237, "1 gr": 6.479891e-5, "1 oz": 0.028349523125, "1 t": 1000,
		"1 kgf": 9.80665, "1 lbf": 4.4482216152605, "1 mph": 0.44704,
		"1 atm": 101325, "1 bar": 1e5, "1 inHg": 3386.389, "1 mmHg": 133.3224,
		"1 inH2O": 249.0889, "1 mmH2O": 9.80665, "1 L": 0.001, "1 in^3": 1.6387064e-5,
		"1 cal": 4.1868, "1 Btu": 1055.05585262, "1 hp": 745.69987158227022,
		"1 h": 3600, "0 degC": 273.15, "32 degF": 273.15, "491.67 degR": 273.15,
	} {
		if q, err := Parse(text); err != nil || q.SI != want {
			t.Errorf("%s = %v, %v; want exactly %v", text, q.SI, err, want)
		}
	}
}

// TestRefused checks that what is not a value with its unit gets one sentence of
// the right kind.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		text string
		kind error
		says string
	}{
		{"", errSyntax, "number"},
		{"g", errSyntax, "number"},
		{".5 g", errSyntax, "number"},
		{"5. g", errSyntax, "number"},
		{"NaN g", errSyntax, "number"},
		{"Inf g", errSyntax, "number"},
		{"0x10 g", errUnit, "not known"},
		{"18,5 g", errSyntax, "decimal point"},
		{"1_000 g", errSyntax, "decimal point"},
		{"18.5", errUnit, "no unit"},
		{"18.5 furlong", errUnit, "not known"},
		{"18.5 g g/", errSyntax, "ends where"},
		{"18.5 J/kg K", errSyntax, "ambiguous"},
		{"18.5 m/s/s", errSyntax, "ambiguous"},
		{"18.5 g)", errSyntax, "cannot stand"},
		{"18.5 (g", errSyntax, "not closed"},
		{"18.5 m^", errSyntax, "power"},
		{"18.5 m^13", errSyntax, "power"},
		{"18.5 crank", errUnit, "not known"},
		{"18.5 m^0", errSyntax, "power"},
		{"18.5 m^99999999999999999999", errSyntax, "power"},
		{"18.5 (m^12)^12", errUnit, "power"},
		{"18.5 ((((((((((m))))))))))", errSyntax, "nest"},
		{"18.5 g ; rm", errSyntax, "wanted"},
		{"18.5 g\x00", errSyntax, "character"},
		{"18.5 \xff\xfe", errSyntax, "UTF-8"},
		{"18.5 �", errSyntax, "character"},
		{"1e999 g", errRange, "beyond"},
		{"1e-999 g", errRange, "smaller"},
		{"1e40 g", errRange, "beyond"},
		{"1e-29 mg", errRange, "beyond"},
		{"1e29 Mpsi", errRange, "beyond"},
		{"1e9999999999 g", errRange, "beyond"},
		{"1e-9999999999 g", errRange, "smaller"},
		{"-300 degC", errRange, "absolute zero"},
		{"5 J/degC", errUnit, "write K"},
		{"5 g crank", errShaft, "names a shaft"},
		{"5 mm dist", errShaft, "names a shaft"},
		{"14 in Hg", errUnit, "inHg"},
		{"5 Nm", errUnit, "N m"},
		{strings.Repeat("1", 200) + " g", errSyntax, "long"},
		// What people write, with its mend.
		{"12°", errSyntax, "for the degree sign write deg"},
		{"12° crank", errSyntax, "write deg"},
		{"20 °C", errSyntax, "write degC"},
		{"68 °F", errSyntax, "write degF"},
		{"3.5\"", errSyntax, "for the inch mark write in"},
		{"3.5″", errSyntax, "write in"},
		{"3.5 ''", errSyntax, "write in"},
		{"3/8 in", errSyntax, "for the fraction write 0.375"},
		{"1 3/8 in", errSyntax, "for the fraction write 1.375"},
		{"1-3/8 in", errSyntax, "for the fraction write 1.375"},
		{"3/0 in", errSyntax, "fraction"},
		{"½ in", errSyntax, "for the fraction write 0.5"},
		{"1½ in", errSyntax, "for the fraction write 1.5"},
		{"12 BTDC", errUnit, "before top centre write deg crank"},
		{"12 deg BTDC", errUnit, "before top centre write deg crank"},
		{"12 deg ATDC", errUnit, "after top centre write a negative angle in deg crank"},
		{"12 deg distributor", errUnit, "write dist"},
		{"1300 RPM dist", errUnit, "write rpm"},
		{"−5 deg crank", errSyntax, "for the minus write -"},
		{"18.5\u00a0g", errSyntax, "a space that is not a plain one"},
		{"1,234.5 rpm crank", errSyntax, "decimal point"},
		{"12..5 g", errSyntax, "number"},
		{"about 12 g", errSyntax, "number"},
		{"12 (deg) crank dist", errUnit, "not known"},
	} {
		_, err := Parse(c.text)
		if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: got error %v, want kind %q saying %q", c.text, err, c.kind, c.says)
		}
		if err != nil && (strings.ContainsAny(err.Error(), "\n\x00") || !utf8.ValidString(err.Error())) {
			t.Errorf("%q: the message is not one clean line: %q", c.text, err.Error())
		}
	}
}

// TestText reads the fields of a file and refuses the classic mistakes.
func TestText(t *testing.T) {
	var (
		mass   Mass
		rate   Stiffness
		hose   Vacuum
		static Angle
		allIn  Speed
		air    Temperature
	)
	type reader interface{ UnmarshalText(text []byte) error }
	for text, field := range map[string]reader{
		"18.5 g": &mass, "9.4 lbf/in": &rate, "14 inHg": &hose, "6 deg dist": &static, "2600 rpm crank": &allIn, "20 degC": &air,
	} {
		if err := field.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	deg, err := static.Crank(advance.FourStroke)
	if err != nil || deg != 12 {
		t.Errorf("6 deg dist = %v deg crank, %v; want 12", deg, err)
	}
	if rpm, err := allIn.Crank(advance.FourStroke); err != nil || rpm != 2600 {
		t.Errorf("2600 rpm crank = %v, %v", rpm, err)
	}
	if mass != 0.0185 || air != 293.15 || hose != 14*3386.389 {
		t.Errorf("read %v, %v, %v", mass, air, hose)
	}
	if want := 9.4 * 4.4482216152605 / 0.0254; !(math.Abs(float64(rate)-want) <= 1e-12*want) { // NIST SP 811: lbf and in are exact
		t.Errorf("9.4 lbf/in = %v N/m, want %v", float64(rate), want)
	}

	for _, c := range []struct {
		field reader
		text  string
		kind  error
		says  string
	}{
		{&mass, "18.5", errUnit, "g, oz, kg"},
		{&mass, "18.5 mm", errUnit, "g, oz, kg"},
		{&mass, "-18.5 g", errRange, "negative"},
		{&mass, "18.5 g\xff", errSyntax, "UTF-8"},
		{&rate, "9.4 lb/in", errUnit, "write lbf"},
		{&rate, "9.4 kg/mm", errUnit, "write kgf"},
		{&static, "12", errUnit, "deg crank, deg dist"},
		{&static, "12 deg", errShaft, "deg crank, deg dist"},
		{&static, "12 rpm crank", errUnit, "deg crank, deg dist"},
		{&static, "12 deg cam", errUnit, "not known"},
		{&allIn, "2600", errUnit, "rpm crank, rpm dist"},
		{&allIn, "2600 rpm", errShaft, "rpm crank, rpm dist"},
		{&allIn, "2600 deg crank", errUnit, "rpm crank, rpm dist"},
		{&allIn, "-5 rpm crank", errRange, "negative"},
		{(*Mass)(nil), "18.5 g", errNil, "nil"},
		{(*Angle)(nil), "12 deg crank", errNil, "nil"},
	} {
		err := c.field.UnmarshalText([]byte(c.text))
		if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got error %v, want kind %q saying %q", c.text, err, c.kind, c.says)
		}
	}
}

// TestShafts checks the conversions against the trade's arithmetic: the
// distributor of a four-stroke turns at half crank speed (common practice, no
// source), a turn is 2π rad and a minute 60 s.
func TestShafts(t *testing.T) {
	d := advance.FourStroke
	rpm, err := Speed{1300, Distributor}.Crank(d)
	if err != nil || rpm != 2600 {
		t.Errorf("1300 rpm dist = %v rpm crank, %v; want 2600", rpm, err)
	}
	omega, err := Speed{2600, Crank}.Dist(d)
	if want := 1300 * 2 * math.Pi / 60; err != nil || !(math.Abs(omega-want) <= 1e-15*want) {
		t.Errorf("2600 rpm crank = %v rad/s dist, %v; want %v", omega, err, want)
	}
	theta, err := Angle{12, Crank}.Dist(d)
	if want := math.Pi / 30; err != nil || !(math.Abs(theta-want) <= 1e-15) {
		t.Errorf("12 deg crank = %v rad dist, %v; want %v", theta, err, want)
	}

	for _, f := range []func() error{
		func() error { _, err := Angle{}.Crank(d); return err },
		func() error { _, err := Speed{Value: 100}.Dist(d); return err },
		func() error { _, err := Angle{}.Dist(d); return err },
	} {
		if err := f(); !errors.Is(err, errShaft) {
			t.Errorf("got %v, want %v", err, errShaft)
		}
	}
	for _, f := range []func() error{
		func() error { _, err := Angle{math.NaN(), Crank}.Crank(d); return err },
		func() error { _, err := Speed{math.Inf(1), Crank}.Dist(d); return err },
		func() error { _, err := Speed{-1, Crank}.Crank(d); return err },
		func() error { _, err := Mass(math.Inf(1)).in("g"); return err },
		func() error { _, err := Stress(1e308).in("N/km^2"); return err },
	} {
		if err := f(); !errors.Is(err, errRange) {
			t.Errorf("got %v, want %v", err, errRange)
		}
	}
	if _, err := (Angle{1, Crank}).Crank(0); !errors.Is(err, valid.ErrRange) {
		t.Errorf("drive 0: got %v, want %v", err, valid.ErrRange)
	}
	if _, err := Mass(1).in("mm"); !errors.Is(err, errUnit) {
		t.Errorf("mass in mm: got %v, want %v", err, errUnit)
	}
}

// TestBoth pins the two-unit form that reports use.
func TestBoth(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Stiffness(2100).Both(), "2.1 N/mm (12.0 lbf/in)"},
		{Mass(0.0185).Both(), "18.5 g (0.653 oz)"},
		{Length(0.0035).Both(), "3.5 mm (0.138 in)"},
		{Vacuum(14 * 3386.389).Both(), "47.41 kPa (14.0 inHg)"},
		{Temperature(293.15).Both(), "20 degC (68.0 degF)"},
		{Ratio(8.5).Both(), "8.5 1 (850 %)"},
		{Turns(9.5).String(), "9.5 turns"},
		{Length(0).Both(), "0 mm (0 in)"},
		{Force(-1234.6).Both(), "-1235 N (-278 lbf)"},
		{Stress(79.3e9).Both(), "79300 MPa (11500 ksi)"},
		{Mass(math.NaN()).Both(), "not a mass"},
		{Length(9.9996e-3).Both(), "10 mm (0.394 in)"},
		{Speed{2600, Crank}.String(), "2600 rpm crank"},
		{Angle{34.5, Crank}.String(), "34.5 deg crank"},
		{Angle{34.5, NoShaft}.String(), "not a shaft angle"},
		{Mass(1e-12).Both(), "1e-09 g (3.53e-11 oz)"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
