package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/random"
)

// randomPair varies everything of the pair that leaves it a mechanism.
func randomPair(rnd *rand.Rand) *Model {
	m := pair()
	m.CamInertia = 1e-5 * rnd.Float64()
	if rnd.IntN(2) == 0 {
		m.Damping = 0.02 * rnd.Float64()
	}
	m.Restitution = 0.9 * rnd.Float64()
	k := m.Mechanism
	k.Stop = 0.05 + 0.1*rnd.Float64()
	if rnd.IntN(3) > 0 {
		k.Friction = flyweights.Friction{Moment: 0.02 * rnd.Float64(), Proportion: 0.2 * rnd.Float64()}
	}
	k.Drag = 0.01 * rnd.Float64()
	for i := range k.Weights {
		k.Weights[i].Mass *= 0.5 + rnd.Float64()
	}
	for i := range k.Springs {
		s := &k.Springs[i].Law
		s.Rate *= 0.3 + 2*rnd.Float64()
		s.InitialTension = 3 * rnd.Float64()
		s.Slack = 0.003 * rnd.Float64()
	}
	return m
}

// At a steady speed nothing feeds a mechanism: whatever it does between stops,
// friction and springs that come and go, its energy never grows, and it stays
// between its stops.
func TestEnergyNeverGrows(t *testing.T) {
	rnd := rand.New(rand.NewPCG(41, 42))
	kinds := map[eventKind]int{}
	for n := range 150 {
		m := randomPair(rnd)
		omega := 20 + 150*rnd.Float64()
		s := Settings{
			Duration: 0.3, Phi: m.Mechanism.Stop * rnd.Float64(), Rate: 20 * (2*rnd.Float64() - 1), Every: 0.002,
		}
		r := course(t, m, steady(omega), s)
		first := m.energy(s.Phi, s.Rate, omega)
		size := m.Mechanism.State(s.Phi, m.CamInertia, nil).Inertia*400/2 + math.Abs(first)
		before := first
		for i := range r.Times {
			e := m.energy(r.Phi[i], r.Rate[i], omega)
			if !(e <= before+1e-6*size) {
				t.Fatalf("run %d: energy grows from %g to %g at %g s, events %v", n, before, e, r.Times[i], r.Events)
			}
			before = math.Min(before, e)
			if !(r.Phi[i] >= 0 && r.Phi[i] <= m.Mechanism.Stop) {
				t.Fatalf("run %d: swing %g outside 0 to %g at %g s", n, r.Phi[i], m.Mechanism.Stop, r.Times[i])
			}
		}
		for _, e := range r.Events {
			kinds[e.Kind]++
		}
		if len(r.Events) > 5000 {
			t.Errorf("run %d: %d events", n, len(r.Events))
		}
	}
	for _, kind := range []eventKind{arrive, stick, takeUp, letGo} {
		if kinds[kind] == 0 {
			t.Errorf("no event %q in any run", kind)
		}
	}
}

// Behind any profile the run ends, between its stops, in the same way each time.
func TestAnyProfile(t *testing.T) {
	rnd := rand.New(rand.NewPCG(43, 44))
	for n := range 60 {
		m := randomPair(rnd)
		var times, speeds []float64
		for i := range 6 {
			times = append(times, 0.1*float64(i)+0.05*rnd.Float64())
			speeds = append(speeds, 200*rnd.Float64())
		}
		points, err := NewPoints(times, speeds)
		if err != nil {
			t.Fatal(err)
		}
		h := []SpeedProfile{points, Ripple{Mean: 20 + 100*rnd.Float64(), Depth: 0.5 * rnd.Float64(), PerTurn: 1 + 4*rnd.Float64()},
			FirstOrderLag{From: speeds[0], To: speeds[1], Time: 0.02 + 0.2*rnd.Float64(), Delay: 0.1}}[n%3]
		s := Settings{Duration: 0.5, Every: 0.003, Sparks: 4}
		r, again := course(t, m, h, s), course(t, m, h, s)
		for i := range r.Phi {
			if !(r.Phi[i] >= 0 && r.Phi[i] <= m.Mechanism.Stop) {
				t.Fatalf("run %d: swing %g outside 0 to %g at %g s", n, r.Phi[i], m.Mechanism.Stop, r.Times[i])
			}
			if r.Phi[i] != again.Phi[i] {
				t.Fatalf("run %d differs from itself at %g s", n, r.Times[i])
			}
		}
		if want := int(s.Duration/s.Every) + 1; len(r.Phi) != want {
			t.Errorf("run %d: %d samples, want %d", n, len(r.Phi), want)
		}
		for i := 1; i < len(r.Events); i++ {
			if r.Events[i].Time < r.Events[i-1].Time {
				t.Fatalf("run %d: events out of order", n)
			}
		}
	}
}

// Without friction, damping and loss at the stops, the energy of any mechanism at a
// steady speed is kept to 1e-8 of what moves, through stops and take-ups.
func TestEnergyOfRandomMechanisms(t *testing.T) {
	runs := 0
	for _, kind := range random.Kinds {
		if kind.Name == "tabulated" { // its second derivative jumps, which the steps do not end at
			continue
		}
		rnd := rand.New(rand.NewPCG(45, 46))
		for range 4 {
			k, err := random.Mechanism(rnd, kind)
			if err != nil {
				t.Fatal(err)
			}
			m := &Model{Mechanism: k, CamInertia: 1e-5 * rnd.Float64()}
			c, err := k.Curve(nil)
			if err != nil {
				t.Fatal(err)
			}
			// At a balance, pushed so gently that no stop is met.
			omega := (c.Start(flyweights.Rising) + c.AllIn(flyweights.Rising)) / 2
			phi := c.Phi(omega, flyweights.Rising)
			if !(phi > 0.1*k.Stop && phi < 0.9*k.Stop) {
				continue
			}
			s := Settings{Duration: 0.2, Phi: phi, Rate: 0.5, Relative: 1e-11, Absolute: 1e-13, Every: 0.004}
			r := course(t, m, steady(omega), s)
			if len(r.Events) > 0 && r.Events[0].Kind == arrive {
				continue // a stop takes energy
			}
			runs++
			first := m.energy(phi, s.Rate, omega)
			size := k.State(phi, m.CamInertia, nil).Inertia*s.Rate*s.Rate/2 + math.Abs(first)
			for i := range r.Times {
				within(t, kind.Name+" energy", m.energy(r.Phi[i], r.Rate[i], omega), first, 1e-8*size)
			}
		}
	}
	if runs < 10 {
		t.Errorf("only %d runs were free", runs)
	}
}
