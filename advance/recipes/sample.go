package recipes

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

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
	rows    [][]float64 // omega^2 of each draw, where the parts are given as shares
	omega2  []float64   // squared speeds at which the spark is noted
	rpm     []float64
	limits  []marginOf
	square  func(rpm float64) float64
}

// marginOf is a limit as a margin that must not be negative.
type marginOf struct {
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
	spark              []float64 // memory for whoever reads the sample
}

// samplerPoints is finer than the search's table, since take-up moves from
// sample to sample while the grid stays.
const samplerPoints = 65

func newSampler(p *Problem, r *Recipe, s *Scatter) (*sampler, error) {
	sm := &sampler{p: p, r: r, s: s}
	add := func(name, part string, sigma float64) { sm.inputs = append(sm.inputs, input{name, part, sigma}) }

	if p.Shares != nil {
		return sm, sm.drawShares(add)
	}
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

// watch sets the speeds at which samples are read.
func (sm *sampler) watch(rpm []float64) {
	slices.Sort(rpm)
	sm.rpm = slices.Compact(rpm)
	for _, x := range sm.rpm {
		sm.omega2 = append(sm.omega2, sm.square(x))
	}
}

// needed lists the speeds that the limits name.
func (sm *sampler) needed() []float64 {
	l := &sm.p.Limits
	all := l.between()
	for _, q := range l.Knock.Points() {
		all = append(all, q.RPM)
	}
	if l.IdleReading.given() {
		all = append(all, sm.p.Idle)
	}
	return all
}

func (sm *sampler) newBuild() *build {
	n := len(sm.rpm)
	b := &build{
		z: make([]float64, len(sm.inputs)), y: make([]float64, sm.g.fill), yF: make([]float64, sm.g.fill),
		rise: make([]float64, n), fall: make([]float64, n), laws: make([]springs.Spring, len(sm.parts)), spark: make([]float64, n),
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
	if sm.rows != nil {
		sm.assembleShares(b, sm.rows[rng.IntN(len(sm.rows))])
		return
	}
	sm.assemble(b)
}

// nominal is the recipe as it stands.
func (sm *sampler) nominal(b *build) {
	clear(b.z)
	if sm.rows != nil {
		sm.assembleShares(b, sm.p.Shares.balance(sm.p, sm.r.Choice))
		return
	}
	sm.assemble(b)
}

// drawShares prepares the draw of parts that are given as shares: each build has one
// of their draws, and its own errors of slot, setting and light.
func (sm *sampler) drawShares(add func(name, part string, sigma float64)) error {
	add("slot travel", "slot", sm.s.slotDegrees(sm.p))
	add("static timing", "static timing", sm.s.Static)
	add("light", "light", sm.s.Light)
	sm.g = sm.p.shareGrid()
	for i := range sm.p.ShareDraws {
		draw := &sm.p.ShareDraws[i]
		if !slices.Equal(draw.Angles, sm.p.Shares.Angles) {
			return refuse("draw %d of shares has other angles than the shares", i+1)
		}
		sm.rows = append(sm.rows, draw.balance(sm.p, sm.r.Choice))
	}
	if sm.rows == nil {
		sm.rows = [][]float64{sm.p.Shares.balance(sm.p, sm.r.Choice)}
	}
	sm.square = func(rpm float64) float64 { w := sm.p.Drive.Omega(rpm); return w * w }
	return nil
}

// assembleShares is assemble for parts that are given as shares.
func (sm *sampler) assembleShares(b *build, row []float64) {
	copy(b.y, row)
	copy(b.yF, row)
	b.travel = min(max(least, sm.r.Travel+b.z[0]*sm.inputs[0].sigma), sm.g.theta[len(sm.g.theta)-1])
	b.static = sm.r.Static + b.z[1]*sm.inputs[1].sigma + b.z[2]*sm.inputs[2].sigma
	sm.read(b)
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

	// b.y holds the pull of the springs and b.yF the moment of the weights, until they
	// are divided.
	pull, weight := b.y[:len(g.phi)], b.yF[:len(g.phi)]
	clear(pull)
	clear(weight)
	for i := range b.laws {
		sm.posts[i].addMoments(pull, &b.laws[i])
	}
	for i, row := range sm.weights {
		factor := max(least, 1+off(weights+i))
		for k, x := range row {
			weight[k] += x * factor
		}
	}
	for k, slope := range g.slope {
		drag := p.Mechanism.Drag * slope
		band := moment + grip*math.Abs(pull[k])
		b.y[k], b.yF[k] = (pull[k]+drag+band)/weight[k], (pull[k]+drag-band)/weight[k]
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
		sm.limits = append(sm.limits, marginOf{name, unit, margin})
	}
	if !l.AdvanceAtIdle {
		add(startAboveIdle, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.start) - p.Idle - l.StartMargin })
		add(returnAboveIdle, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.back) - p.Idle - l.ReturnMargin })
	}
	if l.AllIn.given() {
		add(allInNotTooEarly, "rpm crank", func(b *build) float64 { return sm.rpmOf(b.allIn) - l.AllIn.Low })
		add(allInNotTooLate, "rpm crank", func(b *build) float64 { return l.AllIn.High - sm.rpmOf(b.allIn) })
	}
	if l.Total.given() {
		add(totalKept, "deg crank", func(b *build) float64 {
			return min(b.static+b.travel-l.Total.Low, l.Total.High-b.static-b.travel)
		})
	}
	if l.IdleReading.given() {
		i := sm.placeOf(p.Idle)
		add(idleReadingKept, "deg crank", func(b *build) float64 {
			return min(b.rise[i]-l.IdleReading.Low, l.IdleReading.High-b.fall[i])
		})
	}
	if len(l.Knock.Points()) > 0 {
		limit := p.knockLess(l.KnockMargin)
		top := make([]float64, len(sm.omega2))
		for i, v := range sm.omega2 {
			top[i] = limit.at(v)
		}
		add(knockMarginKept, "deg crank", func(b *build) float64 {
			margin := sm.marginAtBends(b, limit)
			for i, x := range b.fall {
				margin = min(margin, top[i]-max(x, b.rise[i]))
			}
			return margin
		})
	}
	if !l.Snap {
		add(noSnap, "", func(b *build) float64 { return sign(!b.snaps) })
	}
	if p.mayReachIdle() {
		add(weightsComeBack, "", func(b *build) float64 { return sign(b.back >= 0) })
	}
	for i, part := range sm.parts {
		if part.MaxTension > 0 {
			add(tensionOf(part.Name), "N", func(b *build) float64 {
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

// marginAtBends is the least distance of a build below a limit over omega^2 at the
// points of its table on either sweep, and where its springs are taken up: a curve
// bends there, so between the speeds it is read at that is where it comes nearest.
func (sm *sampler) marginAtBends(b *build, limit *piecewise) float64 {
	g := sm.g
	cell, part := g.locate(b.travel)
	least := math.Inf(1)
	note := func(omega2, theta float64) { least = min(least, limit.at(max(0, omega2))-b.static-theta) }
	note(b.allIn, b.travel)
	most := math.Inf(-1)
	for k := range cell + 1 {
		most = max(most, b.y[k])
		note(most, g.theta[k])
		for i := range b.laws {
			if theta, rise, _ := sm.takeUp(b, i, k); theta < b.travel {
				note(max(most, rise), theta)
			}
		}
	}
	slowest := b.yF[cell] + part*(b.yF[cell+1]-b.yF[cell])
	note(slowest, b.travel)
	for k := cell; k >= 0; k-- {
		for i := range b.laws {
			if theta, _, fall := sm.takeUp(b, i, k); theta < b.travel {
				note(min(slowest, fall), theta)
			}
		}
		slowest = min(slowest, b.yF[k])
		note(slowest, g.theta[k])
	}
	return least
}

// takeUp returns where spring i of a build is taken up inside the cell above grid
// point k, in crank degrees, and the omega^2 of both sweeps as it still hangs loose;
// infinite where it is not. The rows go straight on from the cell before.
func (sm *sampler) takeUp(b *build, i, k int) (theta, rise, fall float64) {
	g, r, up := sm.g, sm.posts[i], b.laws[i].TakeUp()
	if k == 0 || k+1 >= len(g.phi) || !(r.length[k] <= up && up < r.length[k+1]) || g.phi[k] == g.phi[k-1] {
		return math.Inf(1), 0, 0
	}
	share := (up - r.length[k]) / (r.length[k+1] - r.length[k])
	on := share * (g.phi[k+1] - g.phi[k]) / (g.phi[k] - g.phi[k-1])
	return g.theta[k] + share*(g.theta[k+1]-g.theta[k]), b.y[k] + on*(b.y[k]-b.y[k-1]), b.yF[k] + on*(b.yF[k]-b.yF[k-1])
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
