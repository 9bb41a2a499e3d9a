package leastsquares_test

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.org/bobweight/examples/checks/problems"
	"example.org/bobweight/springs/leastsquares"
)

// nist is one problem of the file.
type nist struct {
	name, level, model   string
	starts               [][]float64
	certified, deviation []float64
	sum                  float64
	y                    []float64
	x                    [][]float64 // one list per predictor
}

// readNIST reads the problems; any line it does not know is an error.
func readNIST(t *testing.T) []*nist {
	t.Helper()
	f, err := os.Open("testdata/nist-strd.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []*nist
	line := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		line++
		key, rest, _ := strings.Cut(strings.TrimSpace(s.Text()), " ")
		numbers := func() []float64 {
			var v []float64
			for _, w := range strings.Fields(rest) {
				x, err := strconv.ParseFloat(w, 64)
				if err != nil {
					t.Fatalf("nist-strd.txt line %d: %v", line, err)
				}
				v = append(v, x)
			}
			return v
		}
		if key == "" || key[0] == '#' {
			continue
		}
		if key == "problem" {
			name, level, _ := strings.Cut(rest, " ")
			out = append(out, &nist{name: name, level: level})
			continue
		}
		if len(out) == 0 {
			t.Fatalf("nist-strd.txt line %d: %q before the first problem", line, key)
		}
		p := out[len(out)-1]
		switch key {
		case "reference":
		case "model":
			p.model = rest
		case "start":
			p.starts = append(p.starts, numbers())
		case "certified":
			p.certified = numbers()
		case "deviation":
			p.deviation = numbers()
		case "sum":
			p.sum = numbers()[0]
		case "data":
			v := numbers()
			if p.x == nil {
				p.x = make([][]float64, len(v)-1)
			}
			p.y = append(p.y, v[0])
			for k := range p.x {
				p.x[k] = append(p.x[k], v[k+1])
			}
		default:
			t.Fatalf("nist-strd.txt line %d: unknown word %q", line, key)
		}
	}
	return out
}

// The fitting core reproduces the certified values of NIST's Statistical
// Reference Datasets from both starting points. Certified values have 11 digits;
// six or more are asked for, counted by NIST's own measure, the logarithm of the
// relative error.
func TestNIST(t *testing.T) {
	all := readNIST(t)
	if len(all) != 27 {
		t.Fatalf("%d problems read, want 27", len(all))
	}
	higher := 0
	for _, p := range all {
		if p.level == "higher" {
			higher++
		}
		if len(p.starts) != 2 {
			t.Errorf("%s has %d starts, want 2", p.name, len(p.starts))
		}
		for k, start := range p.starts {
			t.Run(fmt.Sprintf("%s/start %d", p.name, k+1), func(t *testing.T) {
				b := append([]float64(nil), start...)
				problem, err := problems.New(p.model, p.y, p.x...)
				if err != nil {
					t.Fatal(err)
				}
				rep, err := leastsquares.Minimize(problem, b, nil, nil)
				if err != nil {
					t.Fatal(err)
				}
				if !rep.Converged {
					t.Errorf("not converged after %d steps", rep.Steps)
				}
				digits := 11.0
				if p.sum > 1e-20 { // below that the sum is the rounding of the data's last digit
					digits = digitsOf(rep.Sum, p.sum)
				}
				for j := range b {
					digits = math.Min(digits, digitsOf(b[j], p.certified[j]))
				}
				t.Logf("%s, %s difficulty: %.1f digits in %d steps, converged %v", p.name, p.level, digits, rep.Steps, rep.Converged)
				if !(digits >= 6) {
					t.Errorf("got %v with sum %g, certified %v with %g: %.1f digits, want 6", b, rep.Sum, p.certified, p.sum, digits)
				}
			})
		}
	}
	if higher != 8 {
		t.Errorf("%d problems of higher difficulty, want all 8", higher)
	}
}

// digitsOf is the number of correct digits, at most the 11 that are certified.
func digitsOf(got, want float64) float64 {
	return math.Min(-math.Log10(math.Abs(got-want)/math.Abs(want)), 11)
}
