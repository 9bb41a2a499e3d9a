package design

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// Every number of the printed tables, typed a second time: the tables are wrong
// where the two typings differ. What a table must obey besides, order and
// smoothness, is tested below.

// rows reads a table of numbers, one row a line.
func rows(t *testing.T, text string) [][]float64 {
	t.Helper()
	var out [][]float64
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		var row []float64
		for _, f := range strings.Fields(line) {
			var x float64
			if _, err := fmt.Sscan(f, &x); err != nil {
				t.Fatalf("%q: %v", f, err)
			}
			row = append(row, x)
		}
		out = append(out, row)
	}
	return out
}

func same(t *testing.T, what string, got, want float64, err error) {
	t.Helper()
	if err != nil || !scalar.EqualWithinRel(got, want, 1e-9) {
		t.Errorf("%s: %v (%v), typed again %v", what, got, err, want)
	}
}

// The music wire series in mils: no step is wider than an eighth of the size.
func TestMusicWireSizes(t *testing.T) {
	want := rows(t, `10 11 12 13 14 15 16 18 20 22 24 26 28 30 32 34 36 38 40 42 45 48 51 55 59 63 67 72 76 80 85 90 95 100`)[0]
	got := MusicWireSizes()
	if len(got) != len(want) {
		t.Fatalf("%d sizes, typed again %d", len(got), len(want))
	}
	for i := range got {
		same(t, fmt.Sprintf("size %d", i+1), got[i]/inch*1000, want[i], nil)
		if i > 0 && !(got[i] > got[i-1] && got[i] < 1.126*got[i-1]) {
			t.Errorf("size %d: %v m after %v m", i+1, got[i], got[i-1])
		}
	}
}

// Strength tables at their rows, and between rows a power law whose exponent stays
// that of drawn wire: it lies between 0.05 and 0.3 from row to row.
func TestStrengthTables(t *testing.T) {
	for _, table := range []struct {
		name       string
		size, unit float64
		text       string
	}{
		{"music wire minimum", inch, kpsi, `
			0.010 0.014 0.020 0.026 0.032 0.040 0.055 0.063 0.080 0.100 0.125
			387 369 350 337 327 315 300 293 282 271 261`},
		{"patented minimum", 1e-3, mpa, `
			0.3 0.5 0.8 1.0 1.2 1.6 2.0 2.5 3.0
			2660 2580 2480 2400 2340 2250 2160 2050 1980`},
		{"class SM minimum", 1e-3, mpa, `
			0.3 0.5 0.7 0.9 1.0 1.2 1.5 2.0 2.5 3.0
			2370 2200 2090 2010 1980 1920 1850 1760 1690 1630`},
		{"class SM maximum", 1e-3, mpa, `
			0.3 0.5 0.7 0.9 1.0 1.2 1.5 2.0 2.5 3.0
			2650 2470 2350 2260 2250 2160 2080 1970 1890 1830`},
	} {
		r := rows(t, table.text)
		for i, d := range r[0] {
			got, err := TabulatedStrength(table.name, d*table.size)
			same(t, fmt.Sprintf("%s at %v", table.name, d), got/table.unit, r[1][i], err)
			if i == 0 {
				continue
			}
			exponent := math.Log(r[1][i-1]/r[1][i]) / math.Log(d/r[0][i-1])
			if !(exponent > 0.04 && exponent < 0.3) {
				t.Errorf("%s from %v to %v: strength falls with exponent %v", table.name, r[0][i-1], d, exponent)
			}
		}
		// The ends of the table: nothing beyond them.
		for _, d := range []float64{0.99 * r[0][0], 1.01 * r[0][len(r[0])-1]} {
			if _, err := TabulatedStrength(table.name, d*table.size); err == nil {
				t.Errorf("%s at %v is answered", table.name, d)
			}
		}
	}
}

