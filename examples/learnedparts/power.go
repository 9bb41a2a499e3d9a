package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/workers"
)

// What any test could notice of a spring that is off. The readings of aa, bb and of ab
// after the change have normal errors of a known size; what is not known is the static
// timing of each run, the travel, and rate and preload of both kinds of spring: no more
// than that, with the geometry of the mechanism given. Where the parts are listed, rates,
// preloads, masses, drag and friction are known with the errors of the list. In the space of the readings,
// each in its own standard error, let d be what the spring changes and d' what is left
// of it when everything that the unknowns could imitate is taken away. Then the most
// powerful test at a false alarm of 5 % has the power Phi(|d'| - 1.645) where the sense
// and size of the change are known beforehand, and an unbiased one of both senses
// Phi(|d'| - 1.960) + Phi(-|d'| - 1.960) (Lehmann and Romano, Testing Statistical
// Hypotheses, 3rd edition 2005, sections 3.4, 4.2 and 7.2).
//
// Where five of a hundred right builds may be called wrong, whichever they are, more is
// noticed: the best test of all builds together compares the likelihood of a spring that
// is off by so much either way, exp(-d'^2/2) cosh(d' z), with one limit for all (the
// lemma of Neyman and Pearson, section 3.2 there, for builds and readings together).
//
// Which of the two springs is off is not known either. The best test then compares the mean
// of the likelihoods of all that may be off, each spring so much stiffer or softer. Its
// power is counted on drawn readings, in the mean of both springs.
type powerScore struct {
	Known, Either float64 // mean power over the distributors: sense known, either sense
	Together      float64 // with one limit of the likelihood for all
	Any           float64 // and with either spring off
	Size          float64 // |d'| in the median
}

// unknown moves one of the things that a builder does not know by a little.
type unknown func(d *simulated.Distributor, by float64)

var kinds = []string{"a", "b"}

// law is a change of the law of a kind of spring.
func law(kind string, change func(s *springs.Spring, by float64)) unknown {
	return func(d *simulated.Distributor, by float64) {
		s := d.Laws[kind]
		change(&s, by)
		d.Laws[kind] = s
	}
}

func stop(d *simulated.Distributor, by float64)     { d.Mechanism.Stop *= 1 + by }
func rate(s *springs.Spring, by float64)            { s.Rate *= 1 + by }
func millimetres(s *springs.Spring, by float64)     { s.FreeLength += by * 1e-3 }
func newtons(s *springs.Spring, by float64)         { s.FreeLength -= by / s.Rate } // of a stretched spring the same
func drag(d *simulated.Distributor, by float64)     { d.Mechanism.Drag *= 1 + by }
func friction(d *simulated.Distributor, by float64) { d.Mechanism.Friction.Moment *= 1 + by }
func masses(d *simulated.Distributor, by float64) {
	d.Mechanism.Weights = slices.Clone(d.Mechanism.Weights)
	for i := range d.Mechanism.Weights {
		d.Mechanism.Weights[i].Mass *= 1 + by
	}
}

// unknowns of the physics where only runs tell of the parts.
var unknowns = func() []unknown {
	out := []unknown{stop}
	for _, kind := range kinds {
		out = append(out, law(kind, rate), law(kind, millimetres))
	}
	return out
}()

// uncertain is an unknown with the standard error to which it is listed; 0 for not at all.
type uncertain struct {
	move unknown
	sd   float64
}

func unlisted() []uncertain {
	var out []uncertain
	for _, u := range unknowns {
		out = append(out, uncertain{move: u})
	}
	return out
}

// listed has the errors of [simulated.Distributor.Listed].
func listed() []uncertain {
	out := []uncertain{{stop, 0}, {masses, 0.02}, {drag, 0.8}, {friction, 0.8}}
	for _, kind := range kinds {
		out = append(out, uncertain{law(kind, rate), 0.05}, uncertain{law(kind, millimetres), 0.3}, uncertain{law(kind, newtons), 0.1})
	}
	return out
}

