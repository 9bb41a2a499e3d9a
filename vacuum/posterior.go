package vacuum

import (
	"math"

	"example.org/bobweight/springs/root"
)

// posterior is the probability of a ramp after the readings. It is summed up on a
// grid over the box of onset, width, greatest angle and hysteresis, which is drawn
// closer around what the readings leave in rounds: in each the logarithm of the
// likelihood is taken as a share, so that the grid always resolves it (annealing, as
// in S. Kirkpatrick and others, Science 220 (1983) 671, here for an integral).
type posterior struct {
	readings []PumpReading
	errors   MeasurementError
	falling  bool // whether some were taken while the vacuum fell

	axes    [4]axis
	weight  []float64 // of each node, row by row
	atRest  []float64 // of each reading, the probability to lie on the plateau of rest
	atLimit []float64 // and on that of the limiter
}

// axis is one coordinate of the grid, with its marginal probability.
type axis struct {
	lo, hi float64
	n      int
	share  []float64
}

func (a *axis) at(i int) float64 {
	if a.n == 1 {
		return a.lo
	}
	return a.lo + (a.hi-a.lo)*float64(i)/float64(a.n-1)
}

// Coordinates of the grid: onset in Pa, logarithm of the width in Pa, logarithm of the
// greatest angle in rad, hysteresis in Pa.
const (
	onOnset = iota
	onWidth
	onMost
	onHysteresis
)

// What is usual, all common practice without a source: see Identify.
var (
	usualWidth, usualWidthFactor = math.Log(5.5 * InchOfMercury), math.Log(1.6)
	usualMost, usualMostFactor   = math.Log(8 * math.Pi / 180), math.Log(1.8)
)

// rounds bounds the work; four to eight are usual.
const rounds = 30

// estimate sums the posterior up.
func (p *posterior) estimate() *Identification {
	p.axes = [4]axis{
		{lo: 0, hi: 25 * InchOfMercury, n: 22},
		{lo: usualWidth - 3.5*usualWidthFactor, hi: usualWidth + 3.5*usualWidthFactor, n: 14},
		{lo: usualMost - 4*usualMostFactor, hi: math.Log(mostTurn), n: 14},
		{n: 1},
	}
	if p.falling {
		p.axes[onOnset].n, p.axes[onWidth].n, p.axes[onMost].n = 16, 12, 12
		p.axes[onHysteresis] = axis{lo: 0, hi: 8 * InchOfMercury, n: 8}
	}
	power, nodes := 0.0, 25.0
	for range rounds {
		logs := p.logs()
		power = temper(logs, power, nodes)
		p.weigh(logs, power)
		if p.shrink() {
			continue
		}
		if power == 1 {
			break
		}
		nodes /= 2 // the box has a long diagonal: resolve it less before it can be drawn closer
	}
	for a, n := range p.fine() { // once more on a finer grid, for the tails
		p.axes[a].n = n
	}
	p.weigh(p.logs(), 1)
	return p.read()
}

// fine are the nodes of the last grid.
func (p *posterior) fine() [4]int {
	if p.falling {
		return [4]int{20, 16, 16, 10}
	}
	return [4]int{28, 20, 24, 1}
}

// logs are the logarithms of prior and likelihood at each node.
func (p *posterior) logs() (out [2][]float64) {
	rest := make([]float64, len(p.readings)) // of each reading, at one onset and full pull
	limit := make([]float64, len(p.readings))
	nodes := 1
	for _, a := range p.axes {
		nodes *= a.n
	}
	out[0], out[1] = make([]float64, 0, nodes), make([]float64, 0, nodes)
	for i := range p.axes[onOnset].n {
		for j := range p.axes[onWidth].n {
			w := p.axes[onWidth].at(j)
			for l := range p.axes[onHysteresis].n {
				r := p.node([4]int{i, j, 0, l})
				for n, x := range p.readings {
					rest[n], limit[n] = p.errors.plateaus(r, x)
				}
				for k := range p.axes[onMost].n {
					m := p.axes[onMost].at(k)
					r.most = math.Exp(m)
					a, b := (w-usualWidth)/usualWidthFactor, (m-usualMost)/usualMostFactor
					sum, product := 0.0, 1.0 // one logarithm for many readings
					for n, x := range p.readings {
						d := rest[n] + limit[n]
						if x.Event == Held {
							d = rest[n] + limit[n]*normal((x.Theta-r.most)/p.errors.Theta) + p.errors.slope(r, x)
						}
						product *= math.Max(1e-150, d)
						if product < 1e-150 {
							sum, product = sum+math.Log(product), 1
						}
					}
					sum += math.Log(product)
					out[0] = append(out[0], -(a*a+b*b)/2)
					out[1] = append(out[1], sum)
				}
			}
		}
	}
	return out
}

