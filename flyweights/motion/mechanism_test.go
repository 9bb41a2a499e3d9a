package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// pair is a mechanism of our own with everything nonlinear: two weights, pins in
// radial slots, a light and a heavy spring, the heavy one slack at rest.
func pair() *Model {
	weight := flyweights.Weight{Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	return &Model{
		Mechanism: &flyweights.Mechanism{
			Weights: []flyweights.Weight{weight, opposite},
			Springs: []flyweights.Spring{
				{
					Law: springs.Spring{Rate: 1800, FreeLength: 0.0185},
					A:   flyweights.Anchor{Body: flyweights.Plate, Point: post},
					B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook},
				},
				{
					Law: springs.Spring{Rate: 4000, FreeLength: 0.0190, InitialTension: 2, Slack: 0.0015},
					A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)},
					B:   flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)},
				},
			},
			Linkage: flyweights.PinInSlot{Pivot: weight.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
			Stop:    0.1,
		},
		CamInertia: 5e-6,
	}
}

// potential is the potential energy in J in the frame of a shaft at a steady omega in
// rad/s.
func potential(m *flyweights.Mechanism, phi, omega float64) float64 {
	theta, _, _ := m.Linkage.Cam(phi)
	e := m.Drag * theta
	for i := range m.Springs {
		e += m.Springs[i].Law.Energy(m.SpringLength(i, phi))
	}
	for _, w := range m.Weights {
		turn := phi
		if w.Clockwise {
			turn = -phi
		}
		at := r2.Rotate(w.Centre, turn, w.Pivot)
		if w.Slide != (r2.Vec{}) {
			at = r2.Add(w.Centre, r2.Scale(phi, w.Slide))
		}
		e -= w.Mass * omega * omega / 2 * r2.Norm2(at)
	}
	return e
}

// energy is the conserved quantity at a steady speed.
func (m *Model) energy(phi, rate, omega float64) float64 {
	return m.Mechanism.State(phi, m.CamInertia, nil).Inertia*rate*rate/2 + potential(m.Mechanism, phi, omega)
}

// Without friction a free swing keeps its energy through 10 000 turns of the
// shaft, to 1e-8 of the energy of the swing itself (the whole potential is a
// hundred times that). One weight with a soft, well preloaded spring swings
// about once a turn.
func TestEnergyDrift(t *testing.T) {
	m := pair()
	m.Mechanism.Weights = m.Mechanism.Weights[:1]
	m.Mechanism.Springs = m.Mechanism.Springs[:1]
	m.Mechanism.Springs[0].Law = springs.Spring{Rate: 400, FreeLength: 0.014, InitialTension: 4}
	m.Mechanism.Linkage = flyweights.Ratio{K: 2}
	m.Mechanism.Stop = 0.2
	c, err := m.Mechanism.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	omega := (c.Start(flyweights.Rising) + c.AllIn(flyweights.Rising)) / 2
	centre := c.Phi(omega, flyweights.Rising)
	phi := centre + 0.04
	turns := 10000.0
	if testing.Short() {
		turns = 2000
	}
	r := course(t, m, steady(omega), Settings{Duration: turns * 2 * math.Pi / omega, Phi: phi, Relative: 2e-13, Absolute: 1e-15, MaxStep: 1})
	if len(r.Events) != 0 {
		t.Fatalf("event %v, want a free swing", r.Events[0])
	}
	swing := m.energy(phi, 0, omega) - m.energy(centre, 0, omega)
	drift := (m.energy(r.EndPhi, r.EndRate, omega) - m.energy(phi, 0, omega)) / swing
	t.Logf("drift %.3g of the swing's energy in %d steps", drift, r.Steps)
	within(t, "drift", drift, 0, 1e-8)
}

// Energy is kept across a spring's take-up, where the tension jumps by its
// initial tension: the step ends there.
func TestEnergyAcrossTakeUp(t *testing.T) {
	m := pair()
	const omega = 75.
	r := course(t, m, steady(omega), Settings{Duration: 1, Phi: 0.02, Relative: 1e-11, Absolute: 1e-13})
	count := map[eventKind]int{}
	for _, e := range r.Events {
		count[e.Kind]++
		over := m.Mechanism.SpringLength(1, e.Phi) - m.Mechanism.Springs[1].Law.TakeUp()
		within(t, "length at "+e.Kind.String(), over, 0, 1e-10)
		if e.Spring != 2 {
			t.Errorf("%v of spring %d, want 2", e.Kind, e.Spring)
		}
	}
	if count[takeUp] < 20 || count[takeUp]-count[letGo] < 0 || count[takeUp]-count[letGo] > 1 || len(count) != 2 {
		t.Errorf("events %v, want take-ups and let-goes in turn", count)
	}
	swing := m.energy(0.02, 0, omega) - potential(m.Mechanism, 0.05, omega)
	within(t, "energy", m.energy(r.EndPhi, r.EndRate, omega), m.energy(0.02, 0, omega), 1e-8*math.Abs(swing))
}

