package leastsquares_test

import (
	"bufio"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.org/bobweight/springs/leastsquares"
)

// nistModels are the models of the file by name, over complex numbers: with the
// parameter j moved by ih the imaginary part divided by h is the derivative to
// full precision (Squire and Trapp, Using complex variables to estimate
// derivatives of real functions, SIAM Review 40, 1998, pp. 110-112).
var nistModels = map[string]func(b []complex128, x complex128) complex128{
	"b1*(1-exp(-b2*x))": func(b []complex128, x complex128) complex128 { return b[0] * (1 - cmplx.Exp(-b[1]*x)) },
	"b1*exp(-b2*x) + b3*exp(-b4*x) + b5*exp(-b6*x)": func(b []complex128, x complex128) complex128 {
		return b[0]*cmplx.Exp(-b[1]*x) + b[2]*cmplx.Exp(-b[3]*x) + b[4]*cmplx.Exp(-b[5]*x)
	},
	"b1 - b2*x - arctan(b3/(x-b4))/pi": func(b []complex128, x complex128) complex128 {
		return b[0] - b[1]*x - atan(b[2]/(x-b[3]))/math.Pi
	},
	"b1*(x^2+x*b2)/(x^2+x*b3+b4)": func(b []complex128, x complex128) complex128 {
		return b[0] * (x*x + x*b[1]) / (x*x + x*b[2] + b[3])
	},
	"b1*exp(b2/(x+b3))": func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Exp(b[1]/(x+b[2])) },
	"(b1 + b2*x + b3*x^2 + b4*x^3)/(1 + b5*x + b6*x^2 + b7*x^3)": func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
	},
	"b1/(1+exp(b2-b3*x))": func(b []complex128, x complex128) complex128 { return b[0] / (1 + cmplx.Exp(b[1]-b[2]*x)) },
	"b1/(1+exp(b2-b3*x))^(1/b4)": func(b []complex128, x complex128) complex128 {
		return b[0] / cmplx.Pow(1+cmplx.Exp(b[1]-b[2]*x), 1/b[3])
	},
	"(b1/b2)*exp(-((x-b3)/b2)^2/2)": func(b []complex128, x complex128) complex128 {
		z := (x - b[2]) / b[1]
		return b[0] / b[1] * cmplx.Exp(-z*z/2)
	},
	"b1*(b2+x)^(-1/b3)": func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Pow(b[1]+x, -1/b[2]) },
	"b1*(1-(1+b2*x/2)^(-2))": func(b []complex128, x complex128) complex128 {
		return b[0] * (1 - 1/((1+b[1]*x/2)*(1+b[1]*x/2)))
	},
	"b1*(1-(1+2*b2*x)^(-1/2))": func(b []complex128, x complex128) complex128 { return b[0] * (1 - 1/cmplx.Sqrt(1+2*b[1]*x)) },
	"b1*b2*x/(1+b2*x)":         func(b []complex128, x complex128) complex128 { return b[0] * b[1] * x / (1 + b[1]*x) },
	"b1*x^b2":                  func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Exp(b[1]*cmplx.Log(x)) },
	"exp(-b1*x)/(b2+b3*x)":     func(b []complex128, x complex128) complex128 { return cmplx.Exp(-b[0]*x) / (b[1] + b[2]*x) },
	"b1*exp(-b2*x) + b3*exp(-(x-b4)^2/b5^2) + b6*exp(-(x-b7)^2/b8^2)": func(b []complex128, x complex128) complex128 {
		peak := func(height, at, width complex128) complex128 {
			z := (x - at) / width
			return height * cmplx.Exp(-z*z)
		}
		return b[0]*cmplx.Exp(-b[1]*x) + peak(b[2], b[3], b[4]) + peak(b[5], b[6], b[7])
	},
	"(b1 + b2*x + b3*x^2)/(1 + b4*x + b5*x^2)": func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*b[2])) / (1 + x*(b[3]+x*b[4]))
	},
	"b1 + b2*cos(2*pi*x/12) + b3*sin(2*pi*x/12) + b5*cos(2*pi*x/b4) + b6*sin(2*pi*x/b4) + b8*cos(2*pi*x/b7) + b9*sin(2*pi*x/b7)": func(b []complex128, x complex128) complex128 {
		wave := func(period, a, c complex128) complex128 {
			return a*cmplx.Cos(2*math.Pi*x/period) + c*cmplx.Sin(2*math.Pi*x/period)
		}
		return b[0] + wave(12, b[1], b[2]) + wave(b[3], b[4], b[5]) + wave(b[6], b[7], b[8])
	},
	// Nelson's predictors are two: x1 is the real part and x2 the imaginary part of x.
	nelson: func(b []complex128, x complex128) complex128 {
		return b[0] - b[1]*complex(real(x), 0)*cmplx.Exp(-b[2]*complex(imag(x), 0))
	},
	"b1 + b2*exp(-x*b4) + b3*exp(-x*b5)": func(b []complex128, x complex128) complex128 {
		return b[0] + b[1]*cmplx.Exp(-x*b[3]) + b[2]*cmplx.Exp(-x*b[4])
	},
}

