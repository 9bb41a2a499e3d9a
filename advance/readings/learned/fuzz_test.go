package learned_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/springs/fuzzing"
)

// world is everything that the fits are asked with.
type world struct {
	Runs     []learned.Run
	Settings learned.Settings
	Travel   readings.Known
	Static   readings.Known
	Mass     learned.Mass
	Spring   learned.ListedSpring
	Weights  learned.ListedWeights
	Listed   learned.Listed
	RPM      float64
}

// Whatever two numbers hold and whatever the parts are called: finite figures or an
// error, and nothing panics. Most inputs end within the checks, or soon after, where
// the context does.
func FuzzLearned(tf *testing.F) {
	f := fuzzing.New(tf)
	truth := simulated.Draw(rand.New(rand.NewPCG(3, 4)), false, false)
	ordinary := func() *world {
		w := &world{
			Runs: twoRuns(), Travel: readings.Known{Value: 27, Sigma: 1}, Static: readings.Known{Value: 10, Sigma: 1}, Mass: learned.Mass{Value: 40, Sigma: 1},
			Spring:  learned.ListedSpring{Law: truth.Laws["a"], RateSigma: 0.05, LengthSigma: 3e-4, TensionSigma: 0.1},
			Weights: learned.ListedWeights{Weights: truth.Mechanism.Weights, MassSigma: 0.02},
			Listed:  learned.Listed{Mechanism: truth.Mechanism, Drive: 2}, RPM: 2000,
		}
		w.Settings = learned.Settings{SigmaRPM: 25, SigmaDegrees: 1, SigmaTachometer: 0.02, Draws: 100}
		for i := range w.Runs {
			w.Runs[i].Readings = append([]readings.Reading(nil), w.Runs[i].Readings[:4+i]...)
			w.Runs[i].Clamp, w.Runs[i].Stop = "c", "s"
		}
		return w
	}
	n := len(fuzzing.Floats(ordinary()))
	for i := range n / 3 {
		if testing.Short() && i%4 != 0 {
			continue
		}
		f.Add(uint16(3*i+1), []float64{math.NaN(), -1, 1e300, 5e-324, math.Inf(1), 0}[i%6], uint16(7*i), 1e-9)
	}
	// To the end, where only the speed that is asked for is another.
	f.Add(uint16(0), 790.0, uint16(n-1), math.Inf(1))
	f.Add(uint16(0), 790.0, uint16(2*n-1), 1500.0)
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinary()
		all := fuzzing.Floats(w)
		all[int(i)%n].SetFloat(x)
		all[int(j)%n].SetFloat(y)
		w.Settings.Travels = map[string]readings.Known{"s": w.Travel}
		w.Settings.Statics = map[string]readings.Known{"c": w.Static}
		w.Settings.Masses = map[string]learned.Mass{"": w.Mass}
		w.Listed.Springs = map[string]learned.ListedSpring{"soft": w.Spring, "stiff": w.Spring}
		w.Listed.Weights = map[string]learned.ListedWeights{"": w.Weights}
		if i%3 == 0 {
			w.Runs = w.Runs[:1]
		}
		// Few of many inputs get to the end.
		patience := int64(300)
		if i%64 == 0 {
			patience = 1 << 40
		}
		fit := func() (*learned.Result, error) { return learned.Fit(fuzzing.Steps(patience), w.Runs, &w.Settings) }
		if j%2 == 0 {
			fit = func() (*learned.Result, error) {
				return learned.FitListed(fuzzing.Steps(patience), w.Runs, w.Listed, &w.Settings)
			}
		}
		r, err := fit()
		fuzzing.Finite(t, "result", err, r)
		if err != nil {
			return
		}
		p, err := r.Predict(w.Runs[len(w.Runs)-1].Combination)
		fuzzing.Finite(t, "prediction", err, p)
		if err == nil {
			e, err := p.Advance(w.RPM)
			fuzzing.Finite(t, "advance", err, e)
			e, err = p.BelowStop(w.RPM)
			fuzzing.Finite(t, "below stop", err, e)
		}
		v, err := r.Judge(fuzzing.Steps(patience), w.Runs[0])
		fuzzing.Finite(t, "verdict", err, v)
	})
}
