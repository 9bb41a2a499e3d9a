package recipes

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"

	"example.org/bobweight/springs/workers"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"example.org/bobweight/springs/valid"
)

// Scatter says how far a build may stand from its recipe, beside what the parts
// of the drawer say of themselves. All are standard uncertainties (one sigma) of
// independent normal errors, cut off where a part would turn into none: a rate or
// a weight's moment at a thousandth of itself, initial tension and friction at 0,
// travel at what the linkage allows. Nil stands for [DefaultScatter].
type Scatter struct {
	Static   float64 // of setting the static timing, crank degrees
	Light    float64 // of the timing light it is set with, crank degrees
	Slot     float64 // of the slot length, m
	Friction float64 // of the mechanism's friction, as a fraction of it

	Samples int       // builds drawn, up to a million; 0 stands for 10,000
	Seed    uint64    // same seed, same answer, whatever the number of workers
	RPM     []float64 // rising engine speeds for the band; nil for those of target and limits
	Limits  *Limits   // to be judged by; nil for those of the problem
	Workers int       // goroutines; 0 stands for GOMAXPROCS
	// Progress, where given, is told how much is done, 0 to 1.
	Progress func(done float64) `json:"-"`
}

// DefaultScatter is what a careful builder may count on (common practice, no
// source): half a degree of setting, one degree of light, 0.05 mm of slot, and
// friction that may well be a third more or less.
func DefaultScatter() *Scatter {
	return &Scatter{Static: 0.5, Light: 1, Slot: 5e-5, Friction: 0.33, Seed: 1}
}

func (s *Scatter) samples() int {
	if s.Samples == 0 {
		return 10_000
	}
	return s.Samples
}

// slotDegrees is the sigma of the travel in crank degrees.
func (s *Scatter) slotDegrees(p *Problem) float64 {
	if !(p.Slot.Radius > 0) {
		return 0
	}
	return p.Drive.CrankDegrees(s.Slot / p.Slot.Radius)
}

func (s *Scatter) check() error {
	if err := firstOf(within("static sigma", s.Static, "deg crank", 0, 20), within("light sigma", s.Light, "deg crank", 0, 20),
		within("slot sigma", s.Slot, "m", 0, 0.01), within("friction sigma", s.Friction, "of the friction", 0, 1),
		within("samples", float64(s.Samples), "samples", 0, 1e6), within("workers", float64(s.Workers), "goroutines", 0, 4096)); err != nil {
		return err
	}
	last := math.Inf(-1)
	for _, rpm := range s.RPM {
		if err := within("band speed", rpm, "rpm crank", 0, maxSpeed); err != nil {
			return err
		}
		if rpm <= last {
			return outOfRange("band speed", rpm, "rpm crank", "above the one before")
		}
		last = rpm
	}
	return nil
}

// Quantiles hold the middle 95 % of the builds: 2.5 % lie below Low, half below
// Median, 2.5 % above High.
type Quantiles struct{ Low, Median, High float64 }

// Influence is how much one input matters to one limit.
type Influence struct {
	Input string
	Share float64 // of the variance of the margin, first order
	Sigma float64 // change of the margin when the input rises by one sigma
}

// LimitProbability is how surely one limit is kept.
type LimitProbability struct {
	// Limit is "start above idle, rising", "return above idle, falling", "weights come
	// back", "all in not too early", "all in not too late", "total", "reading at idle",
	// "knock margin", "no snap", or "tension of spring" with its name; Unit that of the
	// margin, which is 0 on the edge and positive inside.
	Limit, Unit string
	Probability float64   // share of the builds that keep it
	Nominal     float64   // margin of the recipe as it stands, negative where it breaks the limit
	Margin      Quantiles // of the builds
	Influences  []Influence
}

// Measurement is what it would help to measure one part before building.
type Measurement struct {
	Part string
	// JointProbability is the share of builds that would keep all limits if the part's
	// deviation were known and set out; compare [Tolerance.JointProbability].
	JointProbability float64
}

// Tolerance is what may become of a recipe.
type Tolerance struct {
	Samples          int
	RPM              []float64   // engine speeds of the band
	Band             []Quantiles // spark of the rising sweep at each, crank degrees BTDC
	AllIn            Quantiles   // engine rpm at which the rising sweep reaches the stop
	Torque           Quantiles   // given up, as in [Recipe.TorqueGivenUp]; 0 without MBT
	InBand           float64     // share of builds that keep the band at its points; 1 where there is none
	Limits           []LimitProbability
	JointProbability float64 // share of builds that keep all limits
	// Main is the input that matters most to the limit most at risk.
	Main Influence
	// Measure lists the parts worth measuring, the most useful first.
	Measure []Measurement
}

