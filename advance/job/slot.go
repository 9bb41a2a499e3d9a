package job

import (
	"context"
	"math"

	"example.org/bobweight/advance/internal/text"
)

// slotStage asks what the slot's length means in degrees of travel.
func slotStage() stage {
	return stage{
		name: "slot against travel", doing: "measuring the slot",
		needs:  []string{"distributor.slot"},
		buys:   "millimetres of slot, or the bush over its pin, for every degree of travel",
		can:    func(w *work) bool { return w.job.has.slotRadius },
		answer: func(_ context.Context, w *work, _ func(float64)) error { return w.job.slotPart(w.report) },
	}
}

// slotTableStep is the distance between the rows of the slot's table, crank degrees.
const slotTableStep = 2.0

// mostTabled is the most travel of that table where the slot's own is not known, crank
// degrees.
const mostTabled = 40.0

// slotPart is the slot's table: arc = radius times angle, less the pin.
func (j *Job) slotPart(r *Report) error {
	r.Slot = &SlotPart{PerDegree: text.Round(1e3 * j.arc(1))}
	if !j.has.slot {
		if j.has.slotPin { // any travel has its length all the same
			for travel := mostTabled; travel >= j.Wish.Travel; travel -= slotTableStep {
				r.Slot.Rows = append(r.Slot.Rows, slotRow{Travel: travel, Length: text.Round(1e3 * (j.Slot.Pin + j.arc(travel)))})
			}
		}
		return nil
	}
	r.Slot.Travel = text.Round(j.SlotTravel)
	for travel := math.Floor(j.SlotTravel/slotTableStep) * slotTableStep; travel >= j.Wish.Travel; travel -= slotTableStep {
		closing, err := j.Slot.Closing(j.Drive.ShaftRadians(travel))
		if err != nil {
			return err
		}
		r.Slot.Rows = append(r.Slot.Rows, slotRow{
			Travel: travel, Length: text.Round(1e3 * (j.Slot.Length - closing)),
			Closing: text.Round(1e3 * closing), Bush: text.Round(1e3 * (j.Slot.Pin + closing)),
		})
	}
	return nil
}

// arc is the length of slot in m that so many crank degrees take.
func (j *Job) arc(degrees float64) float64 {
	return j.Slot.Radius * j.Drive.ShaftRadians(degrees)
}
