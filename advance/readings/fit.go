package readings

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
)

// posterior are curves drawn at random by how well they suit the readings, and the
// likeliest of all.
type posterior struct {
	obs       []observed
	low, high float64 // least and greatest speed of the readings
	low3      float64 // third speed from below: up to there one or two readings bear the curve
	samples   []sample
	best      sample
	level     ends // the level line that suits the readings best
	families  []family
	share     []float64 // probability of each family; the last is that of a level line
	outlier   []float64 // probability of each reading to be an outlier
	bestOut   []bool    // outliers of the likeliest curve
	size      float64   // of the errors found, against those stated
	bothWays  bool      // there are readings of rising and of falling speed
}

// families returns the models compared. All are as likely before the readings but
// for a level line, which a working mechanism does not give, and curves about those
// of listed parts.
func families(s *Settings, lag bool) []family {
	use := func(k ...coordinate) []coordinate {
		if lag {
			k = append(k, ofLag)
		}
		return k
	}
	one := family{stages: 1, use: use(ofEarly, ofSpan, ofShape), law: wide, prior: 0.5}
	two := family{stages: 2, use: use(ofEarly, ofSpan, ofShape, ofTakeUp, ofStiff, ofHold), law: wide, prior: 0.5}
	if s.Listed == nil {
		return []family{one, two}
	}
	one.prior, two.prior = (1-listedPrior)/2, (1-listedPrior)/2
	about := one.use
	if s.Listed.TakeUp > 0 {
		about = two.use
	}
	return []family{one, two, listedFamily(s.Listed, about)}
}

// levelPrior is the probability of a level line before the readings.
const levelPrior = 0.1

// infer draws the curves that suit the readings.
func infer(ctx context.Context, obs []observed, s *Settings) (*posterior, error) {
	p := &posterior{obs: obs, low: math.Inf(1), low3: obs[min(2, len(obs)-1)].rpm, outlier: make([]float64, len(obs))}
	rising, falling := false, false
	for _, o := range obs {
		p.low, p.high = math.Min(p.low, o.rpm), math.Max(p.high, o.rpm)
		rising, falling = rising || !o.falling, falling || o.falling
	}
	p.bothWays = rising && falling
	p.families = families(s, p.bothWays)
	r := newRegression(obs, s)
	var level float64
	p.level, level = r.levelLine()
	searches := make([]*search, len(p.families))
	found := make([]drawn, len(searches))
	logs := make([]float64, len(searches)+1)
	logs[len(searches)] = r.force*level + math.Log(levelPrior)
	for i := range searches {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("readings: fit: %w", err)
		}
		searches[i] = newSearch(&p.families[i], r)
		searches[i].approach()
		found[i] = searches[i].finish()
		logs[i] = searches[i].evidence + math.Log(p.families[i].prior*(1-levelPrior))
	}
	p.share = shares(logs)
	count := 0
	for i := range found {
		count += len(found[i].z)
	}
	p.samples = make([]sample, 0, count)
	for i, s := range searches {
		p.collect(s, &found[i], p.share[i]/(1-p.share[len(searches)]))
	}
	p.even()
	p.likeliest(searches, r)
	return p, nil
}

// drawn are points of one family with static timing, travel and share of each.
type drawn struct {
	z  []vector
	at []ends
	w  []float64
}

// counted is the number of curves of a family over which outliers are counted.
const counted = 48

// collect turns points of a family into curves, and counts the outliers over some of
// them, evenly spread by their shares.
func (p *posterior) collect(s *search, d *drawn, share float64) {
	if share < 1e-6 {
		return
	}
	below, next := 0.0, 0.5/counted
	for i := range d.z {
		below += d.w[i]
		if d.w[i]*share < 1e-9 {
			continue
		}
		c, at, lag, _ := s.family.curve(&d.z[i])
		one := sample{curve: c, at: at, lag: lag, ends: d.at[i], weight: share * d.w[i]}
		p.samples = append(p.samples, one)
		if below < next {
			continue
		}
		times := math.Floor((below-next)*counted) + 1
		next += times / counted
		s.r.place(&one.at, lag)
		s.r.likelihood()
		s.r.probable(p.outlier, share*times/counted)
	}
}

