package flyweights

import (
	"math"
	"sort"

	"example.org/bobweight/flyweights/internal/plane"
)

// A sweep is the running maximum of a level over a path, drawn as pieces on
// which the level rises. For rising speed the path runs from rest to the stop
// and the level is omega^2; for falling speed it runs from the stop to rest and
// the level is -omega^2. So both are one construction.
type sweep struct {
	pieces      []piece
	first, last float64 // level where the path begins to be left, and where its end is reached
	sign        float64 // level = sign * omega^2
	begin, end  point   // ends of the path
}

// point is a position: swing and output.
type point struct{ phi, theta float64 }

// piece is one stretch of the path on which the level rises from u0 to u1, as a
// cubic in t between t0 and t1, 0 <= t <= 1.
type piece struct {
	u0, u1, t0, t1 float64
	level, theta   plane.Cubic
	guess          plane.Cubic // t - t0 over (u-u0)/(u1-u0), a first guess of the inverse
	phi, h         float64
	spring         int // mark of the sample where the piece begins
}

// draw builds the envelope over the samples in the order of the direction.
func (s *sweep) draw(st []sample, dir Direction) {
	if s.pieces == nil {
		s.pieces = make([]piece, 0, len(st)+8)
	}
	s.pieces = s.pieces[:0]
	n := len(st)
	at := func(i int) *sample { return &st[i] }
	s.sign = 1
	if dir == Falling {
		at = func(i int) *sample { return &st[n-1-i] }
		s.sign = -1
	}
	a := at(0)
	level, _ := a.level(dir)
	s.first, s.last = level, level
	s.begin = point{a.phi, a.theta}
	for i := 1; i < n; i++ {
		b := at(i)
		s.add(a, b, dir)
		a = b
	}
	s.end = point{a.phi, a.theta}
}

// level returns the level and its derivative by phi at a sample.
func (st *sample) level(dir Direction) (u, slope float64) {
	if dir == Falling {
		return -st.fall, -st.dfall
	}
	return st.rise, st.drise
}

// add appends what of the step from a to b lies above the maximum so far.
func (s *sweep) add(a, b *sample, dir Direction) {
	h := b.phi - a.phi
	u0, m0 := a.level(dir)
	u1, m1 := b.level(dir)
	if h == 0 { // a spring is taken up: the level jumps at one position
		m0, m1 = u1-u0, u1-u0
	} else {
		m0, m1 = m0*h, m1*h
	}
	p := piece{
		level: plane.Hermite(u0, u1, m0, m1),
		theta: plane.Hermite(a.theta, b.theta, a.slope*h, b.slope*h),
		phi:   a.phi, h: h, spring: a.spring,
	}
	// Slopes of up to three times the chord keep a cubic monotone.
	if d := u1 - u0; m0 >= 0 && m1 >= 0 && m0 <= 3*d && m1 <= 3*d {
		s.addRising(p, 0, 1)
		return
	}
	from := 0.0
	for _, t := range turns(&p.level) {
		s.addRising(p, from, t)
		from = t
	}
	s.addRising(p, from, 1)
}

// turns returns where the cubic's slope is zero inside 0..1, in order; a turn
// that does not exist is given as 0.
func turns(c *plane.Cubic) [2]float64 {
	// 3 c3 t^2 + 2 c2 t + c1 = 0, by the form without cancellation.
	disc := c[2]*c[2] - 3*c[1]*c[3]
	if !(disc > 0) {
		return [2]float64{}
	}
	q := -(c[2] + math.Copysign(math.Sqrt(disc), c[2]))
	inside := func(num, den float64) float64 {
		if t := num / den; t > 0 && t < 1 {
			return t
		}
		return 0
	}
	t, u := inside(q, 3*c[3]), inside(c[1], q)
	return [2]float64{math.Min(t, u), math.Max(t, u)}
}

// addRising appends the part of the piece between t0 and t1, on which the level
// is monotone, that lies above the maximum so far.
func (s *sweep) addRising(p piece, t0, t1 float64) {
	p.t0, p.t1 = t0, t1
	p.u0, p.u1 = p.level.At(t0), p.level.At(t1)
	if !(p.u1 > s.last) || !(t1 > t0) {
		return
	}
	if p.u0 < s.last {
		p.aim()
		p.t0 = p.find(s.last)
		p.u0 = s.last
	}
	p.aim()
	s.last = p.u1
	s.pieces = append(s.pieces, p)
}

// aim prepares the first guess of the inverse: the cubic with the inverse's end
// slopes where that is monotone, else the chord.
func (p *piece) aim() {
	span := p.t1 - p.t0
	p.guess = plane.Cubic{0, span, 0, 0}
	d := p.u1 - p.u0
	m0, m1 := p.level.Slope(p.t0), p.level.Slope(p.t1)
	if 3*m0*span >= d && 3*m1*span >= d {
		p.guess = plane.Hermite(0, span, d/m0, d/m1)
	}
}

// find returns the t at which the piece has the level u between u0 and u1:
// Newton's method, held inside a shrinking bracket. The guess is so near that two
// evaluations do; springs/root, which knows no slope, takes some eight, and a whole curve
// has hundreds of these.
func (p *piece) find(u float64) float64 {
	lo, hi := p.t0, p.t1
	t := lo + p.guess.At((u-p.u0)/(p.u1-p.u0))
	for range 64 {
		if !(t > lo && t < hi) {
			t = lo + (hi-lo)/2
		}
		f := p.level.At(t) - u
		if f > 0 {
			hi = t
		} else {
			lo = t
		}
		next := t - f/p.level.Slope(t)
		if math.IsNaN(next) { // no slope, or one beyond all numbers
			next = t
		}
		if math.Abs(next-t) <= 1e-13 || hi-lo <= 1e-15 {
			return math.Max(p.t0, math.Min(next, p.t1))
		}
		t = next
	}
	return t
}

// level is the level of a speed; NaN counts as standstill.
func (s *sweep) level(omega float64) float64 {
	if math.IsNaN(omega) {
		omega = 0
	}
	return s.sign * omega * omega
}

// find returns the index of the first piece that reaches the level v, or the
// number of pieces.
func (s *sweep) find(v float64) int {
	return sort.Search(len(s.pieces), func(i int) bool { return !(s.pieces[i].u1 < v) })
}

// walk is find from a piece nearby.
func (s *sweep) walk(k int, v float64) int {
	for k < len(s.pieces) && s.pieces[k].u1 < v {
		k++
	}
	for k > 0 && s.pieces[k-1].u1 >= v {
		k--
	}
	return k
}

// on returns the piece k and the place on it at level v. Without a piece there,
// ok is false and held is the position at which the path waits.
func (s *sweep) on(k int, v float64) (p *piece, t float64, held point, ok bool) {
	switch {
	case v <= s.first || len(s.pieces) == 0 && v <= s.last:
		return nil, 0, s.begin, false
	case k >= len(s.pieces):
		return nil, 0, s.end, false
	}
	p = &s.pieces[k]
	if v <= p.u0 {
		return p, p.t0, point{}, true
	}
	return p, p.find(v), point{}, true
}

func (s *sweep) theta(k int, v float64) float64 {
	p, t, held, ok := s.on(k, v)
	if !ok {
		return held.theta
	}
	return p.theta.At(t)
}

func (s *sweep) phi(k int, v float64) float64 {
	p, t, held, ok := s.on(k, v)
	if !ok {
		return held.phi
	}
	return p.phi + p.h*t
}
