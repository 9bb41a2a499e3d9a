package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/workers"
)

// question is one to the runs: a combination that they do not show.
type question struct {
	Name        string
	Slot, Slack bool // a pin in a slot in place of meshing teeth; spring b taken up on the way
	Runs        []learned.Combination
	Want        learned.Combination
	Light       simulated.Light
	// Weighed is set where the weights were put on the scale, with errors of 1 %.
	Weighed bool
	// Seen is set where the builder says which springs hang loose at rest.
	Seen bool
	// MostMean is the mean error promised, MostWorst the error of the worst of six
	// speeds promised in nine of ten, crank degrees; 0 for no promise.
	MostMean, MostWorst float64
}

// cases are the questions of the study.
func cases() []question {
	aa, ab, bb := simulated.Parts("aa", ""), simulated.Parts("ab", ""), simulated.Parts("bb", "")
	aav, abv := simulated.Parts("aa", "v"), simulated.Parts("ab", "v")
	list := func(c ...learned.Combination) []learned.Combination { return c }
	late := simulated.Usual
	late.Low, late.Readings = 1500, 11
	var out []question
	for _, slot := range []bool{false, true} {
		name := "teeth: "
		if slot {
			name = "slot:  "
		}
		out = append(out,
			question{Name: name + "aa, bb -> ab", Slot: slot, Runs: list(aa, bb), Want: ab, MostMean: 0.45, MostWorst: 1.8},
			question{Name: name + "aa, ab -> bb", Slot: slot, Runs: list(aa, ab), Want: bb, MostMean: 1},
			question{Name: name + "aa, bb, aa/v -> ab/v", Slot: slot, Runs: list(aa, bb, aav), Want: abv, MostMean: 0.5},
			question{Name: name + "aa, bb, v weighed -> ab/v", Slot: slot, Runs: list(aa, bb), Want: abv, Weighed: true, MostMean: 0.5},
			question{Name: name + "slack b: aa, ab -> ab", Slot: slot, Slack: true, Runs: list(aa, ab), Want: ab, MostMean: 0.8},
			question{Name: name + "slack b: aa, ab -> bb", Slot: slot, Slack: true, Runs: list(aa, ab), Want: bb, MostMean: 0.8},
			question{Name: name + "slack b, seen: aa, ab -> bb", Slot: slot, Slack: true, Seen: true, Runs: list(aa, ab), Want: bb, MostMean: 0.8},
			question{Name: name + "loose b, seen: aa, bb -> ab", Slot: slot, Slack: true, Seen: true, Runs: list(aa, bb), Want: ab},
			question{Name: name + "slack b: aa, ab, aa/v -> ab/v", Slot: slot, Slack: true, Runs: list(aa, ab, aav), Want: abv, MostMean: 0.8},
			question{Name: name + "from 1500 rpm: aa, bb -> ab", Slot: slot, Runs: list(aa, bb), Want: ab, Light: late},
		)
	}
	for i := range out {
		if out[i].Light == (simulated.Light{}) {
			out[i].Light = simulated.Usual
		}
	}
	return out
}

const drive = advance.FourStroke

// speeds are those at which bands are judged, rpm; the first, at which many have not
// begun, does not count in the errors.
var speeds = []float64{800, 1000, 1500, 2000, 2500, 3000, 3500}

// score is what a study found.
type score struct {
	Mean      float64   // absolute error of the advance over all speeds and distributors, crank degrees
	Worst     float64   // error of the worst speed, not exceeded in nine of ten
	FromStop  float64   // as Mean, counted down from the stop
	Naive     float64   // as Worst in the median, had the advances of the runs been averaged at equal speed
	Held      []float64 // share of the 95 % bands that hold the truth, by speed
	HeldMoved []float64 // the same of those distributors that have left their rest there: a band of what cannot be under zero holds all others
	Moved     []int     // number of these
	HeldBelow float64   // the same for degrees below the stop, all speeds
	Start     float64   // share of intervals of start and all-in that hold the truth
	AllIn     float64
	Kinds     float64 // share of springs rightly found plain or slack
}

