package job

import (
	"context"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
)

// otherwise is a default or a guess, and what it might be instead.
type otherwise struct {
	given        bool // the file says it: nothing to reconsider
	field, taken string
	instead      string                           // in words, for the recipe
	turns        string                           // what it decides where there is no recipe
	problem      func() (*recipes.Problem, error) // with the other value; nil where no recipe hangs on it
}

// decided lists the defaults and guesses that the answer rests on, with what the first
// recipe would be if they were otherwise.
func (w *work) decided(ctx context.Context) ([]decidedRow, error) {
	out := []decidedRow{}
	if w.setup() == nil && w.choice == nil && w.change == nil {
		return out, nil
	}
	list := w.otherwise()
	for i, o := range list {
		w.wrote(0.9 + 0.1*float64(i)/float64(len(list)))
		if o.given {
			continue
		}
		d := decidedRow{Field: o.field, Taken: o.taken, Turns: "It decides " + o.turns + "."}
		best := w.choice != nil && w.choice.best != nil && o.problem != nil
		if !best && o.turns == "" {
			continue // it decides among recipes, and there are none
		}
		if best {
			turns, err := w.reconsider(ctx, &o)
			if err != nil {
				return nil, err
			}
			d.Turns = turns
		}
		out = append(out, d)
	}
	return out, nil
}

// reconsider says what the first recipe would be with the other value.
func (w *work) reconsider(ctx context.Context, o *otherwise) (string, error) {
	p, err := o.problem()
	if err != nil {
		return "", err
	}
	best, stands, err := p.Reconsider(ctx, w.choice.best, nil)
	if err != nil {
		return "", fmt.Errorf("job: %s: %w", o.field, err)
	}
	switch {
	case stands:
		return fmt.Sprintf("With %s the first recipe stays.", o.instead), nil
	case best == nil:
		return fmt.Sprintf("With %s nothing in the drawer keeps the limits.", o.instead), nil
	}
	if best, err = w.job.onLight(p, best); err != nil {
		return "", err
	}
	return fmt.Sprintf("With %s another recipe comes first: %s.", o.instead, w.job.inShort(best)), nil
}

// otherwise lists every default and guess that a job can rest on.
func (w *work) otherwise() []otherwise {
	j := w.job
	total, of := j.wantedTotal(w.wants)
	list := []otherwise{
		{
			given: j.has.total, field: "target.total", taken: fmt.Sprintf("%.1f deg crank, %s", total, of),
			instead: fmt.Sprintf("%.0f deg", total-otherTotal), turns: "the static timing and the travel to take away",
			problem: w.with(func(j *Job) { j.Wish.Total = total - otherTotal }),
		},
		{
			given: j.has.idle, field: "engine.idle", taken: fmt.Sprintf("%.0f rpm crank", j.Idle),
			instead: fmt.Sprintf("%.0f rpm", j.Idle+otherIdle), turns: "what idle must show, and how early the advance may begin",
			problem: w.with(func(j *Job) { j.Idle += otherIdle }),
		},
	}
	if w.choice != nil {
		list = append(list, otherwise{
			given: j.has.allIn, field: "target.all_in", taken: fmt.Sprintf("%.0f to %.0f rpm crank", j.Wish.AllIn.Low, j.Wish.AllIn.High),
			instead: fmt.Sprintf("%.0f to %.0f rpm", j.Wish.AllIn.Low+otherAllIn, j.Wish.AllIn.High+otherAllIn),
			problem: w.with(func(j *Job) {
				j.Wish.AllIn.Low, j.Wish.AllIn.High = j.Wish.AllIn.Low+otherAllIn, j.Wish.AllIn.High+otherAllIn
			}),
		}, otherwise{
			given: j.has.static, field: "target.static_range", taken: fmt.Sprintf("%g to %g deg crank", j.Wish.Static.Low, j.Wish.Static.High),
			instead: fmt.Sprintf("%g to %g deg", j.Wish.Static.Low-otherStatic, j.Wish.Static.High+otherStatic),
			problem: w.with(func(j *Job) {
				j.Wish.Static.Low, j.Wish.Static.High = j.Wish.Static.Low-otherStatic, j.Wish.Static.High+otherStatic
			}),
		})
	}
	if w.wants == nil {
		return list
	}
	list = append(list, otherwise{
		given: j.has.from, field: "engine.full_load_from", taken: fmt.Sprintf("full throttle from %.0f rpm crank", j.From),
		instead: fmt.Sprintf("full throttle only from %.0f rpm", j.From+otherFrom),
		turns:   "from which speed knock counts, and with it the static timing",
		problem: func() (*recipes.Problem, error) {
			a, err := w.wants.above(j.From + otherFrom)
			if err != nil {
				return nil, err
			}
			return j.asChosen(w.choice, a)
		},
	}, otherwise{
		given: j.has.margin, field: "target.knock_margin", taken: fmt.Sprintf("%g deg crank", j.Wish.KnockMargin),
		instead: fmt.Sprintf("%g deg", j.Wish.KnockMargin+otherMargin), turns: "how near to the knock limit the timing comes",
		problem: w.with(func(j *Job) { j.Wish.KnockMargin += otherMargin }),
	})
	return append(list, otherwise{
		given: j.FuelLow == nil, field: "engine.fuel", taken: j.fuelText(),
		instead: "the fuel that knocks soonest among those", turns: "the knock limit",
		problem: func() (*recipes.Problem, error) {
			p, err := j.asChosen(w.choice, w.wants)
			if err == nil {
				p.Limits.Knock = w.wants.low
			}
			return p, err
		},
	})
}

// How far the other values lie from those taken: about as far as engines differ.
const (
	otherTotal  = 2.0   // crank degrees
	otherIdle   = 100.0 // rpm
	otherAllIn  = 300.0 // rpm
	otherStatic = 4.0   // crank degrees
	otherFrom   = 500.0 // rpm
	otherMargin = 2.0   // crank degrees
)

// with returns the problem of the same job with one thing otherwise.
func (w *work) with(change func(*Job)) func() (*recipes.Problem, error) {
	return func() (*recipes.Problem, error) {
		other := *w.job
		change(&other)
		return other.asChosen(w.choice, w.wants)
	}
}

// asChosen is the problem with the knock limit as far relaxed as for the choice.
func (j *Job) asChosen(c *choice, a *requirement) (*recipes.Problem, error) {
	p := j.problem(a)
	if c.relaxed == 0 {
		return p, nil
	}
	var err error
	p.Limits.Knock, err = a.relaxed(c.relaxed)
	return p, err
}

// above is what the engine wants from a speed upwards.
func (a *requirement) above(rpm float64) (*requirement, error) {
	out := &requirement{model: a.model, light: a.light}
	var mbt, limit []advance.Point
	for i, w := range a.want {
		if w.RPM < rpm && i < len(a.want)-1 {
			continue
		}
		out.want = append(out.want, w)
		out.loss = append(out.loss, a.loss[i])
		mbt, limit = append(mbt, advance.Point{RPM: w.RPM, Degrees: w.MBT}), append(limit, advance.Point{RPM: w.RPM, Degrees: w.KLSA})
	}
	var err error
	if out.mbt, err = advance.NewCurve(mbt); err != nil {
		return nil, err
	}
	out.limit, err = advance.NewCurve(limit)
	return out, err
}
