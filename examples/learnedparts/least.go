package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/workers"
)

// least is the mean error, over the speeds that count, that readings with normal errors
// leave of a question's curve: the inverse of their information (Lehmann and Casella,
// Theory of Point Estimation, 2nd edition 1998, section 2.6), linear about the truth, with
// the mean of the absolute value of a normal deviate. What is not known is the static
// timing of each run, the travel, the mass of the other weights, and rate, free length and
// initial tension of both kinds of spring, each within wide limits as stated beside it: the
// geometry is given. With bend it is not: how the squared speed of each kind of spring
// bends is not known either. Where a spring is taken up on the way, the derivatives jump,
// and the figure is an order of magnitude.
func least(d *simulated.Distributor, q question, bend bool) float64 {
	n := q.Light.Readings
	step := (q.Light.High - q.Light.Low) / float64(n-1)
	at := func(of *simulated.Distributor) (read, wanted []float64) {
		for _, c := range q.Runs {
			for k := range n {
				read = append(read, of.Advance(c, q.Light.Low+step*float64(k)))
			}
		}
		for _, rpm := range speeds[1:] {
			wanted = append(wanted, of.Advance(q.Want, rpm))
		}
		return read, wanted
	}
	move := func(by float64, change func(o *simulated.Distributor, by float64)) (read, wanted []float64) {
		up, down := d.Off("a", 1), d.Off("a", 1)
		change(up, by)
		change(down, -by)
		a, wantA := at(up)
		b, wantB := at(down)
		for i := range a {
			read = append(read, (a[i]-b[i])/(2*by))
		}
		for i := range wantA {
			wanted = append(wanted, (wantA[i]-wantB[i])/(2*by))
		}
		return read, wanted
	}
	changes := append([]unknown{}, unknowns...)
	wide := []float64{0.3, 0.5, 1, 0.5, 1} // of the travel; of the rate, and mm of the length, of each kind
	for _, kind := range kinds {
		if d.Laws[kind].InitialTension > 0 {
			changes = append(changes, func(o *simulated.Distributor, by float64) {
				law := o.Laws[kind]
				law.InitialTension += by
				o.Laws[kind] = law
			})
			wide = append(wide, 1) // N
		}
	}
	changes = append(changes, func(o *simulated.Distributor, by float64) { o.Heavier *= 1 + by })
	weighed := 0.3
	if q.Weighed {
		weighed = 0.014 // two weighings to 1 %
	}
	wide = append(wide, weighed)
	size := len(q.Runs) + len(changes)
	jac := make([][]float64, size)
	want := make([][]float64, size)
	for run := range q.Runs {
		row := make([]float64, len(q.Runs)*n)
		for k := range n {
			row[run*n+k] = 1
		}
		jac[run], want[run] = row, make([]float64, len(speeds)-1)
	}
	for i, c := range changes {
		jac[len(q.Runs)+i], want[len(q.Runs)+i] = move(0.005, c)
	}
	var sigma []float64
	for _, c := range q.Runs {
		for k := range n {
			sigma = append(sigma, readingError(d, c, q.Light.Low+step*float64(k), q.Light))
		}
	}
	if bend {
		for _, kind := range kinds {
			var row []float64
			for _, rpm := range speeds[1:] {
				row = append(row, byBend(d, kind, q.Want, rpm))
			}
			jac, want = append(jac, bent(d, kind, q.Runs, q.Light)), append(want, row)
			wide = append(wide, anyBend)
			size++
		}
	}
	info := information(jac, sigma, wide)
	var chol mat.Cholesky
	if !chol.Factorize(info) {
		return math.NaN()
	}
	mean := 0.0
	for k := range speeds[1:] {
		g := mat.NewVecDense(size, nil)
		for i := range size {
			g.SetVec(i, want[i][k])
		}
		var x mat.VecDense
		if chol.SolveVecTo(&x, g) != nil {
			return math.NaN()
		}
		mean += math.Sqrt(2/math.Pi*mat.Dot(g, &x)) / float64(len(speeds)-1)
	}
	return mean
}

// anyBend is as good as no limit of a bend, 1e6 rpm^2.
const anyBend = 3

// byBend is how the advance of a combination at a speed moves, crank degrees, where the
// share of a kind of spring gains y (1 - y) times 1e6 rpm^2, y the part of the turn over
// which it pulls.
func byBend(d *simulated.Distributor, kind string, c learned.Combination, rpm float64) float64 {
	m := d.Mechanism
	turn := d.Curve(c).Theta(drive.Omega(rpm), flyweights.Rising)
	from, law := 0.0, d.Laws[kind]
	if m.SpringLength(0, 0) < law.TakeUp() {
		from = m.Stop * float64(sort.Search(1000, func(i int) bool { return m.SpringLength(0, m.Stop*float64(i)/1000) >= law.TakeUp() })) / 1000
	}
	y := (turn - from) / (m.Stop - from)
	if !(y > 0) {
		return 0
	}
	fitted := 0.0
	for _, s := range c.Springs {
		if s == kind {
			fitted++
		}
	}
	const by = 5.0                                                          // rpm
	slope := (d.Advance(c, rpm+by) - d.Advance(c, rpm-by)) / (4 * by * rpm) // deg/rpm^2
	return -fitted * y * (1 - y) * slope * 1e6
}

// information is that of readings with these errors on unknowns with these derivatives, of
// which the last are known within these limits.
func information(jac [][]float64, sigma, wide []float64) *mat.SymDense {
	size := len(jac)
	info := mat.NewSymDense(size, nil)
	for i := range size {
		for j := i; j < size; j++ {
			sum := 0.0
			for k, s := range sigma {
				sum += jac[i][k] * jac[j][k] / (s * s)
			}
			if k := i - (size - len(wide)); i == j && k >= 0 {
				sum += 1 / (wide[k] * wide[k])
			}
			info.SetSym(i, j, sum)
		}
	}
	return info
}

// readingError is the standard error of one reading, crank degrees: of light, rounding
// and, by the slope of the curve, of the tachometer.
func readingError(d *simulated.Distributor, c learned.Combination, rpm float64, light simulated.Light) float64 {
	slope := (d.Advance(c, rpm+light.SigmaRPM) - d.Advance(c, rpm-light.SigmaRPM)) / (2 * light.SigmaRPM)
	const rounding = 0.5
	return math.Sqrt(light.SigmaDegrees*light.SigmaDegrees + rounding*rounding/12 + slope*slope*light.SigmaRPM*light.SigmaRPM)
}

func leastErrors(ctx context.Context, w io.Writer, n int) error {
	fmt.Fprintf(w, "\nmean error that no unbiased estimate beats, crank degrees\n%-38s %15s %10s\n", "runs -> wanted", "geometry known", "not known")
	for _, q := range cases() {
		fmt.Fprintf(w, "%-38s", q.Name)
		for _, bend := range []bool{false, true} {
			all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (float64, error) {
				return least(simulated.Draw(rand.New(rand.NewPCG(seed, uint64(i))), q.Slot, q.Slack), q, bend), nil
			})
			if err != nil {
				return err
			}
			mean := 0.0
			for _, x := range all {
				mean += x / float64(n)
			}
			fmt.Fprintf(w, " %10.2f", mean)
		}
		fmt.Fprintln(w)
	}
	return nil
}
