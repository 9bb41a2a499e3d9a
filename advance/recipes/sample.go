package recipes

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// input is one uncertain quantity of a recipe.
type input struct {
	name  string
	part  string // what would be measured to know it
	sigma float64
}

// sampler draws builds of one recipe: parts as they might really be, put
// together as the recipe says. It works on a table of the recipe's own geometry.
type sampler struct {
	p       *Problem
	r       *Recipe
	s       *Scatter
	g       *grid
	inputs  []input
	parts   []*SpringPart // springs in use, in the order of the mechanism
	posts   []*reach
	weights [][]float64 // moment of each weight at each grid point
	omega2  []float64   // squared speeds at which the spark is noted
	rpm     []float64
	limits  []oddsOf
	square  func(rpm float64) float64
}

// oddsOf is a limit as a margin that must not be negative.
type oddsOf struct {
	name, unit string
	margin     func(b *build) float64
}

// build is one sample.
type build struct {
	z                  []float64 // inputs in sigmas
	y, yF              []float64
	static             float64
	travel             float64
	rise, fall         []float64 // advance at sampler.omega2
	start, back, allIn float64   // omega^2
	snaps              bool
	laws               []springs.Spring
}

// samplerPoints is finer than the search's table, since take-up moves from
// sample to sample while the grid stays.
const samplerPoints = 65

func newSampler(r *Recipe, s *Scatter) (*sampler, error) {
	p := r.p
	sm := &sampler{p: p, r: r, s: s}
	add := func(name, part string, sigma float64) { sm.inputs = append(sm.inputs, input{name, part, sigma}) }

	own := *p
	own.Positions, own.Drawer.Springs = nil, nil
	for i, n := range r.Springs {
		if n < 0 {
			continue
		}
		post := p.Positions[i].Posts[r.Posts[i]]
		part := &p.Drawer.Springs[n]
		own.Positions = append(own.Positions, Position{Posts: []Post{post}})
		own.Drawer.Springs = append(own.Drawer.Springs, *part)
		sm.parts = append(sm.parts, part)
		name := fmt.Sprintf("spring %s at %s", part.Name, p.Positions[i].Name)
		add(name+": rate", name, part.RateSigma)
		add(name+": initial tension", name, part.TensionSigma)
		add(name+": length", name, part.LengthSigma)
	}
	set := &p.Drawer.Weights[r.Weights]
	for i := range set.Weights {
		name := fmt.Sprintf("weight %d of %s", i+1, set.Name)
		add(name+": moment", name, set.MassSigma)
	}
	add("slot travel", "slot", s.slotDegrees(p))
	add("friction", "friction", s.Friction)
	add("static timing", "static timing", s.Static)
	add("light", "light", s.Light)

	// The grid reaches as far as a long slot may; the linkage may end before.
	most, _, _ := p.Mechanism.Linkage.Cam(p.Mechanism.Stop)
	reach := min(r.Travel+6*s.slotDegrees(p), p.Drive.CrankDegrees(most))
	own.Travel, own.Slot = Span{Low: reach, High: reach}, flyweights.Slot{}
	g, err := newGrid(&own, set.Weights, samplerPoints)
	if err != nil {
		return nil, err
	}
	sm.g = g
	for i := range own.Positions {
		sm.posts = append(sm.posts, &g.posts[i][0])
	}
	m := p.Mechanism
	m.Weights = set.Weights
	for i := range set.Weights {
		row := make([]float64, len(g.phi))
		for k, phi := range g.phi {
			row[k] = m.WeightMoment(i, phi)
		}
		sm.weights = append(sm.weights, row)
	}
	sm.square = func(rpm float64) float64 { w := p.Drive.Omega(rpm); return w * w }
	return sm, nil
}

// watch sets the speeds, in rising order, at which samples are read.
func (sm *sampler) watch(rpm []float64) {
	sm.rpm = rpm
	for _, x := range rpm {
		sm.omega2 = append(sm.omega2, sm.square(x))
	}
}

func (sm *sampler) newBuild() *build {
	n := len(sm.rpm)
	b := &build{
		z: make([]float64, len(sm.inputs)), y: make([]float64, sm.g.fill), yF: make([]float64, sm.g.fill),
		rise: make([]float64, n), fall: make([]float64, n), laws: make([]springs.Spring, len(sm.parts)),
	}
	for k := len(sm.g.phi); k < sm.g.fill; k++ {
		b.y[k], b.yF[k] = beyond*float64(k), beyond*float64(k)
	}
	return b
}

// draw fills a sample at random.
func (sm *sampler) draw(b *build, rng *rand.Rand) {
	for i := range b.z {
		b.z[i] = rng.NormFloat64()
	}
	sm.assemble(b)
}

// nominal is the recipe as it stands.
func (sm *sampler) nominal(b *build) {
	clear(b.z)
	sm.assemble(b)
}

// least keeps a factor or a size from turning negative in the far tail.
const least = 1e-3