// pieceOf is how many builds make one piece of work, which has its own stream of
// random numbers: so the answer does not depend on who draws it.
const pieceOf = 1000

// Tolerance draws builds of a recipe at random and says what band the spark keeps,
// how surely each limit is kept, what matters most, and which part to measure
// first. It refuses a recipe that is none of this problem and a scatter out of
// range; it returns the context's error where that ends first.
//
// The knock limit is judged at its points, between them, and wherever a build's
// curve bends, as the search does. The grid of the samples is fixed while take-up
// points move with the spring lengths, so a sampled hold is drawn as steep as one
// part in 64 of the travel.
func (p *Problem) Tolerance(ctx context.Context, r *Recipe, s *Scatter) (*Tolerance, error) {
	sm, err := p.sampler(r, s)
	if err != nil {
		return nil, err
	}
	n := newNodes(sm.p)
	sm.watch(slices.Concat(n.rpm, sm.s.RPM, sm.needed()))
	sm.list()
	d := sm.columns()
	at := make([]int, len(n.rpm))
	for i, rpm := range n.rpm {
		at[i] = sm.placeOf(rpm)
	}
	hasMBT := len(sm.p.Target.MBT.Points()) > 0
	err = sm.run(ctx, func(b *build, i int) {
		d.note(sm, b, i)
		for k, j := range at {
			b.spark[k] = b.rise[j]
		}
		if hasMBT {
			d.torque[i] = n.torque(b.spark[:len(at)])
		}
		if n.deviation(b.spark[:len(at)]) == 0 {
			d.inBand[i] = 1
		}
	})
	if err != nil {
		return nil, err
	}
	return sm.sum(ctx, d, &n)
}

// JointProbability is the field of that name of [Problem.Tolerance] by itself, which
// takes a tenth of the time: enough to rank recipes.
func (p *Problem) JointProbability(ctx context.Context, r *Recipe, s *Scatter) (float64, error) {
	sm, err := p.sampler(r, s)
	if err != nil {
		return 0, err
	}
	sm.watch(sm.needed())
	sm.list()
	var kept atomic.Int64
	err = sm.run(ctx, func(b *build, _ int) {
		for k := range sm.limits {
			if !(sm.limits[k].margin(b) >= -forgiven) {
				return
			}
		}
		kept.Add(1)
	})
	return float64(kept.Load()) / float64(sm.s.samples()), err
}

// sampler checks what is asked for and prepares the draw.
func (p *Problem) sampler(r *Recipe, s *Scatter) (*sampler, error) {
	if s == nil {
		s = DefaultScatter()
	}
	if p == nil || r == nil || r.Curve == nil {
		return nil, refuse("problem or recipe is empty")
	}
	own := *p
	if s.Limits != nil {
		own.Limits = *s.Limits
	}
	if err := own.check(); err != nil {
		return nil, err
	}
	if err := firstOf(own.checkChoice(r.Choice), s.check(), within("slot sigma as travel", s.slotDegrees(p), "deg crank", 0, 180),
		within("static timing", r.Static, "deg crank", -60, 90), within("travel", r.Travel, "deg crank", 0, 120)); err != nil {
		return nil, err
	}
	return newSampler(&own, r, s)
}

// drawn holds the outcomes of all samples, outcome by outcome.
type drawn struct {
	z      [][]float64 // by input
	spark  [][]float64 // by watched speed, rising
	margin [][]float64 // by limit
	torque []float64
	inBand []float64
	allIn  []float64 // rpm crank
}

// columns makes room for the outcomes.
func (sm *sampler) columns() *drawn {
	count := sm.s.samples()
	column := func(k int) [][]float64 {
		c := make([][]float64, k)
		for i := range c {
			c[i] = make([]float64, count)
		}
		return c
	}
	return &drawn{column(len(sm.inputs)), column(len(sm.rpm)), column(len(sm.limits)), make([]float64, count), make([]float64, count), make([]float64, count)}
}

// run draws the samples and hands each to see, from several goroutines at once.
func (sm *sampler) run(ctx context.Context, see func(b *build, i int)) error {
	count := sm.s.samples()
	pieces := (count + pieceOf - 1) / pieceOf
	pool := workers.Pool{Workers: sm.s.Workers}
	if told := sm.s.Progress; told != nil {
		pool.Progress = func(done, total int) { told(float64(done) / float64(total)) }
	}
	_, err := workers.With(ctx, pool, pieces, sm.newBuild, func(b *build, piece int) error {
		rng := rand.New(rand.NewPCG(sm.s.Seed, uint64(piece)))
		for i := piece * pieceOf; i < min(count, (piece+1)*pieceOf); i++ {
			sm.draw(b, rng)
			see(b, i)
		}
		return nil
	})
	return err
}