// Strength bands in their own units: first and last diameter in mm and strength
// A/d^m there in MPa, computed from A and m as typed here.
func TestStrengthBands(t *testing.T) {
	for _, c := range []struct {
		name string
		text string // from, to mm, A MPa mm^m, m
	}{
		{"music wire", "0.10 6.5 2211 0.145"},
		{"hard-drawn wire", "0.7 12.7 1783 0.190"},
		{"oil-tempered wire", "0.5 12.7 1855 0.187"},
		{"chrome-vanadium wire", "0.8 11.1 2005 0.168"},
		{"chrome-silicon wire", "1.6 9.5 1974 0.108"},
		{"stainless 302 wire", "0.3 2.5 1867 0.146\n2.5 5 2065 0.263\n5 10 2911 0.478"},
		{"phosphor-bronze wire", "0.1 0.6 1000 0\n0.6 2 913 0.028\n2 7.5 932 0.064"},
	} {
		m := wire(t, c.name)
		bands := rows(t, c.text)
		if len(m.Strength) != len(bands) {
			t.Fatalf("%s: %d bands, typed again %d", c.name, len(m.Strength), len(bands))
		}
		for i, b := range bands {
			from, to := m.Strength[i].From, m.Strength[i].To
			same(t, c.name+" from", from*1e3, b[0], nil)
			same(t, c.name+" to", to*1e3, b[1], nil)
			for _, d := range []float64{b[0] * 1.001, b[1] * 0.999} {
				got, err := m.Tensile(d * 1e-3)
				same(t, fmt.Sprintf("%s at %v mm", c.name, d), got/mpa, b[2]/math.Pow(d, b[3]), err)
			}
			// Neighbouring bands meet within the rounding of their constants.
			if i > 0 {
				before := bands[i-1]
				a, z := before[2]/math.Pow(b[0], before[3]), b[2]/math.Pow(b[0], b[3])
				if !scalar.EqualWithinRel(a, z, 0.09) {
					t.Errorf("%s at %v mm: %v MPa below and %v MPa above", c.name, b[0], a, z)
				}
			}
		}
	}
}

// Moduli in GPa, density, fall with temperature and allowable shares. Poisson's
// ratio, E/(2G) - 1, is that of a metal.
func TestModuliAndDensities(t *testing.T) {
	steel, stainless := "7861 0.25e-3 0.45 0.40 0.75", "7920 0.40e-3 0.35 0.30 0.55"
	for _, c := range []struct{ name, moduli, rest string }{
		{"music wire", "0.5 82.7 203.4\n1.0 81.7 200\n2.0 81.0 196.5\n5 80.0 193", steel},
		{"hard-drawn wire", "0.75 80.7 198.6\n1.0 80.0 197.9\n2.0 79.3 197.2\n5 78.6 196.5", steel},
		{"oil-tempered wire", "1 77.2 196.5", steel},
		{"chrome-vanadium wire", "1 77.2 203.4", steel},
		{"chrome-silicon wire", "2 77.2 203.4", steel},
		{"stainless 302 wire", "1 69.0 193", stainless},
		{"phosphor-bronze wire", "1 41.4 103.4", "8860 0.40e-3 0.35 0.30 0.55"},
	} {
		m := wire(t, c.name)
		for _, r := range rows(t, c.moduli) {
			shear, young, err := m.Elastic(r[0]*1e-3, room)
			same(t, c.name+" shear modulus", shear/1e9, r[1], err)
			same(t, c.name+" Young's modulus", young/1e9, r[2], err)
			if poisson := young/(2*shear) - 1; !(poisson > 0.15 && poisson < 0.45) {
				t.Errorf("%s: Poisson's ratio %v", c.name, poisson)
			}
		}
		r := rows(t, c.rest)[0]
		for i, got := range []float64{m.Density, m.StiffnessDrop, m.Allowable.Body, m.Allowable.HookTorsion, m.Allowable.HookBending} {
			same(t, fmt.Sprintf("%s, number %d", c.name, i+1), got, r[i], nil)
		}
	}
	// The stepped moduli change at 0.032, 0.063 and 0.125 in.
	for _, mils := range []float64{32, 63, 125} {
		below, _, err := MusicWire().Elastic(mils*inch/1000*0.999, room)
		if err != nil {
			t.Fatal(err)
		}
		above, _, err := MusicWire().Elastic(mils*inch/1000*1.001, room)
		if err != nil || !(above < below) {
			t.Errorf("shear modulus at %v mils: %v below, %v above (%v)", mils, below, above, err)
		}
	}
	for peened, want := range map[bool][2]float64{false: {35, 55}, true: {57.5, 77.5}} {
		e := Zimmerli(peened)
		same(t, "endured alternating stress, kpsi", e.Alternating/kpsi, want[0], nil)
		same(t, "endured steady stress, kpsi", e.Steady/kpsi, want[1], nil)
	}
}

