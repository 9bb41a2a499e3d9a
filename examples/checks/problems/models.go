package problems

import (
	"math"
	"math/cmplx"
)

// model is a function of parameters and predictor over complex numbers, with the
// number of its parameters.
type model struct {
	parameters int
	value      func(b []complex128, x complex128) complex128
}

// models are the models by name.
var models = map[string]model{
	"b1*(1-exp(-b2*x))": {2, func(b []complex128, x complex128) complex128 { return b[0] * (1 - cmplx.Exp(-b[1]*x)) }},
	"b1*exp(-b2*x) + b3*exp(-b4*x) + b5*exp(-b6*x)": {6, func(b []complex128, x complex128) complex128 {
		return b[0]*cmplx.Exp(-b[1]*x) + b[2]*cmplx.Exp(-b[3]*x) + b[4]*cmplx.Exp(-b[5]*x)
	}},
	"b1 - b2*x - arctan(b3/(x-b4))/pi": {4, func(b []complex128, x complex128) complex128 {
		return b[0] - b[1]*x - atan(b[2]/(x-b[3]))/math.Pi
	}},
	"b1*(x^2+x*b2)/(x^2+x*b3+b4)": {4, func(b []complex128, x complex128) complex128 {
		return b[0] * (x*x + x*b[1]) / (x*x + x*b[2] + b[3])
	}},
	"b1*exp(b2/(x+b3))": {3, func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Exp(b[1]/(x+b[2])) }},
	"(b1 + b2*x + b3*x^2 + b4*x^3)/(1 + b5*x + b6*x^2 + b7*x^3)": {7, func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
	}},
	"b1/(1+exp(b2-b3*x))": {3, func(b []complex128, x complex128) complex128 { return b[0] / (1 + cmplx.Exp(b[1]-b[2]*x)) }},
	"b1/(1+exp(b2-b3*x))^(1/b4)": {4, func(b []complex128, x complex128) complex128 {
		return b[0] / cmplx.Pow(1+cmplx.Exp(b[1]-b[2]*x), 1/b[3])
	}},
	"(b1/b2)*exp(-((x-b3)/b2)^2/2)": {3, func(b []complex128, x complex128) complex128 {
		z := (x - b[2]) / b[1]
		return b[0] / b[1] * cmplx.Exp(-z*z/2)
	}},
	"b1*(b2+x)^(-1/b3)": {3, func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Pow(b[1]+x, -1/b[2]) }},
	"b1*(1-(1+b2*x/2)^(-2))": {2, func(b []complex128, x complex128) complex128 {
		return b[0] * (1 - 1/((1+b[1]*x/2)*(1+b[1]*x/2)))
	}},
	"b1*(1-(1+2*b2*x)^(-1/2))": {2, func(b []complex128, x complex128) complex128 { return b[0] * (1 - 1/cmplx.Sqrt(1+2*b[1]*x)) }},
	"b1*b2*x/(1+b2*x)":         {2, func(b []complex128, x complex128) complex128 { return b[0] * b[1] * x / (1 + b[1]*x) }},
	"b1*x^b2":                  {2, func(b []complex128, x complex128) complex128 { return b[0] * cmplx.Exp(b[1]*cmplx.Log(x)) }},
	"exp(-b1*x)/(b2+b3*x)":     {3, func(b []complex128, x complex128) complex128 { return cmplx.Exp(-b[0]*x) / (b[1] + b[2]*x) }},
	"b1*exp(-b2*x) + b3*exp(-(x-b4)^2/b5^2) + b6*exp(-(x-b7)^2/b8^2)": {8, func(b []complex128, x complex128) complex128 {
		peak := func(height, at, width complex128) complex128 {
			z := (x - at) / width
			return height * cmplx.Exp(-z*z)
		}
		return b[0]*cmplx.Exp(-b[1]*x) + peak(b[2], b[3], b[4]) + peak(b[5], b[6], b[7])
	}},
	"(b1 + b2*x + b3*x^2)/(1 + b4*x + b5*x^2)": {5, func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*b[2])) / (1 + x*(b[3]+x*b[4]))
	}},
	"b1 + b2*cos(2*pi*x/12) + b3*sin(2*pi*x/12) + b5*cos(2*pi*x/b4) + b6*sin(2*pi*x/b4) + b8*cos(2*pi*x/b7) + b9*sin(2*pi*x/b7)": {9, func(b []complex128, x complex128) complex128 {
		wave := func(period, a, c complex128) complex128 {
			return a*cmplx.Cos(2*math.Pi*x/period) + c*cmplx.Sin(2*math.Pi*x/period)
		}
		return b[0] + wave(12, b[1], b[2]) + wave(b[3], b[4], b[5]) + wave(b[6], b[7], b[8])
	}},
	// Nelson's predictors are two: x1 is the real part and x2 the imaginary part of x.
	nelson: {3, func(b []complex128, x complex128) complex128 {
		return b[0] - b[1]*complex(real(x), 0)*cmplx.Exp(-b[2]*complex(imag(x), 0))
	}},
	"b1 + b2*exp(-x*b4) + b3*exp(-x*b5)": {5, func(b []complex128, x complex128) complex128 {
		return b[0] + b[1]*cmplx.Exp(-x*b[3]) + b[2]*cmplx.Exp(-x*b[4])
	}},
}

// nelson is the model whose response is the logarithm of the data.
const nelson = "log(y) = b1 - b2*x1*exp(-b3*x2)"

// atan is the arc tangent for an imaginary part so small that its square is lost;
// cmplx.Atan rounds such a part away.
func atan(z complex128) complex128 {
	return complex(math.Atan(real(z)), imag(z)/(1+real(z)*real(z)))
}