func (d *drawn) note(sm *sampler, b *build, i int) {
	for k, z := range b.z {
		d.z[k][i] = z
	}
	for k, x := range b.rise {
		d.spark[k][i] = x
	}
	for k := range sm.limits {
		d.margin[k][i] = sm.limits[k].margin(b)
	}
	d.allIn[i] = sm.rpmOf(b.allIn)
}

// sum makes the answer of the samples.
func (sm *sampler) sum(ctx context.Context, d *drawn, n *nodes) (*Tolerance, error) {
	t := &Tolerance{Samples: len(d.torque), InBand: stat.Mean(d.inBand, nil)}
	nominal := sm.newBuild()
	sm.nominal(nominal)
	effects := make([][]float64, len(sm.limits)) // of each input on each margin, per sigma
	for k, l := range sm.limits {
		o := LimitProbability{Limit: l.name, Unit: l.unit, Nominal: l.margin(nominal), Probability: shareKept(d.margin[k])}
		effects[k], o.Influences = sm.influences(d, d.margin[k])
		t.Limits = append(t.Limits, o)
	}
	t.JointProbability = d.joint(effects, nil)
	t.Measure = sm.measure(d, effects)
	worst := -1
	for k := range t.Limits {
		if len(t.Limits[k].Influences) > 0 && (worst < 0 || t.Limits[k].Probability < t.Limits[worst].Probability) {
			worst = k
		}
	}
	if worst >= 0 {
		t.Main = t.Limits[worst].Influences[0]
	}
	wanted := slices.Clone(sm.s.RPM)
	if wanted == nil {
		for i, rpm := range n.rpm {
			if n.named[i] {
				wanted = append(wanted, rpm)
			}
		}
	}
	t.RPM, t.Band = wanted, make([]Quantiles, len(wanted))
	read := []func(){
		func() { t.Torque = quantiles(d.torque) },
		func() { t.AllIn = quantiles(d.allIn) },
	}
	for i, rpm := range wanted {
		read = append(read, func() { t.Band[i] = quantiles(d.spark[sm.placeOf(rpm)]) })
	}
	for k := range t.Limits {
		read = append(read, func() { t.Limits[k].Margin = quantiles(d.margin[k]) })
	}
	// The columns are out of order from here on.
	return t, workers.Pool{Workers: sm.s.Workers}.Each(ctx, len(read), func(i int) error { read[i](); return nil })
}

// forgiven is the rounding by which a margin may lie below 0.
const forgiven = 1e-9

// shareKept is the share of margins that are not negative.
func shareKept(margins []float64) float64 {
	n := 0
	for _, m := range margins {
		if m >= -forgiven {
			n++
		}
	}
	return float64(n) / float64(len(margins))
}

// influences regresses a margin on the inputs. They are independent with unit
// variance, so the covariance is the first-order effect per sigma and its square
// the share of the variance.
func (sm *sampler) influences(d *drawn, margin []float64) (effects []float64, sorted []Influence) {
	mean, variance := stat.MeanVariance(margin, nil)
	effects = make([]float64, len(sm.inputs))
	if !(variance > 0) || !valid.Finite(variance) {
		return effects, nil
	}
	for i, in := range sm.inputs {
		if in.sigma == 0 {
			continue
		}
		z := d.z[i]
		effects[i] = (floats.Dot(z, margin) - mean*floats.Sum(z)) / floats.Dot(z, z)
		sorted = append(sorted, Influence{in.name, effects[i] * effects[i] / variance, effects[i]})
	}
	slices.SortStableFunc(sorted, func(a, b Influence) int { return cmp.Compare(b.Share, a.Share) })
	return effects, sorted
}

// joint is the share of builds that keep all limits when the effects of some
// inputs are taken out.
func (d *drawn) joint(effects [][]float64, out []int) float64 {
	n := 0
	for i := range d.torque {
		ok := true
		for k := range d.margin {
			m := d.margin[k][i]
			for _, in := range out {
				m -= effects[k][in] * d.z[in][i]
			}
			if !(m >= -forgiven) {
				ok = false
				break
			}
		}
		if ok {
			n++
		}
	}
	return float64(n) / float64(len(d.torque))
}

// measure tries for each part what knowing it would do.
func (sm *sampler) measure(d *drawn, effects [][]float64) []Measurement {
	var parts []string
	inputs := map[string][]int{}
	for i, in := range sm.inputs {
		if in.sigma == 0 {
			continue
		}
		if inputs[in.part] == nil {
			parts = append(parts, in.part)
		}
		inputs[in.part] = append(inputs[in.part], i)
	}
	var all []Measurement
	for _, part := range parts {
		all = append(all, Measurement{part, d.joint(effects, inputs[part])})
	}
	slices.SortStableFunc(all, func(a, b Measurement) int { return cmp.Compare(b.JointProbability, a.JointProbability) })
	return all
}
