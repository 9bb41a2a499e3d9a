package job

import (
	"example.org/bobweight/advance/job/internal/schema"
	"example.org/bobweight/advance/recipes"
)

// readTarget reads what is wanted, with its defaults.
func (j *Job) readTarget(r *validator, t *schema.Target) {
	j.Wish = Wish{
		Total: r.degreesOr("target.total", t.Total, 0, 10, 60),
		AllIn: recipes.Window{Low: 2200, High: 2800}, AboveIdle: 100, KnockMargin: 3,
		Static: recipes.Span{Low: 4, High: 16, Step: 0.5},
		Keep:   r.whole("target.recipes", t.Keep, 3, 1, 20),
		Travel: 4, Snap: t.Snap,
	}
	if j.Top < 3000 {
		// An engine that never turns so fast has its usual speeds lower down.
		j.Wish.AllIn = recipes.Window{Low: 0.55 * j.Top, High: 0.75 * j.Top}
	}
	if r.given("target.all_in") {
		if len(t.AllIn) != 2 {
			r.fail("target.all_in", "has %s, valid is two, [from, to]", counted(len(t.AllIn), "speed"))
			return
		}
		j.Wish.AllIn.Low = r.rpm("target.all_in[0]", t.AllIn[0], 800, 6000)
		j.Wish.AllIn.High = r.rpm("target.all_in[1]", t.AllIn[1], 800, 6000)
		if r.sound("target.all_in") && !(j.Wish.AllIn.High > j.Wish.AllIn.Low) {
			r.fail("target.all_in", "runs from %s to %s, valid is from a lower to a higher speed", t.AllIn[0], t.AllIn[1])
		}
	}
	if t.AtIdle {
		if t.AboveIdle != nil {
			r.fail("target.start_above_idle", "contradicts advance_at_idle_accepted; give one of the two")
		}
		j.Wish.AboveIdle = -1
	} else if t.AboveIdle != nil {
		j.Wish.AboveIdle = r.rpm("target.start_above_idle", *t.AboveIdle, 0, 1500)
	}
	if t.KnockMargin != nil {
		j.Wish.KnockMargin = r.degrees("target.knock_margin", *t.KnockMargin, 0, 20)
	}
	if t.Travel != nil {
		j.Wish.Travel = r.degrees("target.smallest_travel", *t.Travel, 1, 40)
	}
	if r.given("target.static_range") {
		if len(t.Static) != 2 {
			r.fail("target.static_range", "has %s, valid is two, [least, most]", counted(len(t.Static), "angle"))
			return
		}
		j.Wish.Static.Low = r.degrees("target.static_range[0]", t.Static[0], -10, 30)
		j.Wish.Static.High = r.degrees("target.static_range[1]", t.Static[1], -10, 30)
		if r.sound("target.static_range") && !(j.Wish.Static.High >= j.Wish.Static.Low) {
			r.fail("target.static_range", "runs from %s to %s, valid is from less to more", t.Static[0], t.Static[1])
		}
	}
}
