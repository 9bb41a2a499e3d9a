package readings

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"gonum.org/v1/gonum/floats"
)

// drawn is one mechanism drawn, with what the readings say of it.
type drawn struct {
	x             []float64
	static        float64 // one static timing drawn from what suits it
	start, allIn  float64
	travel        float64
	deviance      float64
	weight        float64 // share of all
	rates, length []float64
}

// draw draws mechanisms and weighs them. Those of no weight are left out; tried
// counts all that work.
func (a *assembly) draw(ctx context.Context) (out []drawn, tried int, err error) {
	rng := rand.New(rand.NewPCG(drawSeed, 0))
	least := math.Inf(1)
	d := a.parts.Drive
	for made := 0; made < mostDraws; {
		if err := ctx.Err(); err != nil {
			return nil, 0, fmt.Errorf("readings: fit of parts: %w", err)
		}
		for range drawBatch {
			made++
			x := make([]float64, a.size())
			for j := range x {
				x[j] = rng.NormFloat64()
			}
			z := rng.NormFloat64()
			if !a.place(x) {
				continue
			}
			tried++
			static, sigma, deviance := a.fit(x)
			if !finite(deviance) || deviance > least+50 {
				continue // of no weight against the best so far
			}
			least = math.Min(least, deviance)
			w := drawn{
				x: x, static: static + sigma*z, deviance: deviance, travel: a.travel(),
				start: d.RPM(a.curve.Start(flyweights.Rising)), allIn: d.RPM(a.curve.AllIn(flyweights.Rising)),
			}
			for _, s := range a.springs {
				w.rates, w.length = append(w.rates, s.Law.Rate), append(w.length, s.Law.FreeLength)
			}
			out = append(out, w)
		}
		if weigh(out, least) >= worthEnough {
			break
		}
	}
	if len(out) == 0 {
		return nil, 0, fmt.Errorf("%w: no mechanism near the measured one has a curve, valid is one that works with all its springs a little off", ErrRange)
	}
	return out, tried, nil
}

// weigh gives each draw its share and returns of how many equally likely ones they
// are worth, 1/sum of the squared shares.
func weigh(draws []drawn, least float64) float64 {
	sum, squares := 0.0, 0.0
	for i := range draws {
		w := math.Exp((least - draws[i].deviance) / 2)
		draws[i].weight = w
		sum += w
		squares += w * w
	}
	for i := range draws {
		draws[i].weight /= sum
	}
	return sum * sum / squares
}

// report states the result of the draws.
func (a *assembly) report(draws []drawn, tried int, places []int) (*PartsResult, error) {
	least := math.Inf(1)
	for _, d := range draws {
		least = math.Min(least, d.deviance)
	}
	r := &PartsResult{fit: a, Worth: weigh(draws, least)}
	of := func(f func(d *drawn) float64) Estimate {
		v, w := make([]float64, len(draws)), make([]float64, len(draws))
		for i := range draws {
			v[i], w[i] = f(&draws[i]), draws[i].weight
		}
		return middle(v, w)
	}
	r.Static = of(func(d *drawn) float64 { return d.static })
	r.Start = of(func(d *drawn) float64 { return d.start })
	r.AllIn = of(func(d *drawn) float64 { return d.allIn })
	r.Travel = of(func(d *drawn) float64 { return d.travel })
	r.Total = of(func(d *drawn) float64 { return d.static + d.travel })
	for i := range a.springs {
		r.Rates = append(r.Rates, of(func(d *drawn) float64 { return d.rates[i] }))
		r.Lengths = append(r.Lengths, of(func(d *drawn) float64 { return d.length[i] }))
	}
	r.keep(draws)
	best := slices.MinFunc(draws, func(p, q drawn) int { return cmp.Compare(p.deviance, q.deviance) })
	if !a.place(best.x) {
		return nil, fmt.Errorf("%w: the likeliest mechanism has no curve", ErrRange)
	}
	static, _, _ := a.fit(best.x)
	for i, o := range a.obs {
		if outlier((o.deg-a.mech[i]-static)/a.sigma[i], a.set.Outliers) > 0.5 {
			r.Outliers = append(r.Outliers, places[i])
		}
	}
	r.Mechanism = a.trial
	r.Mechanism.Springs = slices.Clone(a.springs)
	r.Curve = a.points(static)
	r.Evidence = evidence(draws, tried, least)
	return r, nil
}

// evidence is minus twice the logarithm of the mean likelihood of all draws tried, of
// which those left out have none.
func evidence(draws []drawn, tried int, least float64) float64 {
	sum := 0.0
	for _, d := range draws {
		sum += math.Exp((least - d.deviance) / 2)
	}
	return least - 2*math.Log(sum/float64(tried))
}

// points is the current curve between the outermost readings.
func (a *assembly) points(static float64) advance.Curve {
	low, high := math.Inf(1), 0.0
	for _, o := range a.obs {
		low, high = math.Min(low, o.rpm), math.Max(high, o.rpm)
	}
	const pieces = 60
	out := make([]advance.Point, pieces+1)
	for k := range out {
		n := low + (high-low)*float64(k)/pieces
		out[k] = advance.Point{RPM: n, Degrees: static + a.advance(n, false)}
	}
	curve, _ := advance.NewCurve(out) // rising speeds, and no curve here is infinite
	return curve
}

// middle returns the median and the middle 95 % of weighted values.
func middle(values, weights []float64) Estimate {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(values[i], values[j]) })
	e := Estimate{Low: values[order[0]], Value: values[order[0]], High: values[order[0]]}
	below := 0.0
	for _, i := range order {
		for _, q := range []struct {
			share float64
			into  *float64
		}{{0.025, &e.Low}, {0.5, &e.Value}, {0.975, &e.High}} {
			if below < q.share {
				*q.into = values[i]
			}
		}
		below += weights[i]
	}
	return e
}

// keep draws equally likely mechanisms from the weighted ones, evenly spread
// (systematic resampling: Douc, Cappé and Moulines, Comparison of resampling
// schemes for particle filtering, ISPA 2005, section 2.4).
func (r *PartsResult) keep(draws []drawn) {
	weights := make([]float64, len(draws))
	for i, d := range draws {
		weights[i] = d.weight
	}
	floats.CumSum(weights, weights)
	i := 0
	for k := range keptDraws {
		u := (float64(k) + 0.5) / keptDraws
		for i < len(draws)-1 && weights[i] < u {
			i++
		}
		r.kept = append(r.kept, draws[i].x)
		r.static = append(r.static, draws[i].static)
	}
}

// Band returns the curve (rising) at an engine speed of 0 to 20,000 rpm with its
// 95 % interval, crank degrees.
func (r *PartsResult) Band(rpm float64) (Estimate, error) {
	if r == nil || r.fit == nil {
		return Estimate{}, fmt.Errorf("%w: the result is empty, valid is one that FitParts returned", ErrRange)
	}
	if !(rpm >= 0 && rpm <= maxRPM) {
		return Estimate{}, outOfRange("speed", rpm, rpmCrank, "0 to 20000")
	}
	a := newAssembly(r.fit.parts, r.fit.set, r.fit.obs)
	values, weights := make([]float64, 0, len(r.kept)), make([]float64, 0, len(r.kept))
	for k, x := range r.kept {
		if a.place(x) {
			values = append(values, r.static[k]+a.advance(rpm, false))
			weights = append(weights, 1/float64(len(r.kept)))
		}
	}
	return middle(values, weights), nil
}
