package job

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// The distributor of the demonstration job, read at its speeds and below its start with
// the errors of its light: with the parts as listed the intervals of start and all-in hold, with mean errors
// that are small against them. Without the list they are wider or miss more often.
func TestOwnDistributor(t *testing.T) {
	data, err := os.ReadFile("../../examples/recurve/demo.json")
	if err != nil {
		t.Fatal(err)
	}
	j, err := Read(data, nil)
	if err != nil {
		t.Fatal(err)
	}
	curve, err := j.present()
	if err != nil {
		t.Fatal(err)
	}
	list, err := readings.Listed(curve, j.Drive)
	if err != nil {
		t.Fatal(err)
	}
	start, allIn := j.Drive.RPM(curve.Start(flyweights.Rising)), j.Drive.RPM(curve.AllIn(flyweights.Rising))
	sets := 250
	if testing.Short() {
		sets = 60
	}
	var widths [2][2]float64
	for with := range 2 {
		var held, of [2]int
		var bias [2]float64
		for k := range sets {
			rng := rand.New(rand.NewPCG(4, uint64(k)))
			static := 4 + 8*rng.Float64()
			var rs []readings.Reading
			speeds := []float64{300, 380, 450} // as a distributor machine turns it
			for _, r := range j.Readings {
				speeds = append(speeds, r.RPM)
			}
			for _, rpm := range speeds {
				rs = append(rs, readings.Reading{
					RPM:     rpm + j.Settings.SigmaRPM*rng.NormFloat64(),
					Degrees: static + j.Drive.CrankDegrees(curve.Theta(j.Drive.Omega(rpm), flyweights.Rising)) + j.Settings.SigmaDegrees*rng.NormFloat64(),
				})
			}
			set := readings.Settings{SigmaRPM: j.Settings.SigmaRPM, SigmaDegrees: j.Settings.SigmaDegrees}
			if with == 1 {
				set.Listed = &list
			}
			r, err := readings.Fit(context.Background(), rs, &set)
			if err != nil {
				t.Fatal(err)
			}
			for i, q := range []struct {
				e  readings.Estimate
				is float64
			}{{r.Start, start}, {r.AllIn, allIn}} {
				bias[i] += (q.e.Value - q.is) / float64(sets)
				if q.e.Bound != readings.Interval {
					continue
				}
				of[i]++
				if q.e.Covers(q.is) {
					held[i]++
				}
				widths[with][i] += q.e.High - q.e.Low
			}
		}
		for i, name := range []string{"start", "all-in"} {
			rate, mean, width := float64(held[i])/float64(of[i]), bias[i], widths[with][i]/float64(of[i])
			widths[with][i] = width
			t.Logf("parts listed %v: %s of %.0f rpm holds in %d of %d (%.1f %%), mean error %+.0f rpm, mean width %.0f", with == 1, name, []float64{start, allIn}[i], held[i], of[i], 100*rate, mean, width)
			if with == 1 && !(rate >= 0.95-2.5*math.Sqrt(0.05*0.95/float64(of[i]))) {
				t.Errorf("%s holds in %.1f %% with the parts listed", name, 100*rate)
			}
			if with == 1 && !(math.Abs(mean) <= 80) {
				t.Errorf("%s: mean error %+.0f rpm with the parts listed", name, mean)
			}
		}
	}
	if !(widths[1][1] < 0.8*widths[0][1]) {
		t.Errorf("the list narrows all-in to %.0f rpm only, without it %.0f", widths[1][1], widths[0][1])
	}
}