// single is one distributor's part in a score.
type single struct {
	off, below, naive []float64
	held, heldBelow   []bool
	moved             []bool
	start, allIn      bool
	kinds, right      int
}

// predictAll draws n distributors and asks the question of each.
func predictAll(ctx context.Context, c question, n int) (score, error) {
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (single, error) {
		s, err := predict(ctx, c, i)
		if err != nil {
			return s, fmt.Errorf("%s, distributor %d: %w", c.Name, i, err)
		}
		return s, nil
	})
	if err != nil {
		return score{}, err
	}
	out := score{Held: make([]float64, len(speeds)), HeldMoved: make([]float64, len(speeds)), Moved: make([]int, len(speeds))}
	var worst, naive []float64
	kinds := 0
	count := func(to *float64, ok bool) {
		if ok {
			*to++
		}
	}
	for _, s := range all {
		for q := range speeds {
			count(&out.Held[q], s.held[q])
			if s.moved[q] {
				out.Moved[q]++
				count(&out.HeldMoved[q], s.held[q])
			}
			count(&out.HeldBelow, s.heldBelow[q])
			if q > 0 {
				out.Mean += s.off[q]
				out.FromStop += s.below[q]
			}
		}
		worst, naive = append(worst, slices.Max(s.off[1:])), append(naive, slices.Max(s.naive[1:]))
		count(&out.Start, s.start)
		count(&out.AllIn, s.allIn)
		kinds += s.kinds
		out.Kinds += float64(s.right)
	}
	slices.Sort(worst)
	slices.Sort(naive)
	out.Worst, out.Naive = worst[(9*n-1)/10], naive[n/2]
	per := 1 / float64(n)
	for q := range speeds {
		out.Held[q] *= per
		out.HeldMoved[q] /= float64(max(1, out.Moved[q]))
	}
	out.Mean *= per / float64(len(speeds)-1)
	out.FromStop *= per / float64(len(speeds)-1)
	out.HeldBelow *= per / float64(len(speeds))
	out.Start *= per
	out.AllIn *= per
	out.Kinds /= float64(kinds)
	return out, nil
}

// seed draws the distributors; each study adds a number of its own.
var seed uint64 = 7

func predict(ctx context.Context, c question, i int) (single, error) {
	var out single
	rng := rand.New(rand.NewPCG(seed, uint64(i)))
	d := simulated.Draw(rng, c.Slot, c.Slack)
	var runs []learned.Run
	for _, k := range c.Runs {
		runs = append(runs, d.Read(rng, k, c.Light, ""))
	}
	set := settings(c.Light)
	if c.Weighed {
		set.Masses = map[string]learned.Mass{
			"":  {Value: 40 * math.Exp(0.01*rng.NormFloat64()), Sigma: 0.4},
			"v": {Value: 40 * d.Heavier * math.Exp(0.01*rng.NormFloat64()), Sigma: 0.4 * d.Heavier},
		}
	}
	if c.Seen {
		set.Slack = map[string]bool{"a": false, "b": c.Slack}
	}
	r, err := learned.Fit(ctx, runs, set)
	if err != nil {
		return out, err
	}
	p, err := r.Predict(c.Want)
	if err != nil {
		return out, err
	}
	curve := d.Curve(c.Want)
	travel := drive.CrankDegrees(curve.Travel())
	const grain = 1e-3 // crank degrees: both ends of a curve are known to it
	holds := func(e readings.Estimate, x float64) bool { return x >= e.Low-grain && x <= e.High+grain }
	for _, rpm := range speeds {
		truth := d.Advance(c.Want, rpm)
		e, err := p.Advance(rpm)
		if err != nil {
			return out, err
		}
		b, err := p.BelowStop(rpm)
		if err != nil {
			return out, err
		}
		mean := 0.0
		for _, k := range c.Runs {
			mean += d.Advance(k, rpm) / float64(len(c.Runs))
		}
		out.naive = append(out.naive, math.Abs(mean-truth))
		out.off = append(out.off, math.Abs(e.Value-truth))
		out.held = append(out.held, holds(e, truth))
		out.moved = append(out.moved, truth > 0)
		out.below = append(out.below, math.Abs(b.Value-(travel-truth)))
		out.heldBelow = append(out.heldBelow, holds(b, travel-truth))
	}
	out.start = p.Start.Covers(drive.RPM(curve.Start(flyweights.Rising)))
	out.allIn = p.AllIn.Covers(drive.RPM(curve.AllIn(flyweights.Rising)))
	for spring, chance := range r.Slack {
		out.kinds++
		if (chance > 0.5) == (c.Slack && spring == "b") {
			out.right++
		}
	}
	return out, nil
}

