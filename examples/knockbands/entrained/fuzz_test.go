package entrained_test

import (
	"math"
	"testing"

	"example.org/bobweight/examples/knockbands/entrained"
	"example.org/bobweight/springs/fuzzing"
)

// Every number has its engine: package knock takes what is told of it, and at speeds at
// which it runs it has a best spark and a limit, or none, within the sparks looked at.
func FuzzEngine(tf *testing.F) {
	f := fuzzing.New(tf)
	for i := range uint64(4) {
		f.Add(i, 1000+1000*float64(i))
	}
	f.Add(^uint64(0), 6000.0)
	f.Fuzz(func(t *testing.T, number uint64, rpm float64) {
		if !(rpm >= 400 && rpm <= 7000) {
			rpm = 400 + math.Abs(math.Remainder(float64(number), 6600))
		}
		e := entrained.Draw(number)
		told := e.Told()
		if _, err := told.Volume(0); err != nil {
			t.Errorf("engine %d: %v", number, err)
		}
		limit, found := e.Limit(rpm)
		if best := e.BestSpark(rpm); !(best >= -12 && best <= 62) || found && !(limit >= -12 && limit <= 62) {
			t.Errorf("engine %d at %g rpm: best spark %g, limit %g", number, rpm, best, limit)
		}
	})
}
