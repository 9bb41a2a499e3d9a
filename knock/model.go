package knock

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
)

// Settings are the choices of a model; nil means the defaults.
type Settings struct {
	Scatter Scatter // how far this engine may lie from the model
}

// Model is an engine ready to be asked. It is safe for use by several goroutines.
// Make one with [New]; the zero value refuses every question.
type Model struct {
	engine   Engine
	prior    tweak // standard deviations
	belief   belief
	burn     burnReference
	geometry *geometry
	mixtures *store
}

// store tabulates the gases of a fuel once for each mixture.
type store struct {
	mu   sync.Mutex
	list map[float64]*mixture
}

func (s *store) get(fuel Fuel, phi float64) (*mixture, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if m, ok := s.list[phi]; ok {
		return m, nil
	}
	m, err := newMixture(fuel, phi)
	if err != nil {
		return nil, fmt.Errorf("knock: gas properties at mixture %.3g: %w", phi, err)
	}
	s.list[phi] = m
	return m, nil
}

// New prepares a model of an engine. It refuses an engine or settings with a field
// outside its range.
func New(e Engine, s *Settings) (*Model, error) {
	if err := e.Check(); err != nil {
		return nil, err
	}
	var scatter Scatter
	if s != nil {
		scatter = s.Scatter
	}
	if err := scatter.check(); err != nil {
		return nil, err
	}
	given := e.Develop > 0 && e.Rapid > 0
	e = e.withDefaults()
	e.Filling = append([]Filling(nil), e.Filling...)
	m := &Model{engine: e, geometry: newGeometry(e), prior: scatter.sigma(given), mixtures: &store{list: map[float64]*mixture{}}}
	m.belief = priorBelief(m.prior)
	return m, m.reference()
}

// reference finds the burn scale at the running point where burn angles are given:
// 2000 rpm, full load, 1.1 mixture, 8.5 to 1.
func (m *Model) reference() error {
	e := m.engine
	e.CompressionRatio, e.Overlap, e.Filling = 8.5, 20, Engine{}.withDefaults().Filling
	cond := Condition{RPM: referenceRPM, Mixture: 1.1}.withDefaults(e)
	mix, err := m.mixtures.get(e.Fuel, cond.Mixture)
	if err != nil {
		return err
	}
	var c charge
	c.prepare(&e, cond, mix, &tweak{}, 950, &burnReference{1, 1}, newGeometry(e))
	at := func(angle float64) float64 {
		y := c.motor(angle)
		return burnScale(c.rpm, c.mix.phi, y[unburnedT], y[pressurePa], c.burned, c.speed, c.flame)
	}
	m.burn = burnReference{develop: at(-referenceSpark / 2), rapid: at(0)}
	return nil
}

// Engine returns the engine with its defaults written out.
func (m *Model) Engine() Engine {
	e := m.engine
	e.Filling = append([]Filling(nil), e.Filling...)
	return e
}

// point is one running point of the model: everything but the tweaks.
type point struct {
	model    *Model
	engine   Engine
	cond     Condition
	mix      *mixture
	residual float64 // K
}

// at readies a running point and finds the temperature of its residual gas.
func (m *Model) at(cond Condition) (*point, error) {
	if m == nil || m.mixtures == nil {
		return nil, outOfRange("model", 0, "engines", "one made with New")
	}
	cond = cond.withDefaults(m.engine)
	if err := cond.check(); err != nil {
		return nil, err
	}
	mix, err := m.mixtures.get(m.engine.Fuel, cond.Mixture)
	if err != nil {
		return nil, err
	}
	p := &point{model: m, engine: m.engine, cond: cond, mix: mix, residual: 950}
	var c charge
	for range 3 {
		p.fill(&c, &m.belief.mean)
		w := c.burn(20)
		out := c.fire(math.Min(w.angle(0.5)-8, latestSearch), nil)
		if !out.valid {
			return nil, outOfRange("cycle at engine speed", cond.RPM, "rpm crank", "a running point whose gas stays between 300 and 3600 K and below 240 bar")
		}
		p.residual = c.residualAfter(&out)
	}
	return p, nil
}

// residualAfter is the temperature of gas left in the cylinder: expanded from
// exhaust opening to the exhaust pressure and a quarter of the way to the walls
// (common practice: exhaust gas of 900 to 1000 K at full load and 2000 rpm).
func (c *charge) residualAfter(out *outcome) float64 {
	t, p := out.end[burnedT], out.end[pressurePa]
	t *= math.Pow(c.exhaust/p, 0.28/1.28)
	return t + 0.25*(c.wallKelvin-t)
}

// fill prepares a charge of the point under a tweak.
func (p *point) fill(c *charge, w *tweak) {
	c.prepare(&p.engine, p.cond, p.mix, w, p.residual, &p.model.burn, p.model.geometry)
}

// Want is what an engine wants and tolerates at one running point. Angles are crank
// degrees before top centre; bands hold 90 %.
type Want struct {
	RPM float64

	MBT                float64 // spark of best torque
	MBTEarly, MBTLate  float64 // more and less spark that still give 99.5 % of that torque
	MBTLow, MBTHigh    float64 // band of MBT
	Torque             float64 // N m at the crankshaft, all cylinders, at MBT
	Half, PeakPressure float64 // crank degrees after top centre at MBT: half burned, highest pressure

	// Limited reports that trace knock is met below the highest spark searched, 15
	// degrees beyond MBT. Limit is the first crossing coming from retard. When
	// Limited is false Limit and LimitHigh are the highest spark searched and
	// LimitLow is where an engine at the edge of the band would knock, or that same
	// spark if even it would not.
	Limited                    bool
	Limit, LimitLow, LimitHigh float64
}

