package job

import (
	"fmt"
)

// decided lists the defaults and guesses that the answer rests on.
func (w *work) decided() []Decided {
	j := w.job
	out := []Decided{}
	add := func(given bool, field, taken, turns string) {
		if !given {
			out = append(out, Decided{Field: field, Taken: taken, Turns: turns})
		}
	}
	if w.fit != nil || w.choice != nil {
		total, of := j.wantedTotal(w.wants)
		add(j.has.total, "target.total", fmt.Sprintf("%.1f deg crank, %s", total, of), "the static timing, the travel to take away, or both")
		add(j.has.idle, "engine.idle", fmt.Sprintf("%.0f rpm crank", j.Idle), "what idle must show, and how early the advance may begin")
	}
	if w.choice != nil {
		add(j.has.allIn, "target.all_in", fmt.Sprintf("%.0f to %.0f rpm crank", j.Wish.AllIn.Low, j.Wish.AllIn.High), "how strong the springs must be")
	}
	if w.wants != nil {
		add(j.has.from, "engine.full_load_from", fmt.Sprintf("%.0f rpm crank", j.From), "the speed from which knock counts, and with it the static timing")
		add(j.FuelLow == nil, "engine.fuel", j.fuelText(), "the knock limit")
	}
	return out
}
