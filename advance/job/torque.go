package job

import (
	"fmt"

	"example.org/bobweight/advance/readings"
)

// torqueLost is the fraction of full-load torque that a curve gives up, on average over
// the speeds of full load.
func (a *requirement) torqueLost(spark func(rpm float64) (float64, error)) (float64, error) {
	sum := 0.0
	for i, row := range a.loss {
		at, err := spark(row.RPM)
		if err != nil {
			return 0, err
		}
		off := at - a.want[i].MBT
		k := 1
		for k < len(row.Off)-1 && row.Off[k] < off {
			k++
		}
		part := (off - row.Off[k-1]) / (row.Off[k] - row.Off[k-1])
		sum += min(1, max(0, row.Lost[k-1]+part*(row.Lost[k]-row.Lost[k-1])))
	}
	return sum / float64(len(a.loss)), nil
}

// torque says in a sentence what the engine gives at full load, now and with what is to be
// set; empty without an engine, or where the readings do not show the whole curve.
func (w *work) torque() (string, error) {
	to := w.setup()
	if w.wants == nil || to == nil {
		return "", nil
	}
	after, err := w.wants.torqueLost(to.at)
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("At full load from %.0f to %.0f rpm the engine then gives %.1f %% of its best torque on average, knock left aside", w.job.From, w.job.Top, 100*(1-after))
	if w.fit == nil || w.job.onMachine || w.fit.Static.Bound != readings.Interval || w.fit.Total.Bound != readings.Interval {
		return text + ".", nil
	}
	now, err := w.wants.torqueLost(w.fit.Curve.Held)
	if err != nil {
		return "", fmt.Errorf("job: torque: %w", err)
	}
	return fmt.Sprintf("%s, now %.1f %%.", text, 100*(1-now)), nil
}
