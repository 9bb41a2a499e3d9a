package springs_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.org/bobweight/springs"

	"example.org/bobweight/springs/valid"
)

// exact readings of a law at given lengths, with standard deviations.
func readings(s springs.Spring, sigmaLength, sigmaLoad float64, lengths ...float64) []springs.Reading {
	var rs []springs.Reading
	for _, l := range lengths {
		rs = append(rs, springs.Reading{Length: l, Load: s.Tension(l), SigmaLength: sigmaLength, SigmaLoad: sigmaLoad})
	}
	return rs
}

// Exact readings give back the law, whatever the weights, and leave nothing over.
func TestMeasureRoundTrip(t *testing.T) {
	law := springs.Spring{Rate: 1270, FreeLength: 0.0187, InitialTension: 1.73}
	for _, sigma := range []struct{ length, load float64 }{{0, 0.05}, {1e-4, 0}, {1e-4, 0.05}} {
		m, err := springs.Measure(readings(law, sigma.length, sigma.load, 0.0195, 0.0213, 0.0226, 0.0251), law.FreeLength, 5e-5)
		if err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinRel(m.Spring.Rate, law.Rate, 1e-11) || !scalar.EqualWithinRel(m.Spring.InitialTension, law.InitialTension, 1e-10) {
			t.Errorf("sigma %+v: %+v, want %+v", sigma, m.Spring, law)
		}
		if !(m.ChiSquared < 1e-15) || m.DegreesOfFreedom != 2 || !scalar.EqualWithinAbs(m.PValue, 1, 1e-12) {
			t.Errorf("sigma %+v: chi squared %v with %d left, chance %v", sigma, m.ChiSquared, m.DegreesOfFreedom, m.PValue)
		}
	}
	// Play: the line meets the free length below zero load.
	slotted := springs.Spring{Rate: 1270, FreeLength: 0.0187, Slack: 0.0006}
	m, err := springs.Measure(readings(slotted, 0, 0.05, 0.0201, 0.0226), slotted.FreeLength, 5e-5)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinAbs(m.Spring.Slack, 0.0006, 1e-13) || m.Spring.InitialTension != 0 || m.PValue != 1 {
		t.Errorf("with play: %+v", m)
	}
}

// The standard formulas of unweighted regression, by another route: the design
// matrix solved by QR, covariance sigma^2 (X'X)^-1.
func TestMeasureAgainstMatrix(t *testing.T) {
	lengths := []float64{0.0202, 0.0207, 0.0219, 0.0235, 0.0262}
	loads := []float64{3.71, 4.20, 5.93, 7.75, 11.31}
	const sigma, free, sigmaFree = 0.07, 0.0187, 1e-4
	var rs []springs.Reading
	x := mat.NewDense(len(lengths), 2, nil)
	y := mat.NewVecDense(len(lengths), loads)
	for i := range lengths {
		rs = append(rs, springs.Reading{Length: lengths[i], Load: loads[i], SigmaLoad: sigma})
		x.SetRow(i, []float64{1, lengths[i] - free})
	}
	var beta mat.VecDense
	if err := beta.SolveVec(x, y); err != nil {
		t.Fatal(err)
	}
	var xtx, inverse mat.Dense
	xtx.Mul(x.T(), x)
	if err := inverse.Inverse(&xtx); err != nil {
		t.Fatal(err)
	}
	m, err := springs.Measure(rs, free, sigmaFree)
	if err != nil {
		t.Fatal(err)
	}
	k := beta.AtVec(1)
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"rate", m.Spring.Rate, k},
		{"initial tension", m.Spring.InitialTension, beta.AtVec(0)},
		{"variance of rate", m.Covariance.At(0, 0), sigma * sigma * inverse.At(1, 1)},
		{"covariance", m.Covariance.At(0, 1), sigma * sigma * inverse.At(0, 1)},
		{"variance of initial tension", m.Covariance.At(1, 1), sigma*sigma*inverse.At(0, 0) + k*k*sigmaFree*sigmaFree},
		{"covariance with free length", m.Covariance.At(1, 2), k * sigmaFree * sigmaFree},
		{"variance of free length", m.Covariance.At(2, 2), sigmaFree * sigmaFree},
	} {
		if !scalar.EqualWithinRel(v.got, v.want, 1e-9) {
			t.Errorf("%s: %v, by matrices %v", v.name, v.got, v.want)
		}
	}
}

