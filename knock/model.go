package knock

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/unchecked"
)

// modelSettings are the choices of a model; zero means the defaults.
type modelSettings struct {
	Prior priorDeviations           // how far this engine may lie from the model
	Flame correlations.LaminarFlame // the fit by which burn angles follow the charge
}

// Model is an engine ready to be asked. It is safe for use by several goroutines.
// Make one with [New]; the zero value refuses every question.
type Model struct {
	engine    Engine
	prior     parameters // standard deviations
	posterior posterior
	// torque is the posterior by which best torque is told: without what no-knock observations
	// say. That an engine does not knock is no footing for when it burns: a poor guess of
	// octane or delay explains it as well.
	torque   posterior
	silent   bool // the two differ
	burn     burnReference
	geometry *geometry
	mixtures *store
}

// store tabulates the gases of a fuel once for each mixture.
type store struct {
	mu   sync.Mutex
	list map[blend]*mixture
}

// blend is what a mixture's properties depend on.
type blend struct{ phi, ethanol float64 }

func (s *store) get(fuel Fuel, phi float64) (*mixture, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	key := blend{phi, fuel.Ethanol}
	if m, ok := s.list[key]; ok {
		return m, nil
	}
	m, err := newMixture(fuel, phi)
	if err != nil {
		return nil, fmt.Errorf("knock: gas properties at mixture %.3g: %w", phi, err)
	}
	s.list[key] = m
	return m, nil
}

// New prepares a model of an engine. It refuses an engine with a field outside its range.
func New(e Engine) (*Model, error) { return newModelBy(e, modelSettings{}) }

func newModelBy(e Engine, s modelSettings) (*Model, error) {
	if err := e.Check(); err != nil {
		return nil, err
	}
	if err := s.Prior.check(); err != nil {
		return nil, err
	}
	if _, err := s.Flame.Speed(1, 700, 1e6, 0); err != nil {
		return nil, err
	}
	e = e.withDefaults()
	develop, rapid, _ := e.Chamber.Angles()
	burnKnown := e.Develop != develop && e.Rapid != rapid // not merely the class's
	fillingKnown := !slices.Equal(e.Filling, Engine{}.withDefaults().Filling)
	e.Filling = append([]Filling(nil), e.Filling...)
	m := &Model{engine: e, geometry: newGeometry(e), prior: s.Prior.sigma(burnKnown, fillingKnown), mixtures: &store{list: map[blend]*mixture{}}}
	m.posterior = priorDistribution(m.prior)
	m.torque = m.posterior
	return m, m.reference(s.Flame)
}

// reference finds the burn scale at the running point where burn angles are given:
// the engine as it stands, with a standard cam, at 2000 rpm, full load, 1.1 mixture.
func (m *Model) reference(law correlations.LaminarFlame) error {
	e := m.engine
	e.Overlap, e.Filling = 20, Engine{}.withDefaults().Filling
	cond := Condition{RPM: unchecked.ReferenceRPM, Mixture: 1.1}.withDefaults(e)
	mix, err := m.mixtures.get(e.Fuel, cond.Mixture)
	if err != nil {
		return err
	}
	var c charge
	c.prepare(&e, cond, mix, &parameters{}, 950, &burnReference{1, 1, law}, newGeometry(e))
	at := func(angle float64) float64 { return law.BurnScale(c.flameState(angle), c.speed, c.flame) }
	m.burn = burnReference{develop: at(-referenceSpark / 2), rapid: at(0), law: law}
	return nil
}

// point is one running point of the model: everything but the parameters.
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
		p.fill(&c, &m.posterior.mean)
		w := c.burn(20)
		out := c.fire(math.Min(burnAngle(w, 0.5)-8, latestSearch), nil)
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
func (c *charge) residualAfter(out *cycleResult) float64 {
	t, p := out.end[burnedT], out.end[pressurePa]
	t *= math.Pow(c.exhaust/p, 0.28/1.28)
	return t + 0.25*(c.wallKelvin-t)
}

// fill prepares a charge of the point under a parameter.
func (p *point) fill(c *charge, w *parameters) {
	c.prepare(&p.engine, p.cond, p.mix, w, p.residual, &p.model.burn, p.model.geometry)
}

// WithFuel returns the model with another fuel in the tank. What has been learned
// about the engine stays; the new fuel's own rating adds its deviation of one octane
// number.
func (m *Model) WithFuel(f Fuel) (*Model, error) {
	n, err := m.with(func(e *Engine) { e.Fuel = f })
	if err != nil {
		return nil, err
	}
	n.posterior, n.torque = n.posterior.widened(octane, newFuel), n.torque.widened(octane, newFuel)
	return n, nil
}

// newFuel is how far a fuel's rating in this engine may lie from the last one's,
// octane numbers, one standard deviation (repeatability of the rating tests 0.2 to
// 0.9, from memory).
const newFuel = 1.0

// WithCompressionRatio returns the model with another compression ratio.
func (m *Model) WithCompressionRatio(ratio float64) (*Model, error) {
	return m.with(func(e *Engine) { e.CompressionRatio = ratio })
}

func (m *Model) with(change func(*Engine)) (*Model, error) {
	if m == nil || m.mixtures == nil {
		return nil, outOfRange("model", 0, "engines", "one made with New")
	}
	n := *m
	change(&n.engine)
	if err := n.engine.Check(); err != nil {
		return nil, err
	}
	n.geometry = newGeometry(n.engine)
	return &n, nil
}