// settings are those of a builder who knows his errors.
func settings(l simulated.Light) *learned.Settings {
	return &learned.Settings{SigmaRPM: l.SigmaRPM, SigmaDegrees: l.SigmaDegrees}
}

// listScore is what a study of listed parts found.
type listScore struct {
	Median float64 // relative error of the rate of spring a
	Within float64 // share of rates within a tenth
	Held   float64 // share of its 95 % intervals that hold the truth
	Named  float64 // share of lists that were contradicted
	A, Not float64 // of these the shares that name spring a, and that do not
	Both   float64 // share of all cases in which what is printed says of both springs what each would have to be
	One    float64 // and in which it says so of one only
}

// listAll draws n distributors, of both linkages in turn, whose springs a have a rate so
// many times the listed one, and joins the runs with the list.
func listAll(ctx context.Context, wrong float64, pairs []learned.Combination, n int) (listScore, error) {
	type one struct {
		off                       float64
		held, named, a, both, one bool
	}
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (one, error) {
		rng := rand.New(rand.NewPCG(seed+2, uint64(i)))
		d := simulated.Draw(rng, i%2 == 1, false)
		l := d.Listed(rng, map[string]float64{"a": wrong})
		var runs []learned.Run
		for _, k := range pairs {
			runs = append(runs, d.Read(rng, k, simulated.Usual, ""))
		}
		r, err := learned.FitListed(ctx, runs, l, settings(simulated.Usual))
		if err != nil {
			return one{}, fmt.Errorf("distributor %d: %w", i, err)
		}
		// The readings know rates only against the weights as listed.
		truth := d.Laws["a"].Rate * l.Weights[""].Weights[0].Mass / d.Mechanism.Weights[0].Mass
		k := slices.IndexFunc(r.Parts, func(p learned.Part) bool { return p.Name == "spring a" && p.Quantity == "rate" })
		e := r.Parts[k].Learned
		out := one{off: math.Abs(e.Value/truth - 1), held: e.Covers(truth), named: len(r.Suspects) > 0}
		has := func(part string) bool {
			return slices.ContainsFunc(r.Suspects, func(s learned.Suspect) bool { return s.Part == part })
		}
		out.a = has("spring a")
		printed := strings.Join(append(r.Contradicts, r.Notes...), "\n")
		a, b := strings.Contains(printed, "spring a pulls"), strings.Contains(printed, "spring b pulls")
		out.both, out.one = a && b, a != b
		return out, nil
	})
	if err != nil {
		return listScore{}, err
	}
	var s listScore
	var off []float64
	for _, o := range all {
		off = append(off, o.off)
		s.Within += share(o.off <= 0.1, n)
		s.Held += share(o.held, n)
		s.Named += share(o.named, n)
		s.A += share(o.a, n)
		s.Not += share(o.named && !o.a, n)
		s.Both += share(o.both, n)
		s.One += share(o.one, n)
	}
	slices.Sort(off)
	s.Median = off[n/2]
	return s, nil
}

func share(ok bool, n int) float64 {
	if ok {
		return 1 / float64(n)
	}
	return 0
}

