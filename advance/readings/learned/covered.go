package learned

import (
	"fmt"
	"math"
	"slices"
)

// nearEnd is how near, in crank degrees, readings must come to rest or stop for the
// end to count as seen.
const nearEnd = 0.3

// unseen is the advance, crank degrees, from which a curve that no reading shows below it
// counts as one whose start was not seen.
const unseen = 1

// span is the part of the advance, crank degrees, that a run's readings show.
type span struct{ from, to float64 }

// spans returns it for each run, by the most probable curves.
func (r *Result) spans() []span {
	d := r.modes[0]
	law := d.m.law()
	law.lay(d.par)
	out := make([]span, len(d.m.runs))
	for i := range d.m.runs {
		w := &d.m.runs[i]
		x, v := law.curve(w, !w.directions[0])
		s := span{invert(x, v, w.lowRPM*w.lowRPM), invert(x, v, w.highRPM*w.highRPM)}
		if s.from < nearEnd {
			s.from = 0
		}
		if stop := d.m.travel(w.stop, d.par); s.to > stop-nearEnd {
			s.to = stop
		}
		out[i] = s
	}
	return out
}

// Determine says whether the runs determine a combination, over which part of the
// advance their readings do so, and if not, which run would. A part never fitted is
// no error here, and runs that no engine could show are not proposed: those with
// nothing but slack springs, which leave the weights loose.
func (r *Result) Determine(want Combination) (Determination, error) {
	if r == nil || len(r.modes) == 0 {
		return Determination{}, fmt.Errorf("%w: the result is empty, valid is one that Fit returned", errRange)
	}
	if err := want.check(); err != nil {
		return Determination{}, err
	}
	if r.mech != nil { // the list says something of every part
		_, err := r.table.find(want)
		return Determination{Determined: err == nil, To: r.table.angles[len(r.table.angles)-1]}, err
	}
	fitted := make([]Combination, len(r.runs))
	for i := range r.runs {
		fitted[i] = r.runs[i].Combination
	}
	design := newDesign(fitted, want, r.layout.set)
	var out Determination
	known, factor := design.determines(fitted, want)
	if known {
		if out.From, out.To = r.interval(design, fitted, want); out.To > out.From {
			out.Determined, out.Factor = true, factor
			return out, nil
		}
	}
	out.Propose = design.propose(fitted, want, r.loose)
	return out, nil
}

// interval is the widest range of advance over which the runs that show it determine
// the combination.
func (r *Result) interval(d *design, fitted []Combination, want Combination) (from, to float64) {
	spans := r.spans()
	var ends []float64
	for _, s := range spans {
		ends = append(ends, s.from, s.to)
	}
	slices.Sort(ends)
	start := math.NaN()
	for i := 1; i < len(ends); i++ {
		if ends[i]-ends[i-1] < 1e-9 {
			continue
		}
		middle := (ends[i] + ends[i-1]) / 2
		var seen []Combination
		for k, s := range spans {
			if s.from < middle && middle < s.to {
				seen = append(seen, fitted[k])
			}
		}
		ok, _ := d.determines(seen, want)
		switch {
		case !ok:
			start = math.NaN()
			continue
		case math.IsNaN(start):
			start = ends[i-1]
		}
		if ends[i]-start > to-from {
			from, to = start, ends[i]
		}
	}
	return from, to
}

// loose reports whether a combination holds nothing but springs that are more likely
// slack at rest than not.
func (r *Result) loose(c Combination) bool {
	for p, name := range c.Springs {
		if name == "" {
			continue
		}
		i := slices.IndexFunc(r.kinds, func(k kind) bool {
			return k.spring == name && (k.place == anyPlace || k.place == p)
		})
		if i < 0 || r.kinds[i].slack < 0.5 {
			return false
		}
	}
	return true
}

// Predict returns the curve of a combination as the runs let it be known, fitted or
// not. Where they do not determine it, the error wraps [ErrUndetermined] and names
// the run that would: no curve is guessed.
func (r *Result) Predict(want Combination) (*Prediction, error) {
	d, err := r.Determine(want)
	if err != nil {
		return nil, err
	}
	if !d.Determined {
		return nil, fmt.Errorf("%w: %s", ErrUndetermined, d.sentence(want))
	}
	p, err := r.table.predict(want)
	if err != nil {
		return nil, err
	}
	p.From, p.To = d.From, math.Min(d.To, p.Travel.Value)
	p.FromStop = p.FromStop || p.From > unseen && p.To > p.Travel.Value-nearEnd
	r.note(p, want)
	return p, nil
}
