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
		if !(m.ChiSquared < 1e-15) || m.Freedom != 2 || !scalar.EqualWithinAbs(m.Chance, 1, 1e-12) {
			t.Errorf("sigma %+v: chi squared %v with %d left, chance %v", sigma, m.ChiSquared, m.Freedom, m.Chance)
		}
	}
	// Play: the line meets the free length below zero load.
	slotted := springs.Spring{Rate: 1270, FreeLength: 0.0187, Slack: 0.0006}
	m, err := springs.Measure(readings(slotted, 0, 0.05, 0.0201, 0.0226), slotted.FreeLength, 5e-5)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinAbs(m.Spring.Slack, 0.0006, 1e-13) || m.Spring.InitialTension != 0 || m.Chance != 1 {
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
		if m.Chance < 0.2 {
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
	if !(m.Chance < 0.01) {
		t.Errorf("chance %v for a reading 1.2 N below the line", m.Chance)
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
		if _, err := springs.Measure(rs, free, 1e-4); !errors.Is(err, springs.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
	if _, err := springs.Measure(good, 0.02, -1); !errors.Is(err, springs.ErrRange) {
		t.Errorf("negative deviation of the free length gave %v", err)
	}
}