// knowledge is what is known before the build is judged.
type knowledge struct {
	before
	not []uncertain
	// bend is set where the geometry is not given: how the squared speed of each kind of
	// spring bends between rest and stop is not known either.
	bend bool
}

func knowledges() []knowledge {
	alone, list, one := befores[0], befores[1], befores[2]
	alone.name, list.name, one.name = "rates, preloads, travel", "listed, aa and bb read", "listed, only aa read"
	bend := alone
	bend.name = "and the bend of each spring"
	return []knowledge{{alone, unlisted(), false}, {bend, unlisted(), true}, {list, listed(), false}, {one, listed(), false}}
}

// reach returns d' of a distributor for each spring that is off by the factor, a first, and
// then by as much the other way. What is listed counts as one more reading,
// with the error of the list (Lindley and Smith, Bayes estimates for the linear model,
// Journal of the Royal Statistical Society B 34, 1972, pp. 1-41).
func reach(d *simulated.Distributor, factor float64, runs []learned.Run, light simulated.Light, known *knowledge) []*mat.VecDense {
	var places []place
	for run, r := range runs {
		for _, x := range r.Readings {
			places = append(places, place{run, r.Combination, x.RPM})
		}
	}
	at := func(of *simulated.Distributor) []float64 {
		var all []float64
		for _, p := range places {
			all = append(all, of.Advance(p.of, p.rpm))
		}
		return all
	}
	read := len(places)
	columns := len(runs) + len(known.not)
	if known.bend {
		columns += len(kinds)
	}
	space := mat.NewDense(read+len(known.not), columns, nil)
	sigma := make([]float64, read)
	for i, p := range places {
		sigma[i] = readingError(d, p.of, p.rpm, light)
		space.Set(i, p.run, 1/sigma[i])
	}
	const by = 0.02
	for q, u := range known.not {
		up, down := d.Off("a", 1), d.Off("a", 1)
		u.move(up, by)
		u.move(down, -by)
		a, b := at(up), at(down)
		for i := range a {
			space.Set(i, len(runs)+q, (a[i]-b[i])/(2*by)/sigma[i])
		}
		if u.sd > 0 {
			space.Set(read+q, len(runs)+q, 1/u.sd)
		}
	}
	if known.bend {
		for q, kind := range kinds {
			for i, p := range places {
				space.Set(i, len(runs)+len(known.not)+q, byBend(d, kind, p.of, p.rpm)/sigma[i])
			}
		}
	}
	base := at(d)
	var qr mat.QR
	qr.Factorize(space)
	var out []*mat.VecDense
	for _, f := range []float64{factor, 2 - factor} {
		for _, kind := range kinds {
			changed := at(d.Off(kind, f))
			effect := mat.NewVecDense(read+len(known.not), nil)
			for i, p := range places {
				if p.run == len(runs)-1 { // after the change
					effect.SetVec(i, (changed[i]-base[i])/sigma[i])
				}
			}
			var x, fitted mat.VecDense
			if qr.SolveVecTo(&x, false, effect) == nil {
				fitted.MulVec(space, &x)
				effect.SubVec(effect, &fitted)
			} else {
				effect.Zero()
			}
			out = append(out, effect)
		}
	}
	return out
}

// place is where a reading was taken.
type place struct {
	run int
	of  learned.Combination
	rpm float64
}

// bent is how the readings of the runs move by the bend of a kind of spring.
func bent(d *simulated.Distributor, kind string, runs []learned.Combination, light simulated.Light) []float64 {
	step := (light.High - light.Low) / float64(light.Readings-1)
	var out []float64
	for _, c := range runs {
		for k := range light.Readings {
			out = append(out, byBend(d, kind, c, light.Low+step*float64(k)))
		}
	}
	return out
}