// A shaft that speeds up leaves the weights behind: with an even acceleration
// they leave rest when omega^2 W = S + Spin alpha, later than the static start.
func TestAccelerationDelaysTheStart(t *testing.T) {
	m := pair()
	s := m.Mechanism.State(0, m.CamInertia, nil)
	if !(s.Spin > 0) {
		t.Fatalf("spin %g", s.Spin)
	}
	const alpha = 2000.
	h, err := NewPoints([]float64{0, 0.1}, []float64{0, 0.1 * alpha})
	if err != nil {
		t.Fatal(err)
	}
	r := course(t, m, h, Settings{Duration: 0.1})
	if len(r.Events) == 0 || r.Events[0].Kind != leave {
		t.Fatalf("events %v", r.Events)
	}
	within(t, "leaves rest", r.Events[0].Omega, math.Sqrt((s.Restore+s.Spin*alpha)/s.Weights), 1e-9)
}

// A slow ramp up and down with dry friction follows the static sweeps, each on
// its own side; halving the pace halves what the damping leaves behind.
func TestSlowRampFollowsTheSweeps(t *testing.T) {
	worst := map[float64]float64{}
	for _, pace := range []float64{40, 80} {
		m := pair()
		m.Damping = 0.02
		m.Mechanism.Friction = flyweights.Friction{Moment: 0.004, Proportion: 0.02}
		c, err := m.Mechanism.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		h, err := NewPoints([]float64{0, pace, 2 * pace}, []float64{20, 160, 20})
		if err != nil {
			t.Fatal(err)
		}
		r := course(t, m, h, Settings{Duration: 2 * pace, Every: pace / 200, Relative: 1e-6, Absolute: 1e-9, MaxStep: pace / 50})
		for i, at := range r.Times {
			dir := flyweights.Rising
			if at > pace {
				dir = flyweights.Falling
			}
			omega, _, _ := h.at(at)
			off := math.Abs(r.Theta[i] - c.Theta(omega, dir))
			worst[pace] = math.Max(worst[pace], off)
		}
		// Where the heavy spring is taken up the weights wait, and go on at the
		// speeds of the static holds.
		var waits []float64
		for _, e := range r.Events {
			if e.Kind == slip {
				waits = append(waits, e.Omega)
			}
		}
		if len(waits) != 2 {
			t.Fatalf("%d waits, want one each way: %v", len(waits), r.Events)
		}
		for dir, omega := range waits {
			for _, e := range c.Events(flyweights.Direction(dir)) {
				if e.Kind == flyweights.Hold {
					// Later by what the acceleration of the ramp presses on them.
					s := m.Mechanism.State(e.Phi, m.CamInertia, nil)
					alpha := 140 / pace * float64(1-2*dir)
					within(t, "end of the hold", omega, math.Sqrt(e.ToOmega*e.ToOmega+s.Spin*alpha/s.Weights), 1e-8*omega)
				}
			}
		}
	}
	t.Logf("worst distance from the sweep, rad: %v", worst)
	if !(worst[80] <= 1e-3) {
		t.Errorf("a ramp of 80 s is off by %g rad", worst[80])
	}
	if shrink := worst[40] / worst[80]; !(shrink > 1.7 && shrink < 2.3) {
		t.Errorf("halving the pace divides the distance by %g, want about 2", shrink)
	}
}

// The same run costs the same work, whatever the clock says. A change of these numbers is a
// change of the method, to be made on purpose.
func TestStepsAreCounted(t *testing.T) {
	m := pair()
	m.Damping = 0.01
	m.Mechanism.Friction.Moment = 0.002
	r := course(t, m, FirstOrderLag{From: 50, To: 200, Time: 0.15, Delay: 0.1}, Settings{Duration: 1, Phi: 0.02})
	got := [3]int{r.Steps, r.Rejected, r.Evaluations}
	if want := [3]int{187, 3, 1203}; got != want {
		t.Errorf("steps, rejected, evaluations %v, want %v", got, want)
	}
}
