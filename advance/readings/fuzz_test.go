package readings_test

import (
	"context"
	"math"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
)

// wellFormed reports an estimate that is finite and whose ends stand in order.
func wellFormed(e readings.Estimate) bool {
	if math.IsNaN(e.Value+e.Low+e.High) || math.IsInf(e.Value+e.Low+e.High, 0) {
		return false
	}
	switch e.Bound {
	case readings.Interval:
		return e.Low <= e.Value && e.Value <= e.High
	case readings.AtMost:
		return e.Value <= e.High && e.Low == 0
	case readings.AtLeast:
		return e.Value >= e.Low && e.High == 0
	}
	return e == readings.Estimate{Bound: readings.Unknown}
}

// Whatever readings, settings and changes come in: an error, or figures that are
// finite and in order.
func FuzzFit(tf *testing.F) {
	f := fuzzing.New(tf)
	add := func(b []byte, sigmaRPM, sigmaDeg, share, static, travel, rpm, factor float64) {
		f.Add(b, sigmaRPM, sigmaDeg, share, static, travel, rpm, factor)
	}
	add([]byte{6, 10, 8, 10, 10, 10, 12, 12, 15, 17, 18, 20, 24, 31, 30, 34, 35, 34}, 25, 1, 0.03, 10, 24, 1500, 1.2)
	add([]byte{6, 10, 8, 10, 10, 10, 12, 12, 15, 17, 18, 20, 24, 31, 30, 34, 35, 34}, 25, 1.8588527393034749e-09, 0.03, 10, 24, 1500, 1.2)
	add([]byte{1, 0, 1, 255, 255, 0, 9, 9}, 1e-300, 1e-300, 0.499, math.Inf(1), 5e-324, 20000, 0.0501)
	add([]byte{7, 7, 7, 7, 7, 7, 7, 7, 250, 7}, 1000, 30, 1e-300, -180, 180, math.NaN(), 20)
	add([]byte{10, 40, 20, 30, 30, 20, 40, 10}, 5, 0.01, 0, 0, 0, 0, 0)
	f.Fuzz(func(t *testing.T, b []byte, sigmaRPM, sigmaDeg, share, static, travel, rpm, factor float64) {
		if len(b) > 60 {
			b = b[:60]
		}
		var rs []readings.Reading
		for i := 0; i+1 < len(b); i += 2 {
			r := readings.Reading{RPM: 100 * float64(b[i]), Degrees: float64(b[i+1]) - 20}
			if b[i+1]%16 == 15 {
				r.Direction = flyweights.Falling
			}
			if b[i]%32 == 31 {
				r.HoseOn, r.Vacuum = true, 4e4
			}
			rs = append(rs, r)
		}
		set := &readings.Settings{SigmaRPM: sigmaRPM, SigmaDegrees: sigmaDeg, Outliers: share}
		if static != 0 {
			set.KnownStatic = &readings.Known{Value: static, Sigma: 1}
		}
		if travel != 0 {
			set.KnownTravel = &readings.Known{Value: travel, Sigma: 0.5}
		}
		r, err := readings.Fit(context.Background(), rs, set)
		if err != nil {
			return
		}
		for _, e := range append(append([]readings.Estimate{r.Static, r.Start, r.AllIn, r.Travel, r.Total, r.Hysteresis}, r.Slopes...), r.Knees...) {
			if !wellFormed(e) {
				t.Errorf("%+v of %+v", e, rs)
			}
		}
		for _, adds := range r.HoseOn {
			if !wellFormed(adds) {
				t.Errorf("hose on: %+v", adds)
			}
		}
		if e, err := r.Band(rpm); err == nil && !wellFormed(e) {
			t.Errorf("band at %g rpm: %+v", rpm, e)
		}
		if e, err := r.Expect(readings.Change{Springs: factor, Travel: static}, []float64{rpm}); err == nil {
			if !wellFormed(e[0].Curve) || !(e[0].Low <= e[0].High) {
				t.Errorf("expected at %g rpm: %+v", rpm, e[0])
			}
		}
		for _, d := range readings.Diagnose(r, readings.Wanted{Idle: 800, Total: 34, Static: 12, AllIn: rpm, SetAtIdle: 12}) {
			if d.Text == "" || math.IsNaN(d.Size) || math.IsInf(d.Size, 0) {
				t.Errorf("finding %+v", d)
			}
		}
		for _, x := range r.Residuals {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("residuals %v", r.Residuals)
			}
		}
	})
}
