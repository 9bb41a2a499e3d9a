package vacuum

import (
	"context"
	"errors"
	"math"
	"testing"

	"example.org/bobweight/knock/air"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/bobweight/springs/valid"
)

func deg(d float64) float64 { return d * math.Pi / 180 }

// tipIn is a driver who cruises, opens the throttle in a fifth of a second, holds
// it and lifts off again.
func tipIn() []Input {
	return []Input{
		{0, deg(17), rate(120)}, {1, deg(17), rate(120)}, {1.2, deg(50), rate(120)}, {4, deg(50), rate(170)}, {4.3, deg(8), rate(170)}, {10, deg(8), rate(60)},
	}
}

// fine asks for small steps.
func fine() *RunSettings { return &RunSettings{Every: 1e-3, Tolerance: 1e-10} }

// The air that the flows bring in is the air that is found: the flows of the
// samples, summed up by Simpson's rule, which knows nothing of the integrator. The
// two spaces together close to 1e-9 of the air that passed. The chamber holds
// three thousandths of a per cent of that; its own account, with a kink wherever
// the flow chokes or the rod meets a stop, closes to a millionth of its content.
func TestMassIsConservedOverTransients(t *testing.T) {
	for _, source := range []Source{FromManifold, FromPort} {
		for _, leak := range []float64{0, 5e-8} {
			if testing.Short() && (source == FromPort || leak == 0) {
				continue
			}
			s := ordinary()
			s.Source, s.Hose.Leak = source, leak
			s.Unit.Friction = 0.3
			hurried := tipIn()
			for i := range hurried {
				hurried[i].Time *= 0.4
			}
			run, err := s.Run(context.Background(), nil, hurried, &RunSettings{Every: 2e-5, Tolerance: 1e-11})
			if err != nil {
				t.Fatal(err)
			}
			manifold, chamber, passed := 0.0, 0.0, 0.0
			simpson(run.Samples, func(a Sample, w float64) {
				manifold += w * (a.In + a.Hose - a.Out)
				chamber += w * (a.Leak - a.Hose)
				passed += w * a.In
			})
			dm := run.ManifoldMass[1] - run.ManifoldMass[0]
			dc := run.ChamberMass[1] - run.ChamberMass[0]
			t.Logf("%v, leak %g: manifold %.3g, chamber %.3g of %.4g kg; %d steps", source, leak, manifold-dm, chamber-dc, passed, run.Steps)
			near(t, "manifold's air", manifold, dm, 1e-9*passed)
			near(t, "chamber's air", chamber, dc, 1e-6*run.ChamberMass[0])
			near(t, "all air", manifold+chamber, dm+dc, 1e-9*passed)
		}
	}
}

// simpson walks through evenly spaced samples with Simpson's weights.
func simpson(a []Sample, each func(Sample, float64)) {
	for i := 0; i+2 < len(a); i += 2 {
		h := (a[i+2].Time - a[i].Time) / 6
		each(a[i], h)
		each(a[i+1], 4*h)
		each(a[i+2], h)
	}
}

// The integrator meets its order on an equation with a closed answer: y' = -k(y -
// cos t) - sin t, y = cos t + (y0-1) exp(-k t), and a coupled one beside it.
func TestRosenbrockIsOfFourthOrder(t *testing.T) {
	errorAt := func(n int) float64 {
		ode := rosenbrock{ctx: context.Background(), rel: 1, scale: state{1, 1}, f: func(t float64, y state) state {
			return state{-3*(y[0]-math.Cos(t)) - math.Sin(t), y[0]*y[1] - y[1]*y[1]*math.Cos(t)}
		}}
		h := 2.0 / float64(n)
		y := state{2, 1}
		for i := range n {
			tt := float64(i) * h
			y, _ = ode.step(tt, y, ode.f(tt, y), h)
		}
		// Exact: y0 = cos t + exp(-3t); y1 = E/(1 + int E cos), E = exp(int y0).
		exp := func(t float64) float64 { return math.Exp(math.Sin(t) + (1-math.Exp(-3*t))/3) }
		y1 := exp(2) / (1 + quad.Fixed(func(t float64) float64 { return exp(t) * math.Cos(t) }, 0, 2, 40, nil, 0))
		return math.Max(math.Abs(y[0]-math.Cos(2)-math.Exp(-6)), math.Abs(y[1]-y1))
	}
	last := errorAt(10)
	for n := 20; n <= 80; n *= 2 {
		e := errorAt(n)
		if order := math.Log2(last / e); !(order > 3.5) {
			t.Errorf("%d steps: error %g, order %.2f", n, e, order)
		}
		last = e
	}
	// A very stiff component does not force small steps: an explicit method would
	// need some three million.
	calls := 0
	ode := rosenbrock{ctx: context.Background(), rel: 1e-6, scale: state{1, 1}, f: func(t float64, y state) state {
		calls++
		return state{-1e6 * (y[0] - math.Cos(t)), -y[1]}
	}}
	y, _, err := ode.span(0, 10, state{0, 1}, 1e-9, func(_, _ float64, _, _, _, _ state) {})
	if err != nil || calls > 30000 {
		t.Errorf("%d calls, error %v", calls, err)
	}
	near(t, "stiff component", y[0], math.Cos(10), 1e-5)
	near(t, "slow component", y[1], math.Exp(-10), 1e-5)
}

