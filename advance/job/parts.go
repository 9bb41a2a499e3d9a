package job

import (
	"context"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
)

// partsStage asks what the listed parts do by themselves.
func partsStage() stage {
	return stage{
		name: "curve of the fitted parts", doing: "turning the mechanism", share: 0.02,
		needs: []string{
			"distributor.pivot_radius", "distributor.cam_per_swing", "distributor.cam_pin", "distributor.cam_table",
			"distributor.cam_turns", "distributor.slide_out", "distributor.slide_cam",
			"distributor.spring_places", "distributor.slot",
		},
		also:   []string{"distributor", "drawer"},
		buys:   "the curve that the parts give by themselves, and a search through the drawer for better ones",
		can:    func(w *work) bool { return w.job.has.mechanism && w.job.Fitted != nil },
		answer: func(_ context.Context, w *work, _ func(float64)) error { return w.job.mechanismPart(w.report) },
	}
}

// fittedStage asks whether the parts that are listed as fitted are those that the
// readings show.
func fittedStage() stage {
	return stage{
		name: "listed parts against the readings", doing: "comparing parts and readings",
		needs: []string{"distributor.weights", "distributor.springs", "drawer"},
		also:  []string{"readings", "distributor"},
		buys:  "a check of the listed parts against the readings, and which parts a recipe changes",
		can: func(w *work) bool {
			return w.job.has.mechanism && w.job.Fitted != nil && w.fit != nil
		},
		answer: func(_ context.Context, w *work, _ func(float64)) (err error) {
			w.report.Readings.Parts, err = w.job.partsCheck(w.fit.Result)
			return err
		},
	}
}

// mechanismPart is the curve of the fitted parts every 250 rpm.
func (j *Job) mechanismPart(r *Report) error {
	curve, err := j.present()
	if err != nil {
		return err
	}
	rpm := func(omega float64) float64 { return text.Round(j.Drive.RPM(omega)) }
	r.Parts = &mechanismPart{
		Start: rpm(curve.Start(flyweights.Rising)), AllIn: rpm(curve.AllIn(flyweights.Rising)),
		Return: rpm(curve.Start(flyweights.Falling)), Travel: text.Round(j.Drive.CrankDegrees(curve.Travel())),
	}
	for n := 2 * sheet.Step; n <= j.Top; n += sheet.Step {
		at := func(way flyweights.Direction) *float64 {
			return rounded(j.Drive.CrankDegrees(curve.Theta(j.Drive.Omega(n), way)))
		}
		r.Parts.Rows = append(r.Parts.Rows, CurveRow{RPM: n, Rising: at(flyweights.Rising), Falling: at(flyweights.Falling)})
	}
	return nil
}