// The likelihood of one reading, but for a constant, is what is left of the two
// normal errors when the vacuum that the gauge meant has been integrated out, piece
// by piece of the ramp.

// corners are onset and full pull as a reading meets them.
func (r ramp) corners(x PumpReading) (onset, full float64) {
	if x.Falling {
		return r.onset - r.hysteresis, r.full - r.hysteresis
	}
	return r.onset, r.full
}

// plateaus are the pieces of rest and limiter: the probability that the vacuum lay
// there, for rest times the density of the angle. For an event they are all.
func (e MeasurementError) plateaus(r ramp, x PumpReading) (rest, limit float64) {
	onset, full := r.corners(x)
	switch {
	case x.atOnset():
		return normal((x.Vacuum - onset) / e.Vacuum), 0
	case x.Event != Held:
		return 0, normal((x.Vacuum - full) / e.Vacuum)
	}
	return below((onset-x.Vacuum)/e.Vacuum) * normal(x.Theta/e.Theta), below((x.Vacuum - full) / e.Vacuum)
}

// atOnset says that the reading is an event at the onset: the plate leaves rest or
// comes home.
func (x PumpReading) atOnset() bool {
	return x.Event == Starts && !x.Falling || x.Event == Stops && x.Falling
}

// slope is the piece of the straight line. The angle tells a vacuum u with an error s
// of its own; the product of the two normals over the vacuum is one about their
// weighted mean.
func (e MeasurementError) slope(r ramp, x PumpReading) float64 {
	onset, full := r.corners(x)
	k := r.most / (full - onset)
	s := e.Theta / k
	u := onset + x.Theta/k
	both := math.Hypot(s, e.Vacuum)
	far := (x.Vacuum - u) / both
	if far*far > 60 {
		return 0
	}
	mean := (x.Vacuum*s*s + u*e.Vacuum*e.Vacuum) / (both * both)
	sigma := s * e.Vacuum / both
	return s / both * normal(far) * (below((full-mean)/sigma) - below((onset-mean)/sigma))
}

func normal(x float64) float64 { return math.Exp(-x * x / 2) }

