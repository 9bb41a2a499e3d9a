package recipes

import (
	"math"
	"slices"
)

// nodes are the engine speeds at which a recipe is read, in rising order, with
// what is wanted there. Sums over the nodes behind a clipped curve are prepared,
// so that another travel of the same parts costs a handful of operations.
type nodes struct {
	rpm    []float64
	omega2 []float64 // rad^2/s^2 at the distributor shaft

	// Objective: sum of coef*(spark - ref)^2, the torque given up, or with a
	// band alone the mean square distance from its middle.
	share []float64 // how much a speed counts, sums to 1
	coef  []float64
	ref   []float64
	lost  []*piecewise // loss off MBT, where it is given as rows
	// Limits and band on the spark at each node; infinite where there is none.
	top, low, high []float64

	after suffix
	idle  int    // node at idle, -1 if it is not read
	named []bool // a point of the target or a limit, not one between
}

// suffix holds sums and extremes over the nodes i, i+1, ... for each i.
type suffix struct{ c, cr, crr, top, low, high []float64 }

// newNodes gathers every speed the target and limits name.
func newNodes(p *Problem) nodes {
	n := nodes{idle: -1}
	counted := p.countedSpeeds()
	readIdle := n.gather(p, counted)
	if readIdle {
		n.idle = n.at(p.Idle)
	}
	size := len(n.rpm)
	n.omega2, n.share, n.coef, n.ref = make([]float64, size), make([]float64, size), make([]float64, size), make([]float64, size)
	n.top, n.low, n.high = make([]float64, size), make([]float64, size), make([]float64, size)
	for i, rpm := range n.rpm {
		omega := p.Drive.Omega(rpm)
		n.omega2[i] = omega * omega
	}
	n.bound(p)
	n.weigh(p, counted)
	n.after = n.suffix()
	return n
}

// countedSpeeds are those of the objective: the target's best torque, else its band.
func (p *Problem) countedSpeeds() []float64 {
	var counted []float64
	for _, q := range p.Target.MBT.Points() {
		counted = append(counted, q.RPM)
	}
	if len(counted) == 0 {
		for _, b := range p.Target.Band {
			counted = append(counted, b.RPM)
		}
	}
	return counted
}

// gather lays the speeds, in order and each once, and says whether idle is read.
func (n *nodes) gather(p *Problem, counted []float64) (readIdle bool) {
	l := &p.Limits
	n.rpm = slices.Clone(counted)
	for _, b := range p.Target.Band {
		n.rpm = append(n.rpm, b.RPM)
	}
	for _, q := range l.Knock.Points() {
		n.rpm = append(n.rpm, q.RPM)
	}
	readIdle = l.AdvanceAtIdle && l.IdleReading.given()
	if readIdle {
		n.rpm = append(n.rpm, p.Idle)
	}
	named := slices.Clone(n.rpm)
	n.rpm = append(n.rpm, l.between()...)
	slices.Sort(n.rpm)
	n.rpm = slices.Compact(n.rpm)
	for _, rpm := range n.rpm {
		n.named = append(n.named, slices.Contains(named, rpm))
	}
	return readIdle
}

// at is the node of a speed that is one.
func (n *nodes) at(rpm float64) int { i, _ := slices.BinarySearch(n.rpm, rpm); return i }

// bound lays the knock limit less its margin, and the band, over the nodes.
func (n *nodes) bound(p *Problem) {
	for i, rpm := range n.rpm {
		n.top[i], n.low[i], n.high[i] = math.Inf(1), math.Inf(-1), math.Inf(1)
		if limit, err := p.Limits.Knock.Held(rpm); err == nil {
			n.top[i] = limit - p.Limits.KnockMargin
		}
	}
	for _, b := range p.Target.Band {
		i := n.at(b.RPM)
		n.low[i], n.high[i] = max(n.low[i], b.Low), min(n.high[i], b.High)
	}
}

// weigh lays the objective over the nodes: its share, what is best, what a degree off costs.
func (n *nodes) weigh(p *Problem, counted []float64) {
	t := &p.Target
	for _, rpm := range counted {
		n.share[n.at(rpm)] += 1 / float64(len(counted))
	}
	for i, rpm := range n.rpm {
		if n.share[i] == 0 {
			continue
		}
		if best, err := t.MBT.Held(rpm); err == nil {
			n.ref[i], n.coef[i] = best, n.share[i]*defaultLoss
		} else if !math.IsInf(n.low[i], 0) {
			n.ref[i], n.coef[i] = (n.low[i]+n.high[i])/2, n.share[i]
		}
	}
	if len(t.Loss) > 0 && len(t.MBT.Points()) > 0 {
		for _, rpm := range n.rpm {
			n.lost = append(n.lost, losses(t.Loss).piecewiseAt(rpm))
		}
	}
}

func (n *nodes) suffix() suffix {
	size := len(n.rpm)
	s := suffix{}
	for _, f := range []*[]float64{&s.c, &s.cr, &s.crr, &s.top, &s.low, &s.high} {
		*f = make([]float64, size+1)
	}
	s.top[size], s.low[size], s.high[size] = math.Inf(1), math.Inf(-1), math.Inf(1)
	for i := size - 1; i >= 0; i-- {
		c, r := n.coef[i], n.ref[i]
		s.c[i], s.cr[i], s.crr[i] = s.c[i+1]+c, s.cr[i+1]+c*r, s.crr[i+1]+c*r*r
		s.top[i], s.low[i], s.high[i] = min(s.top[i+1], n.top[i]), max(s.low[i+1], n.low[i]), min(s.high[i+1], n.high[i])
	}
	return s
}

// torque returns the fraction of torque given up, on average over its speeds,
// for the spark at each node: the mean square distance from the band's middle where
// there is no MBT.
func (n *nodes) torque(spark []float64) float64 {
	sum := 0.0
	for i, c := range n.coef {
		off := spark[i] - n.ref[i]
		switch {
		case c == 0:
		case n.lost != nil:
			sum += n.share[i] * n.lost[i].at(off)
		default:
			sum += c * off * off
		}
	}
	return sum
}

// deviation returns the largest distance in crank degrees by which the spark
// leaves the band, 0 where it keeps it or there is none.
func (n *nodes) deviation(spark []float64) float64 {
	worst := 0.0
	for i, x := range spark {
		worst = max(worst, n.low[i]-x, x-n.high[i])
	}
	return worst
}