func TestRunEndsWhereTheSteadyStateIs(t *testing.T) {
	for _, source := range []Source{FromManifold, FromPort} {
		s := ordinary()
		s.Source, s.Hose.Leak = source, 3e-8
		run, err := s.Run(context.Background(), nil, []Input{{0, deg(40), rate(100)}, {0.1, deg(18), rate(100)}, {8, deg(18), rate(100)}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.Steady(deg(18), rate(100))
		if err != nil {
			t.Fatal(err)
		}
		got := run.Samples[len(run.Samples)-1]
		if len(run.Samples) != 801 || got.Time != 8 {
			t.Errorf("%d samples to %g s", len(run.Samples), got.Time)
		}
		near(t, "manifold", got.Manifold, want.Manifold, 5)
		near(t, "chamber", got.Chamber, want.Chamber, 20)
		near(t, "angle", got.Theta, want.Theta, 1e-4)
		near(t, "steady throttle and hose against engine", want.In+want.Hose, want.Out, 1e-9*want.Out)
		near(t, "steady leak against hose", want.Leak, want.Hose, 1e-9*want.Hose)
	}
}

// A shut source empties the chamber through a choked drilling: pressure falls as an
// exponential with V/(C A) as long as it is choked and the rod rests on a stop.
func TestChokedChamberEmptiesExponentially(t *testing.T) {
	s := ordinary()
	s.Unit.Preload = 1000 // the rod never moves
	s.Source = FromPort
	run, err := s.Run(context.Background(), nil, []Input{{0, deg(8), rate(100)}, {1e-4, deg(18), rate(100)}, {2, deg(18), rate(100)}}, fine())
	if err != nil {
		t.Fatal(err)
	}
	critical, _ := air.Dry.Critical()
	rt := air.Dry.R * s.Air.Temperature
	fall := air.Through(s.Hose.Restriction, 1e5, 0, s.Air.Temperature) / 1e5 * rt / s.Hose.Volume
	var first *Sample
	n := 0
	for i, a := range run.Samples {
		if a.Time < 0.01 || !(a.Port < critical*a.Chamber) {
			continue
		}
		if first == nil {
			first = &run.Samples[i]
			continue
		}
		n++
		near(t, "chamber", a.Chamber, first.Chamber*math.Exp(-fall*(a.Time-first.Time)), 1)
	}
	if n < 20 {
		t.Errorf("only %d choked samples", n)
	}
}

func TestChamberMassAndPressureAreInverse(t *testing.T) {
	s := ordinary()
	s.Unit.Friction = 0.7
	u, h := s.Unit, s.Hose
	for p := 30e3; p < s.Air.Pressure; p += 1.3e3 {
		for _, x0 := range []float64{0, 0.3 * u.Travel, u.Travel} {
			x := u.follow(x0, s.Air.Pressure-p)
			gotP, gotX := h.pressure(u, s.Air, h.mass(u, s.Air, p, x), x0)
			near(t, "pressure", gotP, p, 1e-7)
			near(t, "rod", gotX, x, 1e-12)
		}
	}
}

func TestBadRunsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*System, *[]Input, *RunSettings){
		"empty system":         func(s *System, _ *[]Input, _ *RunSettings) { *s = System{} },
		"one moment":           func(_ *System, d *[]Input, _ *RunSettings) { *d = (*d)[:1] },
		"time stands":          func(_ *System, d *[]Input, _ *RunSettings) { (*d)[1].Time = 0 },
		"time not a number":    func(_ *System, d *[]Input, _ *RunSettings) { (*d)[1].Time = math.NaN() },
		"throttle past closed": func(_ *System, d *[]Input, _ *RunSettings) { (*d)[1].Throttle = 0 },
		"standing engine":      func(_ *System, d *[]Input, _ *RunSettings) { (*d)[1].RPM = 0 },
		"too many samples":     func(_ *System, _ *[]Input, set *RunSettings) { set.Every = 1e-9 },
		"negative interval":    func(_ *System, _ *[]Input, set *RunSettings) { set.Every = -1 },
		"odd source":           func(s *System, _ *[]Input, _ *RunSettings) { s.Source = 7 },
		"port out of reach":    func(s *System, _ *[]Input, _ *RunSettings) { s.Source, s.Port.Height = FromPort, 1 },
		"leak above supply":    func(s *System, _ *[]Input, _ *RunSettings) { s.Hose.Leak = 1 },
		"limiter beyond":       func(s *System, _ *[]Input, _ *RunSettings) { s.Unit.Travel = 1 },
		"burned out of range":  func(s *System, _ *[]Input, _ *RunSettings) { s.Intake.OverlapFactor = 4 },
	} {
		s, d, set := ordinary(), tipIn(), fine()
		set.Tolerance = 0
		spoil(s, &d, set)
		if run, err := s.Run(context.Background(), nil, d, set); !refused(err) || run != nil {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// refused reports an error of this package or of one below that refuses a value.
func refused(err error) bool {
	return errors.Is(err, errRange) || errors.Is(err, valid.ErrRange) || errors.Is(err, valid.ErrRange) || errors.Is(err, valid.ErrRange)
}

func BenchmarkTransientOfTenSeconds(b *testing.B) {
	for _, source := range []Source{FromManifold, FromPort} {
		b.Run(source.String(), func(b *testing.B) {
			s := ordinary()
			s.Source, s.Hose.Leak, s.Unit.Friction = source, 2e-8, 0.3
			d := tipIn()
			var run *Run
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				s.Air.Temperature = 290 + float64(i%10)
				var err error
				if run, err = s.Run(context.Background(), run, d, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(run.Steps), "steps")
		})
	}
}