// Size tolerances: +- mm up to a size, by index.
func TestSizeTolerances(t *testing.T) {
	for _, table := range []struct {
		name  string
		f     func(size, index float64) (float64, error)
		index []float64
		text  string // largest size mm, then tolerance mm for each index
	}{
		{"diameter", diameterTolerance, []float64{8, 14, 20}, `
			1 0.07 0.10 0.15
			1.6 0.08 0.10 0.15
			2.5 0.10 0.15 0.20
			4 0.15 0.20 0.25
			6.3 0.20 0.25 0.30
			10 0.25 0.30 0.35
			16 0.30 0.35 0.40
			25 0.35 0.45 0.50`},
		{"length", lengthTolerance, []float64{8, 20}, `
			10 0.40 0.50
			16 0.50 0.60
			25 0.60 0.70
			40 0.80 0.90
			63 1.10 1.30
			100 1.50 1.80
			160 2.00 2.40`},
	} {
		last := make([]float64, len(table.index))
		before := 0.0
		for _, r := range rows(t, table.text) {
			for i, index := range table.index {
				first := 4.0 // both ends of the column
				if i > 0 {
					first = table.index[i-1] * 1.001
				}
				for _, size := range []float64{r[0], before*1.001 + 0.001} { // both ends of the row
					if table.name == "diameter" {
						size = math.Max(size, 0.63)
					}
					for _, index := range []float64{first, index} {
						got, err := table.f(size*1e-3, index)
						same(t, fmt.Sprintf("%s %v mm, index %v", table.name, size, index), got*1e3, r[i+1], err)
					}
				}
				if r[i+1] < last[i] || i > 0 && r[i+1] < r[i] {
					t.Errorf("%s to %v mm, index %v: tolerance falls", table.name, r[0], index)
				}
				last[i] = r[i+1]
			}
			before = r[0]
		}
		if got, err := table.f(before*1.005e-3, table.index[0]); err == nil {
			t.Errorf("%s beyond %v mm is answered: %v m", table.name, before, got)
		}
	}
}

// Load tolerances in per cent: rows by free length over deflection, columns by
// wire from thin to thick. They rise with the one and fall with the other.
func TestLoadTolerances(t *testing.T) {
	ratio, wires := []float64{0.5, 1.5, 2.5, 4.5, 6, 8, 12}, []float64{0.015, 0.022, 0.032, 0.044, 0.062, 0.092}
	for index, text := range map[float64]string{
		4: `6.2 5.4 4.8 4.6 4.3 4.1
			10.2 9.9 9.3 8.9 8.0 7.5
			13.1 12.4 12.1 11.8 10.6 10.0
			15.0 14.7 14.1 13.5 12.6 12.0
			16.8 16.1 15.5 14.7 13.8 13.2
			18.5 17.5 16.7 15.8 15.0 14.5
			20.0 18.5 17.6 16.9 16.2 15.5`,
		6: `6.3 5.5 4.9 4.7 4.5 4.3
			9.9 9.0 8.3 7.7 7.3 7.0
			11.9 10.8 10.2 9.8 9.4 9.0
			13.7 12.4 11.5 11.0 10.5 10.0
			15.2 14.0 12.9 12.3 11.6 10.9
			16.2 14.7 13.9 13.4 12.6 12.2
			17.0 15.5 14.6 14.1 13.5 13.1`,
		8: `6.3 5.6 5.0 4.8 4.5 4.4
			9.5 8.6 7.8 7.1 6.9 6.7
			11.2 10.2 9.5 8.8 8.3 7.9
			12.8 11.7 10.7 10.1 9.7 9.0
			14.2 13.0 11.7 11.2 10.6 10.0
			15.0 13.7 12.5 12.1 11.4 11.0
			15.8 14.3 13.1 13.0 12.1 12.0`,
		10: `10.8 9.6 9.0 8.4 8.0 7.7
			12.3 10.8 10.0 9.5 9.0 8.5
			13.4 12.1 10.8 10.5 9.8 9.3
			14.2 12.8 11.6 11.2 10.5 10.2
			14.8 13.3 12.0 11.9 11.1 10.9`,
	} {
		table := rows(t, text)
		first := len(ratio) - len(table)
		for i, r := range table {
			for k, want := range r {
				got, err := LoadTolerance(index, ratio[first+i], wires[k]*inch)
				same(t, fmt.Sprintf("index %v, ratio %v, wire %v in", index, ratio[first+i], wires[k]), 100*got, want, err)
				if k > 0 && want > r[k-1] || i > 0 && want < table[i-1][k] {
					t.Errorf("index %v, row %d, column %d: %v out of order", index, i+1, k+1, want)
				}
			}
		}
	}
}