// bestPower is the most that a test can notice, over n distributors of both linkages in
// turn: those of judgeAll, read at the same speeds.
func bestPower(ctx context.Context, factor float64, n int, known *knowledge) (powerScore, error) {
	type build struct {
		size         float64
		right, wrong []float64 // logarithms of the mean likelihood, of right builds and of wrong ones
	}
	builds, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (build, error) {
		rng := rand.New(rand.NewPCG(seed+4, uint64(i)))
		d := simulated.Draw(rng, i%2 == 1, false)
		var runs []learned.Run
		for _, pair := range known.pairs {
			runs = append(runs, d.Read(rng, simulated.Parts(pair, ""), simulated.Usual, ""))
		}
		if known.listed {
			d.Listed(rng, nil)
		}
		runs = append(runs, d.Read(rng, simulated.Parts("ab", ""), simulated.Usual, ""))
		shifts := reach(d, factor, runs, simulated.Usual, known)
		right, wrong := likelihoods(rng, shifts)
		return build{mat.Norm(shifts[0], 2), right, wrong}, nil
	})
	if err != nil {
		return powerScore{}, err
	}
	var s powerScore
	var all, right, wrong []float64
	for _, b := range builds {
		all, right, wrong = append(all, b.size), append(right, b.right...), append(wrong, b.wrong...)
	}
	slices.Sort(right)
	limit := right[len(right)*95/100]
	for _, x := range wrong {
		if x > limit {
			s.Any += 1 / float64(len(wrong))
		}
	}
	for _, size := range all {
		s.Known += normal(size-1.645) / float64(n)
		s.Either += outside(size, 1.960) / float64(n)
	}
	s.Together = together(all)
	slices.Sort(all)
	s.Size = all[n/2]
	return s, nil
}

// likelihoods draws readings of a right build, and of one with the first or the second
// spring off by the factor, and returns the logarithms of the mean likelihood of what the
// shifts stand for over that of a right build.
func likelihoods(rng *rand.Rand, shifts []*mat.VecDense) (right, wrong []float64) {
	const draws = 400
	z := mat.NewVecDense(shifts[0].Len(), nil)
	ratio := func() float64 {
		terms := make([]float64, len(shifts))
		for k, d := range shifts {
			terms[k] = mat.Dot(d, z) - mat.Dot(d, d)/2
		}
		return floats.LogSumExp(terms)
	}
	for i := range draws {
		for k := range z.Len() {
			z.SetVec(k, rng.NormFloat64())
		}
		right = append(right, ratio())
		z.AddVec(z, shifts[i%len(kinds)])
		wrong = append(wrong, ratio())
	}
	return right, wrong
}

// normal is the standard normal distribution.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// outside is the chance that a normal deviate about size lies further than z from zero.
func outside(size, z float64) float64 { return normal(size-z) + normal(-size-z) }

// together is the mean power of the test with one limit of the likelihood at a mean false
// alarm of 5 %.
func together(sizes []float64) float64 {
	n := float64(len(sizes))
	// The z from which exp(-d^2/2) cosh(d z) exceeds the limit.
	from := func(d, limit float64) float64 {
		c := limit + d*d/2 // logarithm of the hyperbolic cosine that is reached
		if c <= 0 {
			return 0
		}
		return (c + math.Log1p(math.Sqrt(-math.Expm1(-2*c)))) / d
	}
	low, high := -20.0, 20.0 // logarithms of the limit
	for range 60 {
		mid, alarm := (low+high)/2, 0.0
		for _, d := range sizes {
			alarm += outside(0, from(d, mid)) / n
		}
		if alarm > 0.05 {
			low = mid
		} else {
			high = mid
		}
	}
	power := 0.0
	for _, d := range sizes {
		power += outside(d, from(d, high)) / n
	}
	return power
}

func powers(ctx context.Context, w io.Writer, n int) error {
	fmt.Fprintf(w, "\nthe most that a test of these readings can notice at a false alarm of 5 %%, %%\n%-28s %7s %11s %11s %13s %14s %6s\n", "not known", "factor", "sense known", "each build", "all together", "either spring", "size")
	for _, known := range knowledges() {
		for _, f := range []float64{1.2, 0.8, 1.25, 1.3} {
			s, err := bestPower(ctx, f, n, &known)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, "%-28s %7.2f %11.1f %11.1f %13.1f %14.1f %6.2f\n", known.name, f, 100*s.Known, 100*s.Either, 100*s.Together, 100*s.Any, s.Size)
		}
	}
	return nil
}
