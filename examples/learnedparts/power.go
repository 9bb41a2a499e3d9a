package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/readings/learned/simulated"
	"example.org/bobweight/springs/workers"
)

// What any test could notice of a spring that is off. The readings of aa, bb and of ab
// after the change have normal errors of a known size; what is not known is the static
// timing of each run, the travel, and rate and preload of both kinds of spring: no more
// than that, with the geometry of the mechanism given. In the space of the readings,
// each in its own standard error, let d be what the spring changes and d' what is left
// of it when everything that the unknowns could imitate is taken away. Then the most
// powerful test at a false alarm of 5 % has the power Phi(|d'| - 1.645) where the sense
// and size of the change are known beforehand, and an unbiased one of both senses
// Phi(|d'| - 1.960) + Phi(-|d'| - 1.960) (Lehmann and Romano, Testing Statistical
// Hypotheses, 3rd edition 2005, sections 3.4, 4.2 and 7.2).
type powerScore struct {
	Known, Either float64 // mean power over the distributors: sense known, either sense
	Size          float64 // |d'| in the median
}

// unknown moves one of the things that a builder does not know by a little.
type unknown func(d *simulated.Distributor, by float64)

// unknowns of the physics; by is in the measure in which each is moved.
var unknowns = func() []unknown {
	out := []unknown{func(d *simulated.Distributor, by float64) { d.Mechanism.Stop *= 1 + by }}
	for _, kind := range []string{"a", "b"} {
		out = append(out,
			func(d *simulated.Distributor, by float64) {
				law := d.Laws[kind]
				law.Rate *= 1 + by
				d.Laws[kind] = law
			},
			func(d *simulated.Distributor, by float64) {
				law := d.Laws[kind]
				law.FreeLength += by * 1e-3
				d.Laws[kind] = law
			})
	}
	return out
}()

// reach is the size of d' for a distributor.
func reach(d *simulated.Distributor, factor float64, light simulated.Light) float64 {
	runs := []learned.Combination{simulated.Parts("aa", ""), simulated.Parts("bb", ""), simulated.Parts("ab", "")}
	n := light.Readings
	step := (light.High - light.Low) / float64(n-1)
	curve := func(of *simulated.Distributor, run int) []float64 {
		out := make([]float64, n)
		for k := range out {
			out[k] = of.Advance(runs[run], light.Low+step*float64(k))
		}
		return out
	}
	rows := len(runs) * n
	sigma := make([]float64, rows)
	at := func(of *simulated.Distributor) []float64 {
		var all []float64
		for run := range runs {
			all = append(all, curve(of, run)...)
		}
		return all
	}
	base := at(d)
	for run, c := range runs {
		for k := range n {
			rpm := light.Low + step*float64(k)
			slope := (d.Advance(c, rpm+light.SigmaRPM) - d.Advance(c, rpm-light.SigmaRPM)) / (2 * light.SigmaRPM)
			const rounding = 0.5
			sigma[run*n+k] = math.Sqrt(light.SigmaDegrees*light.SigmaDegrees + rounding*rounding/12 + slope*slope*light.SigmaRPM*light.SigmaRPM)
		}
	}
	changed := append([]float64(nil), base[:2*n]...)
	changed = append(changed, curve(d.Off("a", factor), 2)...)
	space := mat.NewDense(rows, len(runs)+len(unknowns), nil)
	for run := range runs {
		for k := range n {
			space.Set(run*n+k, run, 1/sigma[run*n+k])
		}
	}
	const by = 0.02
	for q, move := range unknowns {
		up, down := d.Off("a", 1), d.Off("a", 1)
		move(up, by)
		move(down, -by)
		a, b := at(up), at(down)
		for i := range a {
			space.Set(i, len(runs)+q, (a[i]-b[i])/(2*by)/sigma[i])
		}
	}
	effect := mat.NewVecDense(rows, nil)
	for i := range base {
		effect.SetVec(i, (changed[i]-base[i])/sigma[i])
	}
	var qr mat.QR
	qr.Factorize(space)
	var x, fitted mat.VecDense
	if qr.SolveVecTo(&x, false, effect) != nil {
		return 0
	}
	fitted.MulVec(space, &x)
	effect.SubVec(effect, &fitted)
	return mat.Norm(effect, 2)
}

// bestPower is the most that a test can notice, over n distributors of both linkages in
// turn: those of judgeAll.
func bestPower(ctx context.Context, factor float64, n int) (powerScore, error) {
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (float64, error) {
		rng := rand.New(rand.NewPCG(seed+4, uint64(i)))
		return reach(simulated.Draw(rng, i%2 == 1, false), factor, simulated.Usual), nil
	})
	if err != nil {
		return powerScore{}, err
	}
	normal := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
	var s powerScore
	for _, size := range all {
		s.Known += normal(size-1.645) / float64(n)
		s.Either += (normal(size-1.960) + normal(-size-1.960)) / float64(n)
	}
	slices.Sort(all)
	s.Size = all[n/2]
	return s, nil
}

func powers(ctx context.Context, w io.Writer, n int) error {
	fmt.Fprintf(w, "\nthe most that a test of these readings can notice at a false alarm of 5 %%\n%7s %11s %11s %6s\n", "factor", "sense known", "either", "size")
	for _, f := range []float64{1.2, 0.8, 1.25, 1.3} {
		s, err := bestPower(ctx, f, n)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%7.2f %11.0f %11.0f %6.2f\n", f, 100*s.Known, 100*s.Either, s.Size)
	}
	return nil
}