// Pearson's data with York's weights, the standard test of a line with errors in
// both coordinates: slope 0.48053340745 and intercept 5.47991022403 (results
// after Williamson in J. Ogren and J. R. Norton, J. Chem. Educ. 69, 1992), taken
// from x = 10 down so that the line rises.
func TestMeasurePublishedLine(t *testing.T) {
	var rs []springs.Reading
	for _, p := range []struct{ x, y, wx, wy float64 }{
		{0, 5.9, 1000, 1}, {0.9, 5.4, 1000, 1.8}, {1.8, 4.4, 500, 4}, {2.6, 4.6, 800, 8}, {3.3, 3.5, 200, 20},
		{4.4, 3.7, 80, 20}, {5.2, 2.8, 60, 70}, {6.1, 2.8, 20, 70}, {6.5, 2.4, 1.8, 100}, {7.4, 1.5, 1, 500},
	} {
		rs = append(rs, springs.Reading{Length: 10 - p.x, Load: p.y, SigmaLength: 1 / math.Sqrt(p.wx), SigmaLoad: 1 / math.Sqrt(p.wy)})
	}
	m, err := springs.Measure(rs, 2, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinAbs(m.Spring.Rate, 0.48053340745, 5e-12) || !scalar.EqualWithinAbs(m.Spring.Tension(10), 5.47991022403, 5e-12) {
		t.Errorf("slope %.12g, intercept %.12g, published 0.48053340745 and 5.47991022403", m.Spring.Rate, m.Spring.Tension(10))
	}
}

// Readings with known scatter, many times over: the covariance is the scatter of
// the results, and the chance is uniform.
func TestMeasureCovarianceIsTrue(t *testing.T) {
	law := springs.Spring{Rate: 980, FreeLength: 0.0187, InitialTension: 1.9}
	const sigmaLength, sigmaLoad, sigmaFree, trials = 6e-5, 0.04, 8e-5, 4000
	rng := rand.New(rand.NewPCG(5, 6))
	rates, tensions := make([]float64, trials), make([]float64, trials)
	var low int
	var last *springs.Measured
	for i := range trials {
		rs := readings(law, sigmaLength, sigmaLoad, 0.0198, 0.0211, 0.0222, 0.0241, 0.0259)
		for j := range rs {
			rs[j].Length += sigmaLength * rng.NormFloat64()
			rs[j].Load += sigmaLoad * rng.NormFloat64()
		}
		m, err := springs.Measure(rs, law.FreeLength+sigmaFree*rng.NormFloat64(), sigmaFree)
		if err != nil {
			t.Fatal(err)
		}
		rates[i], tensions[i] = m.Spring.Rate, m.Spring.InitialTension
		if m.PValue < 0.2 {
			low++
		}
		last = m
	}
	// Four standard errors of a standard deviation from 4000 trials are 4.5 %,
	// and the covariance at the fitted rate moves by 2 %.
	if got, want := stat.StdDev(rates, nil), math.Sqrt(last.Covariance.At(0, 0)); !scalar.EqualWithinRel(got, want, 0.065) {
		t.Errorf("rates scatter by %v N/m, covariance says %v", got, want)
	}
	if got, want := stat.StdDev(tensions, nil), math.Sqrt(last.Covariance.At(1, 1)); !scalar.EqualWithinRel(got, want, 0.065) {
		t.Errorf("initial tensions scatter by %v N, covariance says %v", got, want)
	}
	corr := last.Covariance.At(0, 1) / math.Sqrt(last.Covariance.At(0, 0)*last.Covariance.At(1, 1))
	if got := stat.Correlation(rates, tensions, nil); !scalar.EqualWithinAbs(got, corr, 0.06) {
		t.Errorf("correlation %v, covariance says %v", got, corr)
	}
	// Binomial, four standard errors: 0.2 +- 0.026.
	if got := float64(low) / trials; !scalar.EqualWithinAbs(got, 0.2, 0.026) {
		t.Errorf("chance below 0.2 in %v of the trials", got)
	}
}

// A coil still closed at the shortest reading shows in the chance.
func TestMeasureNoticesClosedCoils(t *testing.T) {
	law := springs.Spring{Rate: 980, FreeLength: 0.0187, InitialTension: 1.9}
	rs := readings(law, 2e-5, 0.02, 0.0191, 0.0211, 0.0222, 0.0241, 0.0259)
	rs[0].Load = 1.1
	m, err := springs.Measure(rs, law.FreeLength, 5e-5)
	if err != nil {
		t.Fatal(err)
	}
	if !(m.PValue < 0.01) {
		t.Errorf("chance %v for a reading 1.2 N below the line", m.PValue)
	}
}

// whole returns readings of a law from closed coils up: a load below the initial
// tension leaves the length at the free length.
func whole(law springs.Spring, sigmaLength, sigmaLoad float64, loads ...float64) []springs.Reading {
	var rs []springs.Reading
	for _, load := range loads {
		length := law.FreeLength + max(0, load-law.InitialTension)/law.Rate
		rs = append(rs, springs.Reading{Length: length, Load: load, SigmaLength: sigmaLength, SigmaLoad: sigmaLoad})
	}
	return rs
}

func TestMeasurePiecewise(t *testing.T) {
	law := springs.Spring{Rate: 1130, FreeLength: 0.0192, InitialTension: 2.15}
	exact := whole(law, 3e-5, 0.02, 6.9, 0.5, 1.8, 2.6, 3.9, 5.2) // in no order
	m, err := springs.MeasurePiecewise(exact)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"rate", m.Spring.Rate, law.Rate},
		{"free length", m.Spring.FreeLength, law.FreeLength},
		{"initial tension", m.Spring.InitialTension, law.InitialTension},
	} {
		if !scalar.EqualWithinRel(v.got, v.want, 1e-10) {
			t.Errorf("%s: %v, want %v", v.name, v.got, v.want)
		}
	}
	if m.DegreesOfFreedom != 3 || len(m.Residuals) != 6 || !scalar.EqualWithinAbs(m.PValue, 1, 1e-12) {
		t.Errorf("%d left, residuals %v, chance %v", m.DegreesOfFreedom, m.Residuals, m.PValue)
	}
	// Two closed readings: the free length is known twice as well in variance.
	if want := 3e-5 * 3e-5 / 2; !scalar.EqualWithinRel(m.Covariance.At(2, 2), want, 1e-12) {
		t.Errorf("variance of the free length %v m^2, want %v m^2", m.Covariance.At(2, 2), want)
	}

	// With noise the results scatter as the covariance says, wherever the split
	// falls.
	rng := rand.New(rand.NewPCG(7, 8))
	const trials = 1500
	frees, tensions := make([]float64, trials), make([]float64, trials)
	for i := range trials {
		rs := whole(law, 3e-5, 0.02, 0.5, 1.2, 1.8, 2.6, 3.9, 5.2, 6.9)
		for j := range rs {
			rs[j].Length += rs[j].SigmaLength * rng.NormFloat64()
			rs[j].Load += rs[j].SigmaLoad * rng.NormFloat64()
		}
		if m, err = springs.MeasurePiecewise(rs); err != nil {
			t.Fatal(err)
		}
		frees[i], tensions[i] = m.Spring.FreeLength, m.Spring.InitialTension
	}
	for _, v := range []struct {
		name      string
		xs        []float64
		want, std float64
	}{
		{"free length", frees, law.FreeLength, math.Sqrt(m.Covariance.At(2, 2))},
		{"initial tension", tensions, law.InitialTension, math.Sqrt(m.Covariance.At(1, 1))},
	} {
		mean, std := stat.MeanStdDev(v.xs, nil)
		// Four standard errors of mean and standard deviation of 1500 trials.
		if !scalar.EqualWithinAbs(mean, v.want, 4*v.std/math.Sqrt(trials)) || !scalar.EqualWithinRel(std, v.std, 0.08) {
			t.Errorf("%s: %v +- %v, want %v +- %v", v.name, mean, std, v.want, v.std)
		}
	}
}

