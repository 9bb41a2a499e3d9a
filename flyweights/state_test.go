package flyweights

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
)

// potential is the potential energy in J in the frame of a shaft at a steady omega in
// rad/s: springs, work against the drag, and -1/2 m omega^2 R^2 of the weights. The
// mechanism without friction balances where it has no slope.
func potential(m *Mechanism, phi, omega float64) float64 {
	p := m.pose(phi)
	e := m.Drag * p.theta
	for i := range m.Springs {
		e += m.Springs[i].Law.Energy(m.SpringLength(i, phi))
	}
	for i := range m.Weights {
		at, _, _ := m.Weights[i].carry(m.Weights[i].Centre, &p)
		e -= m.Weights[i].Mass * omega * omega / 2 * r2.Norm2(at)
	}
	return e
}

// Where the speed is in balance the potential energy has no slope, and
// Moments agrees with the closed form.
func TestBalanceIsLevelEnergy(t *testing.T) {
	for name := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(21, 22))
		for range 20 {
			m := randomMechanism(t, rnd, name)
			phi := m.Stop * (0.1 + 0.8*rnd.Float64())
			u, err := m.SpeedSquared(phi)
			if err != nil {
				t.Fatal(err)
			}
			b := m.State(phi, 0, nil).Moments
			within(t, name+" moments", b.Restore/b.Weights, u, 1e-12*math.Abs(u))
			if u < 0 {
				continue
			}
			const h = 1e-5
			slope := (potential(m, phi+h, math.Sqrt(u)) - potential(m, phi-h, math.Sqrt(u))) / (2 * h)
			within(t, name+" slope of the energy", slope, 0, 1e-6*(math.Abs(b.Restore)+b.Weights*u))
		}
	}
}

// Inertia and spin from first principles: the kinetic energy of weights and cam
// in the resting frame, with velocities by differences of positions, is
// 1/2 Inertia phi'^2 + Spin omega phi' + terms without phi'.
func TestKineticEnergy(t *testing.T) {
	for name := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(23, 24))
		for range 20 {
			m := randomMechanism(t, rnd, name)
			const cam = 3e-6
			phi := m.Stop * (0.1 + 0.8*rnd.Float64())
			forward := plane.Sense(m.CamClockwise)
			kinetic := func(omega, rate float64) float64 {
				const h = 1e-6
				total := 0.0
				for _, w := range m.Weights {
					at := func(dt float64) r2.Vec { // in the resting frame
						p := m.pose(phi + rate*dt)
						c, _, _ := w.carry(w.Centre, &p)
						return r2.Rotate(c, forward*omega*dt, r2.Vec{})
					}
					v := r2.Scale(1/(2*h), r2.Sub(at(h), at(-h)))
					turn := forward * omega
					if !w.slides() {
						turn += plane.Sense(w.Clockwise) * rate
					}
					total += w.Mass*r2.Norm2(v)/2 + w.Inertia*turn*turn/2
				}
				after, _, _ := m.Linkage.Cam(phi + rate*h)
				before, _, _ := m.Linkage.Cam(phi - rate*h)
				turn := omega + (after-before)/(2*h)
				return total + cam*turn*turn/2
			}
			s := m.State(phi, cam, nil)
			// T(w, r) = A w^2/2 + Spin w r + Inertia r^2/2
			inertia := 2 * kinetic(0, 1)
			spin := (kinetic(1, 1) - kinetic(1, -1)) / 2
			within(t, name+" inertia", s.Inertia, inertia, 1e-8*inertia)
			within(t, name+" spin", s.Spin, spin, 1e-8*(inertia+math.Abs(spin)))
			const h = 1e-5
			bend := (m.State(phi+h, cam, nil).Inertia - m.State(phi-h, cam, nil).Inertia) / (2 * h)
			within(t, name+" slope of the inertia", s.DInertia, bend, 1e-4*(inertia+math.Abs(bend)))
		}
	}
}

// The flags of pulled springs replace the judgement by length.
func TestStatePulled(t *testing.T) {
	rnd := rand.New(rand.NewPCG(25, 26))
	m := randomMechanism(t, rnd, "ratio")
	want := m.Drag * 1
	all := m.State(0.05, 0, nil)
	none := m.State(0.05, 0, make([]bool, len(m.Springs)))
	within(t, "no spring pulls", none.Restore, want*all.DTheta, 1e-15)
	sum := none.Restore
	for i := range m.Springs {
		sum += m.SpringMoment(i, 0.05)
	}
	within(t, "all pull", all.Restore, sum, 1e-14)
}