// verdictScore is what a study of verdicts found: shares of builds.
type verdictScore struct {
	Noticed float64 // said not to be what was predicted
	Named   float64 // with what is off among what explains it
	Alone   float64 // with that alone
	// Evidence of each build that a spring of it is off.
	Evidence []float64
}

// fault is what is wrong with the build that is judged.
type fault struct {
	name    string
	suspect string // what a verdict calls it
	change  func(d *simulated.Distributor) *simulated.Distributor
}

// spring is a spring a of a rate so many times what it was.
func spring(factor float64) fault {
	return fault{fmt.Sprintf("%.2f", factor), "spring a", func(d *simulated.Distributor) *simulated.Distributor { return d.Off("a", factor) }}
}

// faultsOfEnds are what else may be other than noted: a stop or bush that leaves more or
// less of travel, a clamp that slipped, by so many crank degrees.
func faultsOfEnds(by float64) []fault {
	out := []fault{{"as it was", "", func(d *simulated.Distributor) *simulated.Distributor { return d }}}
	for _, by := range []float64{by, -by} {
		out = append(out, fault{fmt.Sprintf("stop %+g", by), "stop", func(d *simulated.Distributor) *simulated.Distributor { return d.Stopped(by) }})
	}
	for _, by := range []float64{by, -by} {
		out = append(out, fault{fmt.Sprintf("clamp %+g", by), "clamp", func(d *simulated.Distributor) *simulated.Distributor {
			o := d.Off("a", 1)
			o.Static += by
			return o
		}})
	}
	return out
}

// before is what is known before a build is judged.
type before struct {
	name   string
	listed bool
	pairs  []string // read before
	clamp  string   // label of the clamp's position in all runs; "" for each its own
}

var befores = []before{
	{"learned", false, []string{"aa", "bb"}, ""},
	{"listed", true, []string{"aa", "bb"}, ""},
	{"a read", true, []string{"aa"}, ""},
}

// judgeAll draws n distributors, of both linkages in turn, reads the pairs that are known
// before, and judges a run of ab with a fault.
func judgeAll(ctx context.Context, f fault, known before, n int) (verdictScore, error) {
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (*learned.Verdict, error) {
		rng := rand.New(rand.NewPCG(seed+4, uint64(i)))
		d := simulated.Draw(rng, i%2 == 1, false)
		var runs []learned.Run
		for _, pair := range known.pairs {
			runs = append(runs, d.Read(rng, simulated.Parts(pair, ""), simulated.Usual, known.clamp))
		}
		var r *learned.Result
		var err error
		if known.listed {
			r, err = learned.FitListed(ctx, runs, d.Listed(rng, nil), settings(simulated.Usual))
		} else {
			r, err = learned.Fit(ctx, runs, settings(simulated.Usual))
		}
		if err != nil {
			return nil, fmt.Errorf("distributor %d: %w", i, err)
		}
		return r.Judge(ctx, f.change(d).Read(rng, simulated.Parts("ab", ""), simulated.Usual, known.clamp))
	})
	if err != nil {
		return verdictScore{}, err
	}
	var s verdictScore
	for _, v := range all {
		is := slices.ContainsFunc(v.Suspects, func(s learned.Suspect) bool { return s.Part == f.suspect })
		s.Noticed += share(!v.Agrees, n)
		s.Named += share(is, n)
		s.Alone += share(is && len(v.Suspects) == 1, n)
		s.Evidence = append(s.Evidence, v.Evidence)
	}
	return s, nil
}

// above is the share of builds with an evidence above the limit that right builds exceed
// in one case of twenty: what the verdict's measure could notice at a false alarm of 5 %.
func (s *verdictScore) above(right verdictScore) float64 {
	limit := slices.Sorted(slices.Values(right.Evidence))
	over := 0.0
	for _, e := range s.Evidence {
		over += share(e > limit[(19*len(limit)-1)/20], len(s.Evidence))
	}
	return over
}