func TestMeasurePiecewiseRefuses(t *testing.T) {
	law := springs.Spring{Rate: 1130, FreeLength: 0.0192, InitialTension: 2.15}
	for name, rs := range map[string][]springs.Reading{
		"two readings":    whole(law, 3e-5, 0.02, 1, 4),
		"no length sigma": whole(law, 0, 0.02, 1, 4, 5),
		"load not a sum":  whole(law, 3e-5, 0.02, 1, math.NaN(), 5),
		"all closed":      whole(law, 3e-5, 0.02, 0.5, 1, 1.5, 2),
		"lengths that sink": {
			{Length: 0.03, Load: 1, SigmaLength: 1e-5}, {Length: 0.025, Load: 2, SigmaLength: 1e-5}, {Length: 0.02, Load: 3, SigmaLength: 1e-5},
		},
	} {
		if m, err := springs.MeasurePiecewise(rs); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %+v, %v", name, m, err)
		}
	}
}

func TestRefusedMeasurements(t *testing.T) {
	nan := math.NaN()
	good := readings(springs.Spring{Rate: 1000, FreeLength: 0.02, InitialTension: 1}, 1e-5, 0.05, 0.022, 0.024, 0.026)
	for name, change := range map[string]func(rs []springs.Reading, free *float64) []springs.Reading{
		"one reading":       func(rs []springs.Reading, _ *float64) []springs.Reading { return rs[:1] },
		"no readings":       func(rs []springs.Reading, _ *float64) []springs.Reading { return nil },
		"one length":        func(rs []springs.Reading, _ *float64) []springs.Reading { return []springs.Reading{rs[0], rs[0]} },
		"length not a sum":  func(rs []springs.Reading, _ *float64) []springs.Reading { rs[1].Length = nan; return rs },
		"load not a sum":    func(rs []springs.Reading, _ *float64) []springs.Reading { rs[1].Load = nan; return rs },
		"shorter than free": func(rs []springs.Reading, _ *float64) []springs.Reading { rs[1].Length = 0.01; return rs },
		"no deviations": func(rs []springs.Reading, _ *float64) []springs.Reading {
			rs[1].SigmaLoad, rs[1].SigmaLength = 0, 0
			return rs
		},
		"negative deviation": func(rs []springs.Reading, _ *float64) []springs.Reading { rs[1].SigmaLoad = -1; return rs },
		"no free length":     func(rs []springs.Reading, free *float64) []springs.Reading { *free = 0; return rs },
		"falling loads": func(rs []springs.Reading, _ *float64) []springs.Reading {
			rs[0].Load, rs[2].Load = rs[2].Load, rs[0].Load
			return rs
		},
		"level loads, lengths only uncertain": func(rs []springs.Reading, _ *float64) []springs.Reading {
			for i := range rs {
				rs[i].Load, rs[i].SigmaLoad = 2, 0
			}
			return rs
		},
	} {
		free := 0.02
		rs := change(append([]springs.Reading(nil), good...), &free)
		if _, err := springs.Measure(rs, free, 1e-4); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
	if _, err := springs.Measure(good, 0.02, -1); !errors.Is(err, valid.ErrRange) {
		t.Errorf("negative deviation of the free length gave %v", err)
	}
}

// A closed load above the initial tension is a contradiction only beyond three
// standard deviations of that tension, the scatter of the line's foot included:
// that of the rate or of the free length would let anything pass, or nothing.
func TestPiecewiseJudgesByTheFoot(t *testing.T) {
	read := func(sigmaLength, sigmaLoad float64, rs ...[2]float64) []springs.Reading {
		var out []springs.Reading
		for _, r := range rs {
			out = append(out, springs.Reading{Length: r[0] / 1e3, Load: r[1], SigmaLength: sigmaLength, SigmaLoad: sigmaLoad})
		}
		return out
	}
	// 1 N/mm from 20 mm and 2 N: a load of 2.9 N with the coils closed is wrong by
	// many deviations, and no split makes a spring of it.
	sharp := read(1e-5, 0.01, [2]float64{20, 1}, [2]float64{20, 2.9}, [2]float64{21, 3}, [2]float64{22, 4}, [2]float64{23, 5})
	if m, err := springs.MeasurePiecewise(sharp); err == nil && m.PValue > 1e-6 {
		t.Errorf("a closed load 0.9 N too high passes with p-value %v: %+v", m.PValue, m.Spring)
	}
	// With lengths good to 0.3 mm the foot is known to 0.3 N or so: half a newton
	// above it is no contradiction, whatever the balance's own error.
	blunt := read(3e-4, 0.01, [2]float64{20, 1}, [2]float64{20, 2.5}, [2]float64{21, 3}, [2]float64{22, 4}, [2]float64{23, 5})
	m, err := springs.MeasurePiecewise(blunt)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(m.Spring.InitialTension-2) < 0.05) || !(math.Abs(m.Spring.FreeLength-0.020) < 1e-9) {
		t.Errorf("two closed readings give %+v", m.Spring)
	}
}
