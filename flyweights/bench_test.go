package flyweights

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs"
)

// twin is a full mechanism as found in practice: two weights, two springs of
// which one has a long loop, a pin in a radial slot.
func twin() *Mechanism {
	w := Weight{Mass: 0.03, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}, Inertia: 4e-6}
	v := w
	v.Pivot, v.Centre = r2.Scale(-1, w.Pivot), r2.Scale(-1, w.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	return &Mechanism{
		Weights: []Weight{w, v},
		Springs: []Spring{
			{springs.Spring{Rate: 1800, FreeLength: 0.0185}, Anchor{Plate, post}, Anchor{OnWeight(0), hook}},
			{springs.Spring{Rate: 4000, FreeLength: 0.019, InitialTension: 2, Slack: 0.0015}, Anchor{Plate, r2.Scale(-1, post)}, Anchor{OnWeight(1), r2.Scale(-1, hook)}},
		},
		Linkage: PinInSlot{Pivot: w.Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}},
		Stop:    0.1,
	}
}

var sink float64

// Both sweeps at 200 speeds into a given buffer, from a prepared curve.
func BenchmarkSweeps(b *testing.B) {
	c, err := twin().Curve(nil)
	if err != nil {
		b.Fatal(err)
	}
	omegas := make([]float64, 200)
	for i := range omegas {
		omegas[i] = 1.1 * c.AllIn(Rising) * float64(i) / 199
	}
	shuffled := append([]float64(nil), omegas...)
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	up, down := make([]float64, 200), make([]float64, 200)
	for name, speeds := range map[string][]float64{"ordered": omegas, "shuffled": shuffled} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				up = c.Sweep(up, speeds, Rising)
				down = c.Sweep(down, speeds, Falling)
				sink += up[100] + down[100]
			}
		})
	}
}

// The same from the mechanism: checked, tabulated, both envelopes drawn and
// read. The naive way beside it solves each speed on the closed form.
func BenchmarkCurveAndSweeps(b *testing.B) {
	m := twin()
	var c Curve
	if _, err := m.Curve(&c); err != nil {
		b.Fatal(err)
	}
	omegas := make([]float64, 200)
	for i := range omegas {
		omegas[i] = 1.1 * c.AllIn(Rising) * float64(i) / 199
	}
	up, down := make([]float64, 200), make([]float64, 200)
	b.Run("curve", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := m.Curve(&c); err != nil {
				b.Fatal(err)
			}
			sink += c.AllIn(Rising)
		}
	})
	b.Run("curve and sweeps", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := m.Curve(&c); err != nil {
				b.Fatal(err)
			}
			up = c.Sweep(up, omegas, Rising)
			down = c.Sweep(down, omegas, Falling)
			sink += up[100] + down[100]
		}
	})
	b.Run("naive", func(b *testing.B) {
		for b.Loop() {
			for _, omega := range omegas {
				lo, hi := 0.0, m.Stop
				for range 30 {
					mid := (lo + hi) / 2
					if u, err := m.SpeedSquared(mid); err != nil {
						b.Fatal(err)
					} else if u < omega*omega {
						lo = mid
					} else {
						hi = mid
					}
				}
				theta, _, _ := m.Linkage.Cam(math.Min(lo, m.Stop))
				sink += theta
			}
		}
	})
}

func BenchmarkMoments(b *testing.B) {
	m := twin()
	phi := 0.0
	b.ReportAllocs()
	for b.Loop() {
		phi = math.Mod(phi+0.0137, m.Stop)
		sink += m.State(phi, 0, nil).Restore
	}
}