const beyondBest = 15.0 // crank degrees past MBT that the search for knock goes

// quantile of the normal distribution that leaves 5 % on each side.
const ninety = 1.6448536269514722

// At answers for one running point.
func (m *Model) At(cond Condition) (Want, error) {
	p, err := m.at(cond)
	if err != nil {
		return Want{}, err
	}
	return p.want()
}

func (p *point) want() (Want, error) {
	var c charge
	e := &p.engine
	mean := &p.model.belief.mean
	p.fill(&c, mean)
	mbt, top, bend := c.best(e)
	if !(bend < 0) {
		return Want{}, outOfRange("torque curve at engine speed", p.cond.RPM, "rpm crank", "a running point with a best spark")
	}
	out := c.fire(mbt-c.phasing, nil)
	if !out.valid {
		return Want{}, outOfRange("cycle at engine speed", p.cond.RPM, "rpm crank", "a running point whose gas stays between 300 and 3600 K and below 240 bar")
	}
	w := Want{RPM: p.cond.RPM, MBT: mbt, Half: out.half, PeakPressure: out.peakAt,
		Torque: top * float64(e.Cylinders) / (4 * math.Pi)}
	w.MBTEarly, w.MBTLate = c.flatTop(e, mbt, top, bend)
	spread := p.bestSpread(mbt, bend)
	w.MBTLow, w.MBTHigh = mbt-ninety*spread, mbt+ninety*spread
	p.limits(&c, &w)
	return w, nil
}

// flatTop returns the sparks on either side of MBT that give 99.5 % of its work,
// from a cubic through two more points. Where the engine makes no work at the crank
// the flat top is measured against the work of the gas.
func (c *charge) flatTop(e *Engine, mbt, top, bend float64) (early, late float64) {
	const reach = 6.0
	want := 0.005 * math.Max(math.Abs(top), 0.2*friction(c.rpm)*c.crank.swept)
	a := top - c.phased(e, mbt+reach)
	b := top - c.phased(e, mbt-reach)
	side := func(drop float64) float64 { return reach * math.Sqrt(want/math.Max(drop, 1e-12)) }
	_ = bend
	return mbt + side(a), mbt - side(b)
}

// limits fills in the knock limit and its band.
func (p *point) limits(c *charge, w *Want) {
	highest := math.Min(w.MBT+beyondBest, latestSearch)
	s := c.sweep(highest)
	limit, limited := c.crossing(&s, 0)
	at := limit
	if !limited {
		at = highest
	}
	spread := p.levelSpread(at) * ninety
	w.Limited, w.Limit, w.LimitHigh, w.LimitLow = limited, at, highest, highest
	if low, ok := c.crossing(&s, -spread); ok {
		w.LimitLow = low
	}
	if high, ok := c.crossing(&s, spread); ok {
		w.LimitHigh = high
	}
}

// FullLoad answers for full load at each speed of rpm, in their order. It stops
// with the context and tells progress, if given, how many are done.
func (m *Model) FullLoad(ctx context.Context, rpm []float64, progress func(done, total int)) ([]Want, error) {
	conditions := make([]Condition, len(rpm))
	for i, n := range rpm {
		conditions[i].RPM = n
	}
	return m.Each(ctx, conditions, progress)
}

// Each answers for many running points, in their order, on all processors. It stops
// with the context and tells progress, if given, how many are done; progress is
// never called by two goroutines at once.
func (m *Model) Each(ctx context.Context, conditions []Condition, progress func(done, total int)) ([]Want, error) {
	wants := make([]Want, len(conditions))
	err := spread(ctx, len(conditions), progress, func(i int) (err error) {
		wants[i], err = m.At(conditions[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return wants, nil
}

// spread runs work for 0 to n-1 on all processors. Of several errors it returns the
// one of the lowest index, so that the answer does not depend on the schedule.
func spread(ctx context.Context, n int, progress func(done, total int), work func(i int) error) error {
	var wg sync.WaitGroup
	var mu sync.Mutex
	errs := make([]error, n)
	next, done := 0, 0
	for range min(runtime.GOMAXPROCS(0), max(n, 1)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for {
				mu.Lock()
				i := next
				next++
				mu.Unlock()
				if i >= n || ctx.Err() != nil {
					return
				}
				errs[i] = work(i)
				mu.Lock()
				done++
				if progress != nil {
					progress(done, n)
				}
				mu.Unlock()
			}
		}()
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// TorqueLoss returns the share of the best torque at the crankshaft that a spark in
// crank degrees before top centre gives up, 0 to 1. It refuses a running point at
// which the engine makes no torque, and a spark outside -40 to 80.
func (m *Model) TorqueLoss(cond Condition, spark float64) (float64, error) {
	if err := check(bound{field: "spark", value: spark, lo: -40, hi: 80, unit: "deg crank before top centre"}); err != nil {
		return 0, err
	}
	p, err := m.at(cond)
	if err != nil {
		return 0, err
	}
	var c charge
	p.fill(&c, &m.belief.mean)
	_, top, _ := c.best(&p.engine)
	if !(top > 0) {
		return 0, outOfRange("torque at engine speed", p.cond.RPM, "rpm crank", "a running point at which the engine drives")
	}
	loss := 1 - c.phased(&p.engine, spark)/top
	return math.Max(0, math.Min(1, loss)), nil
}
