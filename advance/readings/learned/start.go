package learned

import "math"

// starts are the points from which a family is fitted: speeds of start a third below
// and above what the readings suggest, and three places of take-up.
func (f *family) starts() [][]float64 {
	base := f.guess()
	var out [][]float64
	factors := []float64{0, math.Log(0.65), math.Log(1.35)}
	takeUps := []float64{0}
	for _, s := range f.slack {
		if s {
			factors, takeUps = factors[:1], []float64{-1, 0, 1}
		}
	}
	for _, factor := range factors {
		for _, t := range takeUps {
			par := append([]float64(nil), base...)
			for k, p := range f.kinds {
				if f.slack[k] {
					par[p+3] += t
				} else {
					par[p] += factor
				}
			}
			out = append(out, par)
		}
	}
	return out
}

// guess reads a first point off the readings: each run's speeds near the two ends of
// its rise, shared out to the columns.
func (f *family) guess() []float64 {
	par := make([]float64, f.size)
	for j, p := range f.prior {
		par[j] = p.mean
	}
	f.guessShared(par)
	low := make([]float64, len(f.runs))
	high := make([]float64, len(f.runs))
	for i := range f.runs {
		w := &f.runs[i]
		rise := w.highDeg - w.lowDeg
		low[i], high[i] = w.lowRPM, w.highRPM
		for j := w.from; j < w.to; j++ {
			o := &f.obs[j]
			if o.deg < w.lowDeg+0.15*rise {
				low[i] = math.Max(low[i], o.rpm)
			}
			if o.deg > w.highDeg-0.15*rise {
				high[i] = math.Min(high[i], o.rpm)
			}
		}
		high[i] = math.Max(high[i], 1.15*low[i])
	}
	rest, end := f.solve(low), f.solve(high)
	for k, p := range f.kinds {
		if !f.slack[k] {
			par[p] = math.Log(rest[k]) / 2
		}
		par[p+1] = math.Log(math.Max(end[k]-rest[k], 0.3*end[k])) / 2
	}
	return par
}

// guessShared sets travels and timings at the stop by the readings' extremes.
func (m *model) guessShared(par []float64) {
	travel := make([]float64, len(m.stops))
	top := make([]float64, len(m.clamps))
	for c := range top {
		top[c] = math.Inf(-1)
	}
	for i := range m.runs {
		w := &m.runs[i]
		travel[w.stop] = math.Max(travel[w.stop], w.highDeg-w.lowDeg)
		if m.aligned[w.clamp] == w.stop {
			top[w.clamp] = math.Max(top[w.clamp], w.highDeg)
		}
	}
	for i, name := range m.stops {
		if _, ok := m.set.Travels[name]; !ok {
			par[m.stop0+i] = math.Log(math.Min(60, math.Max(5, travel[i])))
		}
	}
	for c := range top {
		par[m.top0+c] = top[c]
		if math.IsInf(top[c], -1) { // no run was read there
			static := m.statics[c].mean
			if from := m.turned[c]; from >= 0 {
				static += m.static(from, par)
			}
			par[m.top0+c] = static + m.travel(m.aligned[c], par)
		}
	}
}

// solve shares the squared speeds of the runs out to the columns: those that stand
// alone first, then what a mixed run leaves to the one that is not yet known.
func (f *family) solve(speed []float64) []float64 {
	out := make([]float64, len(f.columns))
	for range len(f.columns) + 1 {
		for i, w := range f.runs {
			total := float64(f.places) * speed[i] * speed[i]
			unknown, n, open := -1, 0.0, 0
			for k, c := range w.counts {
				switch {
				case c == 0:
				case out[k] > 0:
					total -= c * out[k]
				default:
					unknown, n = k, c
					open++
				}
			}
			if open == 1 {
				out[unknown] = math.Max(total/n, 0.2*speed[i]*speed[i])
			}
		}
	}
	for i, w := range f.runs { // what no run shows alone is shared evenly
		for k, c := range w.counts {
			if c > 0 && out[k] == 0 {
				out[k] = speed[i] * speed[i]
			}
		}
	}
	return out
}