// below is the normal distribution function.
func below(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// temper raises the power of the likelihood as far as the grid resolves it: until
// the weights are spread over no fewer than so many nodes.
func temper(logs [2][]float64, power, nodes float64) float64 {
	spread := func(power float64) float64 {
		top := math.Inf(-1)
		for i := range logs[0] {
			top = math.Max(top, logs[0][i]+power*logs[1][i])
		}
		sum, squares := 0.0, 0.0
		for i := range logs[0] {
			w := math.Exp(logs[0][i] + power*logs[1][i] - top)
			sum, squares = sum+w, squares+w*w
		}
		return sum * sum / squares
	}
	if spread(1) >= nodes {
		return 1
	}
	most, _, err := root.Edge(func(x float64) bool { return spread(x) >= nodes }, power, 1, (1-power)/4096)
	if err != nil { // it is spread too thinly already
		return power
	}
	return most
}

// weigh turns logarithms into weights and sums their marginals.
func (p *posterior) weigh(logs [2][]float64, power float64) {
	top := math.Inf(-1)
	for i := range logs[0] {
		top = math.Max(top, logs[0][i]+power*logs[1][i])
	}
	p.weight = p.weight[:0]
	sum := 0.0
	for i := range logs[0] {
		w := math.Exp(logs[0][i] + power*logs[1][i] - top)
		p.weight = append(p.weight, w)
		sum += w
	}
	for i := range p.weight {
		p.weight[i] /= sum
	}
	for a := range p.axes {
		p.axes[a].share = make([]float64, p.axes[a].n)
	}
	p.each(func(at [4]int, w float64) {
		for a := range p.axes {
			p.axes[a].share[at[a]] += w
		}
	})
}

// each walks over the nodes and their weights.
func (p *posterior) each(visit func(at [4]int, w float64)) {
	n := 0
	for i := range p.axes[onOnset].n {
		for j := range p.axes[onWidth].n {
			for l := range p.axes[onHysteresis].n {
				for k := range p.axes[onMost].n {
					visit([4]int{i, j, k, l}, p.weight[n])
					n++
				}
			}
		}
	}
}

// shrink draws the box closer around what has weight, with a node to spare on each
// side, and says whether that was worth another round.
func (p *posterior) shrink() bool {
	const nothing = 1e-4
	shrunk := false
	for a := range p.axes {
		x := &p.axes[a]
		if x.n == 1 {
			continue
		}
		first, last := 0, x.n-1
		for sum := 0.0; first < x.n-2 && sum+x.share[first] < nothing; first++ {
			sum += x.share[first]
		}
		for sum := 0.0; last > first+1 && sum+x.share[last] < nothing; last-- {
			sum += x.share[last]
		}
		lo, hi := x.at(max(0, first-1)), x.at(min(x.n-1, last+1))
		if hi-lo < 0.8*(x.hi-x.lo) {
			x.lo, x.hi, shrunk = lo, hi, true
		}
	}
	return shrunk
}

// read takes the estimates from the grid.
func (p *posterior) read() *Identification {
	id := &Identification{
		Onset:      p.axes[onOnset].estimate(),
		Hysteresis: p.axes[onHysteresis].estimate(),
	}
	most := p.axes[onMost].estimate()
	id.Most = PumpEstimate{Value: math.Exp(most.Value), Low: math.Exp(most.Low), High: math.Exp(most.High)}
	id.Full = p.full().estimate()

	best := ramp{onset: id.Onset.Value, full: id.Full.Value, most: id.Most.Value, hysteresis: id.Hysteresis.Value}
	p.atRest, p.atLimit = make([]float64, len(p.readings)), make([]float64, len(p.readings))
	p.each(func(at [4]int, w float64) {
		if w < 1e-7 {
			return
		}
		r := p.node(at)
		for i, x := range p.readings {
			if x.Event != Held {
				continue
			}
			rest, limit := p.errors.plateaus(r, x)
			limit *= normal((x.Theta - r.most) / p.errors.Theta)
			if sum := rest + limit + p.errors.slope(r, x); sum > 0 {
				p.atRest[i] += w * rest / sum
				p.atLimit[i] += w * limit / sum
			}
		}
	})
	free := 3
	if p.falling {
		free = 4
	}
	if spare := len(p.readings) - free; spare > 0 {
		for _, x := range p.readings {
			id.Misfit += p.errors.squared(best, x) / float64(spare)
		}
	}
	return id
}

// squared is the square of a reading's distance from the ramp, in units of the two
// errors: of the nearest point of rest, slope and limiter.
func (e MeasurementError) squared(r ramp, x PumpReading) float64 {
	onset, full := r.corners(x)
	v := x.Vacuum
	gap := func(at float64) float64 { return (v - at) / e.Vacuum * (v - at) / e.Vacuum }
	switch {
	case x.atOnset():
		return gap(onset)
	case x.Event != Held:
		return gap(full)
	}
	off := func(at, theta float64) float64 { return gap(at) + (x.Theta-theta)/e.Theta*(x.Theta-theta)/e.Theta }
	k := r.most / (full - onset)
	foot := (v/e.Vacuum/e.Vacuum + (x.Theta/k+onset)*k/e.Theta*k/e.Theta) / (1/e.Vacuum/e.Vacuum + k/e.Theta*k/e.Theta)
	foot = math.Max(onset, math.Min(full, foot))
	return min(off(math.Min(v, onset), 0), off(foot, (foot-onset)*k), off(math.Max(v, full), r.most))
}

func (p *posterior) node(at [4]int) ramp {
	r := ramp{onset: p.axes[onOnset].at(at[onOnset]), most: math.Exp(p.axes[onMost].at(at[onMost])), hysteresis: p.axes[onHysteresis].at(at[onHysteresis])}
	r.full = r.onset + math.Exp(p.axes[onWidth].at(at[onWidth]))
	return r
}

// full is the marginal of the full pull, gathered from onset and width. The weight
// of a node is shared out between its neighbours on the new axis.
func (p *posterior) full() *axis {
	o, w := &p.axes[onOnset], &p.axes[onWidth]
	a := &axis{lo: o.lo + math.Exp(w.lo), hi: o.hi + math.Exp(w.hi), n: 200}
	a.share = make([]float64, a.n)
	p.each(func(at [4]int, weight float64) {
		x := (p.node(at).full - a.lo) / (a.hi - a.lo) * float64(a.n-1)
		i := min(a.n-2, max(0, int(x)))
		part := x - float64(i)
		a.share[i] += weight * (1 - part)
		a.share[i+1] += weight * part
	})
	return a
}

// estimate reads median and ends of the middle 95 per cent from a marginal. The
// weight of a node lies evenly between half-way points to its neighbours.
func (a *axis) estimate() PumpEstimate {
	if a.n == 1 {
		return PumpEstimate{Value: a.lo, Low: a.lo, High: a.lo}
	}
	step := (a.hi - a.lo) / float64(a.n-1)
	point := func(share float64) float64 {
		sum := 0.0
		for i, w := range a.share {
			if sum+w >= share && w > 0 {
				x := a.at(i) + step*((share-sum)/w-0.5)
				return math.Max(a.lo, math.Min(a.hi, x))
			}
			sum += w
		}
		return a.hi
	}
	return PumpEstimate{Value: point(0.5), Low: point(0.025), High: point(0.975)}
}