// even makes the shares of the curves sum to 1.
func (p *posterior) even() {
	sum := 0.0
	for i := range p.samples {
		sum += p.samples[i].weight
	}
	for i := range p.samples {
		p.samples[i].weight /= sum
	}
}

// likeliest takes the best point of the most probable family.
func (p *posterior) likeliest(searches []*search, r *regression) {
	best := 0
	for i := range searches {
		if p.share[i] > p.share[best]+1e-9 {
			best = i
		}
	}
	top := searches[best]
	top.climb()
	c, at, lag, _ := top.family.curve(&top.best)
	p.best = sample{curve: c, at: at, lag: lag}
	r.place(&p.best.at, lag)
	r.likelihood()
	p.best.ends, p.bestOut = r.best()
	p.size = p.best.size
}

// levelLine returns the level that suits the readings best and the logarithm of its
// likelihood.
func (r *regression) levelLine() (ends, float64) {
	for i := range r.x {
		r.x[i], r.spread[i] = 0, 0
	}
	v := r.likelihood()
	fact := r.staticAt
	r.staticAt = Known{0, staticSD} // the level may be that of the stop
	r.likelihood()
	e, _ := r.best()
	r.staticAt = fact
	e.travel = 0
	return e, v
}

// Fit finds the curve that made the readings of one run, with 95 % intervals. The
// readings need not be sorted. Nil settings mean the defaults.
//
// It refuses readings outside their ranges, fewer than three with the hose off,
// readings at one speed and more than 2,000, with errors that wrap
// [valid.ErrRange]; it returns the context's error if that ends first.
func Fit(ctx context.Context, rs []Reading, s *Settings) (*Result, error) {
	if ctx == nil {
		return nil, fmt.Errorf("%w: the context is nil", errRange)
	}
	set, err := s.resolved()
	if err != nil {
		return nil, err
	}
	if err := checkReadings(rs, &set); err != nil {
		return nil, err
	}
	obs, places := observations(rs, &set)
	p, err := infer(ctx, obs, &set)
	if err != nil {
		return nil, err
	}
	return p.result(rs, places, &set), nil
}

// checkReadings refuses readings that no curve can be fitted to.
func checkReadings(rs []Reading, s *Settings) error {
	if len(rs) > maxReadings {
		return fmt.Errorf("%w: there are %d readings, valid is at most %d: thin the table first", errRange, len(rs), maxReadings)
	}
	used := 0
	low, high := math.Inf(1), math.Inf(-1)
	for k, r := range rs {
		if err := r.Check(); err != nil {
			return fmt.Errorf("reading %d: %w", k+1, err)
		}
		if r.HoseOn {
			continue
		}
		used++
		low, high = math.Min(low, r.RPM), math.Max(high, r.RPM)
	}
	if used < 3 {
		return fmt.Errorf("%w: there are %d readings with the vacuum hose off, valid is 3 or more", errRange, used)
	}
	if !(high-low >= 4*s.SigmaRPM) {
		return fmt.Errorf("%w: the readings lie between %.6g and %.6g rpm crank, valid is a spread of %.6g rpm or more: readings at one speed show no curve",
			errRange, low, high, 4*s.SigmaRPM)
	}
	return nil
}

// observations returns the hose-off readings with their errors filled in, and the
// place of each in the list, by rising speed: the order in which they were written
// down tells nothing.
func observations(rs []Reading, s *Settings) (obs []observed, places []int) {
	for k, r := range rs {
		if r.HoseOn {
			continue
		}
		o := observed{rpm: r.RPM, deg: r.Degrees, sigmaRPM: r.SigmaRPM, sigmaDeg: r.SigmaDegrees, falling: r.Direction == flyweights.Falling}
		if o.sigmaRPM == 0 {
			o.sigmaRPM = s.SigmaRPM
		}
		if o.sigmaDeg == 0 {
			o.sigmaDeg = s.SigmaDegrees
		}
		obs = append(obs, o)
		places = append(places, k)
	}
	order := make([]int, len(obs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(obs[a].rpm, obs[b].rpm), cmp.Compare(obs[a].deg, obs[b].deg), cmp.Compare(obs[a].sigmaDeg, obs[b].sigmaDeg))
	})
	return pick(obs, order), pick(places, order)
}

func pick[T any](from []T, order []int) []T {
	out := make([]T, len(order))
	for i, k := range order {
		out[i] = from[k]
	}
	return out
}