// nelson is the model whose response is the logarithm of the data.
const nelson = "log(y) = b1 - b2*x1*exp(-b3*x2)"

// atan is the arc tangent for an imaginary part so small that its square is lost;
// cmplx.Atan rounds such a part away.
func atan(z complex128) complex128 {
	return complex(math.Atan(real(z)), imag(z)/(1+real(z)*real(z)))
}

// nist is one problem of the file.
type nist struct {
	name, level, model   string
	starts               [][]float64
	certified, deviation []float64
	sum                  float64
	y                    []float64
	x                    []complex128
}

func (p *nist) Size() (residuals, parameters int) { return len(p.y), len(p.certified) }

func (p *nist) Evaluate(b, r, jac []float64) {
	const h = 1e-30
	c := make([]complex128, len(b))
	for i, x := range p.x {
		for j := range b {
			for k, v := range b {
				c[k] = complex(v, 0)
			}
			c[j] += complex(0, h)
			v := nistModels[p.model](c, x)
			r[i] = real(v) - p.y[i]
			jac[i*len(b)+j] = imag(v) / h
		}
	}
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
			if nistModels[rest] == nil {
				t.Fatalf("nist-strd.txt line %d: no such model %q", line, rest)
			}
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
			x := complex(v[1], 0)
			if p.model == nelson {
				v[0], x = math.Log(v[0]), complex(v[1], v[2])
			}
			p.y, p.x = append(p.y, v[0]), append(p.x, x)
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
	problems := readNIST(t)
	if len(problems) != 27 {
		t.Fatalf("%d problems read, want 27", len(problems))
	}
	higher := 0
	for _, p := range problems {
		if p.level == "higher" {
			higher++
		}
		if len(p.starts) != 2 {
			t.Errorf("%s has %d starts, want 2", p.name, len(p.starts))
		}
		for k, start := range p.starts {
			t.Run(fmt.Sprintf("%s/start %d", p.name, k+1), func(t *testing.T) {
				b := append([]float64(nil), start...)
				rep, err := leastsquares.Minimize(p, b, nil, nil)
				if err != nil {
					t.Fatal(err)
				}
				if rep.Ending == leastsquares.StepsSpent {
					t.Errorf("not converged after %d steps", rep.Steps)
				}
				digits := 11.0
				if p.sum > 1e-20 { // below that the sum is the rounding of the data's last digit
					digits = digitsOf(rep.Sum, p.sum)
				}
				for j := range b {
					digits = math.Min(digits, digitsOf(b[j], p.certified[j]))
				}
				t.Logf("%s, %s difficulty: %.1f digits in %d steps, %v", p.name, p.level, digits, rep.Steps, rep.Ending)
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
