package motion

import "math"

// vec is the state: swing (rad) and its rate (rad/s).
type vec [2]float64

// field is the equation of motion, y' = f(t, y).
type field func(t float64, y vec) vec

// stepper carries a solution over one step at a time.
type stepper struct {
	f        field
	relative float64
	absolute vec

	t, h  float64 // where the step begins and how long it was
	y     vec     // state at the beginning
	end   vec     // state at the end
	k     [stages]vec
	next  float64 // step size to try next
	small float64 // error of the last accepted step, the controller's memory

	steps, rejected, evaluations int

	sixth         vec // state at which the last stage but one was taken
	strained, met int // accepted steps in a row, or nearly, that stability limits; others since
}

// begin puts the solution at a point, after which the first derivative must be
// taken anew.
func (s *stepper) begin(t float64, y vec) {
	s.t, s.y, s.h = t, y, 0
	s.end = y
	s.k[0] = s.derivative(t, y)
	s.small = 1e-4
}

func (s *stepper) derivative(t float64, y vec) vec {
	s.evaluations++
	return s.f(t, y)
}

// advance moves on by one accepted step, not beyond the time limit. It reports
// false if no step that moves the clock is accurate enough.
func (s *stepper) advance(limit float64) bool {
	if s.h != 0 { // go on from the end of the step before
		s.t += s.h
		s.y = s.end
		s.k[0] = s.k[stages-1]
	}
	want, refused := s.next, s.rejected
	h := math.Min(want, limit-s.t)
	for range maxTries {
		e := s.try(h)
		// Step size by error with memory, Hairer, Norsett, Wanner II (IV.2.43) as
		// in their code DOPRI5: beta = 0.04, safety 0.9, factor 0.2 to 10.
		const beta = 0.04
		factor := math.Pow(e, 0.2-0.75*beta) / 0.9
		if e <= 1 {
			s.steps++
			s.next = h / math.Max(0.1, math.Min(5, factor/math.Pow(s.small, beta)))
			s.small = math.Max(e, 1e-4)
			if h < want && s.rejected == refused { // cut short by the limit only
				s.next = math.Max(s.next, want)
			}
			s.h = h
			s.strain()
			return true
		}
		s.rejected++
		if !(e < math.Inf(1)) {
			factor = 5
		}
		h /= math.Min(5, factor)
		if s.t+h == s.t {
			return false
		}
	}
	return false
}

// maxTries is more than it takes to shorten a step from any size to none.
const maxTries = 20000

// strain watches for stiffness as the code DOPRI5 does (Hairer, Norsett, Wanner,
// Solving Ordinary Differential Equations II, IV.2): the last two stages stand at
// one time, so their difference over that of their states tells the size of the
// largest eigenvalue. Times the step it comes to 3.25, the edge of the stable
// region, where stability and not accuracy limits the step.
func (s *stepper) strain() {
	var num, den float64
	for n := range s.end {
		df, dy := s.k[stages-1][n]-s.k[stages-2][n], s.end[n]-s.sixth[n]
		num += df * df
		den += dy * dy
	}
	switch {
	case den > 0 && s.h*math.Sqrt(num/den) > 3.25:
		s.strained, s.met = s.strained+1, 0
	case s.met < 6:
		s.met++
	default:
		s.strained = 0
	}
}

// stiff reports whether stability has limited the steps for some time.
func (s *stepper) stiff() bool { return s.strained >= 15 }

// shorten takes the last step again up to a time within it, to end on an event
// with the full order of the method.
func (s *stepper) shorten(h float64) {
	s.try(h)
	s.h = h
}

// try makes a step of length h and returns its error over the tolerance.
func (s *stepper) try(h float64) float64 {
	var y vec
	for i := 1; i < stages; i++ {
		y = s.y
		for j := range i {
			a := h * matrixF[i][j]
			y[0] += a * s.k[j][0]
			y[1] += a * s.k[j][1]
		}
		if i == stages-2 {
			s.sixth = y
		}
		s.k[i] = s.derivative(s.t+nodesF[i]*h, y)
	}
	s.end = y
	sum := 0.0
	for n := range y {
		e := 0.0
		for i := range stages {
			e += errorF[i] * s.k[i][n]
		}
		e *= h / (s.absolute[n] + s.relative*math.Max(math.Abs(s.y[n]), math.Abs(y[n])))
		sum += e * e
	}
	return math.Sqrt(sum / float64(len(y)))
}

// at returns the state at a share x of the last step, 0 to 1, by the continuous
// extension.
func (s *stepper) at(x float64) vec {
	y := s.y
	for i := range stages {
		d := &denseF[i]
		b := s.h * x * (d[0] + x*(d[1]+x*(d[2]+x*d[3])))
		y[0] += b * s.k[i][0]
		y[1] += b * s.k[i][1]
	}
	return y
}

// beyond returns the share of the last step at which g rises above 0, before or
// after the crest, where the rate changes sign.
func (s *stepper) beyond(crest float64, g func(vec) float64) (x float64, ok bool) {
	switch {
	case crest < 1 && g(s.at(crest)) > 0:
		return s.root(0, crest, g), true
	case g(s.end) <= 0:
		return 0, false
	case crest < 1:
		return s.root(crest, 1, g), true
	}
	return s.root(0, 1, g), true
}

// root returns the share of the last step between lo and hi, as near to hi as
// rounding lets it, at which g leaves the sign it has at lo: regula falsi on the
// continuous extension, the retained end's value halved each time (Dowell and
// Jarratt, BIT 11 (1971) 168, the Illinois method). It is not springs/root because the
// answer must lie on the side of hi, where the event has happened: Brent's may lie on
// either, and Edge takes fifty evaluations for six.
func (s *stepper) root(lo, hi float64, g func(vec) float64) float64 {
	a, b := g(s.at(lo)), g(s.at(hi))
	left := b <= 0 // the side of hi that counts as beyond
	side := 0
	for n := 0; n < 100 && hi-lo > 1e-15; n++ {
		mid := lo + (hi-lo)*a/(a-b)
		if !(mid > lo && mid < hi) {
			mid = lo + (hi-lo)/2
			if mid <= lo || mid >= hi {
				break
			}
		}
		f := g(s.at(mid))
		if (f <= 0) == left {
			if hi, b = mid, f; side == 1 {
				a /= 2
			}
			side = 1
		} else {
			if lo, a = mid, f; side == -1 {
				b /= 2
			}
			side = -1
		}
	}
	return hi
}