// assemble computes a sample from its inputs.
func (sm *sampler) assemble(b *build) {
	g, p := sm.g, sm.p
	off := func(i int) float64 { return b.z[i] * sm.inputs[i].sigma }
	n := 0
	for i, part := range sm.parts {
		s := part.Spring
		s.Rate *= max(least, 1+off(n))
		s.InitialTension = max(0, s.InitialTension+off(n+1))
		s.FreeLength += off(n + 2)
		b.laws[i] = s
		n += 3
	}
	weights := n
	n += len(sm.weights)
	b.travel = min(max(least, sm.r.Travel+off(n)), g.theta[len(g.theta)-1])
	f := p.Mechanism.Friction
	scale := max(0, 1+off(n+1))
	moment, grip := f.Moment*scale, min(f.Proportion*scale, 0.999)
	b.static = sm.r.Static + off(n+2) + off(n+3)

	for k := range g.phi {
		pull := 0.0
		for i := range b.laws {
			pull += sm.posts[i].moment(&b.laws[i], k)
		}
		w := 0.0
		for i, row := range sm.weights {
			w += row[k] * max(least, 1+off(weights+i))
		}
		drag := p.Mechanism.Drag * g.slope[k]
		band := moment + grip*math.Abs(pull)
		b.y[k], b.yF[k] = (pull+drag+band)/w, (pull+drag-band)/w
	}
	sm.read(b)
}

// read takes advance and events off a sample's rows.
func (sm *sampler) read(b *build) {
	g := sm.g
	cell, part := g.locate(b.travel)
	at := func(y []float64) float64 { return y[cell] + part*(y[cell+1]-y[cell]) }
	end := at(b.yF)
	b.start, b.allIn = b.y[0], at(b.y)
	if b.y[0] >= 0 && b.yF[0] >= 0 && g.leastStep(b.y) > 0 && g.leastStep(b.yF) > 0 {
		g.invert(b.rise, sm.omega2, b.y)
		g.invert(b.fall, sm.omega2, b.yF)
		b.back, b.snaps = b.yF[0], false
	} else {
		g.invertRising(b.rise, sm.omega2, b.y)
		g.invertFalling(b.fall, sm.omega2, b.yF, b.travel, cell, end)
		driving := sm.p.driving()
		lo, hi := sm.square(driving.Low), sm.square(driving.High)
		b.back, b.snaps = g.trough(b.yF, cell, end, lo, hi)
		before, _ := g.leap(b.y, lo, hi)
		b.snaps = b.snaps || before < b.travel
		for _, y := range b.y[:cell+1] {
			b.allIn = max(b.allIn, y)
		}
	}
	for i := range b.rise {
		b.rise[i], b.fall[i] = b.static+min(b.rise[i], b.travel), b.static+min(b.fall[i], b.travel)
	}
}

// rpmOf is the engine speed of a squared shaft speed, 0 where springs do not
// hold the weights at all.
func (sm *sampler) rpmOf(omega2 float64) float64 { return sm.p.Drive.RPM(math.Sqrt(max(0, omega2))) }

// list prepares the limits of the problem as margins of a sample.
func (sm *sampler) list() {
	p, l := sm.p, &sm.p.Limits
	add := func(name, unit string, margin func(b *build) float64) {
		sm.limits = append(sm.limits, oddsOf{name, unit, margin})
	}
	if !l.AdvanceAtIdle {
		add(StartAboveIdle, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.start) - p.Idle - l.StartMargin })
		add(ReturnAboveIdle, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.back) - p.Idle - l.ReturnMargin })
	}
	if l.AllIn.given() {
		add(AllInNotTooEarly, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.allIn) - l.AllIn.Low })
		add(AllInNotTooLate, "rpm crank", func(b *build) float64 { return l.AllIn.High - sm.rpmOf(b.allIn) })
	}
	if l.Total.given() {
		add(TotalKept, "deg crank", func(b *build) float64 {
			return min(b.static+b.travel-l.Total.Low, l.Total.High-b.static-b.travel)
		})
	}
	if l.IdleReading.given() {
		i := sm.placeOf(p.Idle)
		add(IdleReadingKept, "deg crank", func(b *build) float64 {
			return min(b.rise[i]-l.IdleReading.Low, l.IdleReading.High-b.fall[i])
		})
	}
	if len(l.Knock.Points()) > 0 {
		top := make([]float64, len(sm.rpm))
		for i, rpm := range sm.rpm {
			limit, err := l.Knock.Held(rpm)
			if err != nil {
				limit = math.Inf(1)
			}
			top[i] = limit - l.KnockMargin
		}
		add(KnockMarginKept, "deg crank", func(b *build) float64 {
			margin := math.Inf(1)
			for i, x := range b.fall {
				margin = min(margin, top[i]-max(x, b.rise[i]))
			}
			// The stop is where a curve most likely pokes through between speeds.
			if limit, err := l.Knock.Held(sm.rpmOf(b.allIn)); err == nil {
				margin = min(margin, limit-l.KnockMargin-b.static-b.travel)
			}
			return margin
		})
	}
	if !l.Snap {
		add(NoSnap, "", func(b *build) float64 { return sign(!b.snaps) })
	}
	if p.mayReachIdle() {
		add(WeightsComeBack, "", func(b *build) float64 { return sign(b.back >= 0) })
	}
	for i, part := range sm.parts {
		if part.MaxTension > 0 {
			add(TensionOf(part.Name), "N", func(b *build) float64 {
				pull := 0.0
				for k := range sm.g.phi {
					if sm.g.theta[k] <= b.travel {
						pull = max(pull, sm.posts[i].tension(&b.laws[i], k))
					}
				}
				return part.MaxTension - pull
			})
		}
	}
}

// sign is the margin of a limit that is kept or not.
func sign(kept bool) float64 {
	if kept {
		return 1
	}
	return -1
}

// placeOf returns the place of a watched speed.
func (sm *sampler) placeOf(rpm float64) int {
	for i, x := range sm.rpm {
		if x == rpm {
			return i
		}
	}
	return 0
}
