package readings_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
)

// curve hands the truth out as points.
func (c truth) curve(t *testing.T) *advance.Curve {
	t.Helper()
	var p []advance.Point
	for n := 400.0; n <= 5000; n += 50 {
		p = append(p, advance.Point{RPM: n, Degrees: c.at(n)})
	}
	out, err := advance.NewCurve(p)
	if err != nil {
		t.Fatal(err)
	}
	return &out
}

// Each scenario is an engine with one thing wrong; the finding that names it must
// be there, with its size, and the codes that would mislead must not.
func TestDiagnose(t *testing.T) {
	plain := truth{static: 10, travel: 24, start: 1080, allIn: 2850}
	wide := []float64{500, 600, 700, 800, 1000, 1200, 1500, 1800, 2100, 2400, 2700, 3000, 3500, 4000}
	low := []float64{300, 350, 400, 450, 600, 700, 850, 1000, 1200, 1500, 1800, 2100, 2400, 2700, 3000, 3500}
	scaled := func(by, turn float64) func(rs []readings.Reading) {
		return func(rs []readings.Reading) {
			for i := range rs {
				rs[i].RPM *= by
				rs[i].Degrees += turn
			}
		}
	}
	for _, s := range []struct {
		name   string
		c      truth
		at     []float64
		spoil  func(rs []readings.Reading)
		w      readings.Wanted
		code   string
		size   float64 // expected; NaN for none
		within float64 // three standard errors of what so many readings can tell, in the finding's unit
		words  string
		not    string
	}{
		{"all well", plain, wide, nil, readings.Wanted{Idle: 750, Static: 10, Total: 34, AllIn: 2850, Expected: plain.curve(t)}, "total-right", 0, 1.5, "agrees", "total-over"},
		{"idle clear", plain, wide, nil, readings.Wanted{Idle: 600}, "idle-clear", math.NaN(), 0, "static timing", "begun-at-idle"},
		{"begun at idle", truth{6, 26, 520, 2600}, low, nil, readings.Wanted{Idle: 1000}, "begun-at-idle", 26 * (1000*1000 - 520*520.0) / (2600*2600 - 520*520), 2, "mechanical", "idle-clear"},
		{"total over", truth{18, 24, 1080, 2850}, wide, nil, readings.Wanted{Total: 34}, "total-over", 8, 1.5, "can destroy", "total-under"},
		{"total under", truth{4, 24, 1080, 2850}, wide, nil, readings.Wanted{Total: 34}, "total-under", 6, 1.5, "under", "total-over"},
		{"travel over", truth{4, 30, 1080, 2850}, wide, nil, readings.Wanted{Static: 12, Total: 34, SlotRadius: 0.017}, "travel-over", 8, 2, "mm of slot to close", "total-over"},
		{"travel under", truth{14, 16, 1500, 2850}, wide, nil, readings.Wanted{Static: 12, Total: 34, SlotRadius: 0.017}, "travel-under", 6, 2, "mm of slot to open", "travel-over"},
		{"late", truth{10, 24, 1400, 3700}, append(wide, 4500), nil, readings.Wanted{AllIn: 2800}, "all-in-late", 900, 450, "late", "all-in-early"},
		{"early", truth{10, 24, 700, 1700}, wide, nil, readings.Wanted{AllIn: 2800}, "all-in-early", 1100, 300, "early", "all-in-late"},
		{"set at idle", truth{6, 26, 520, 2600}, low, nil, readings.Wanted{Idle: 850, SetAtIdle: 12, Total: 34}, "set-at-idle", 12 + 26*(1-(850*850-520*520.0)/(2600*2600-520*520)), 2, "is set at an idle", "total-over"},
		{"ring", plain, wide, scaled(1, -5), readings.Wanted{Expected: plain.curve(t)}, "all-shifted", -5, 1, "damper ring", "speed-factor"},
		{"ring by static", plain, wide, scaled(1, 5), readings.Wanted{SetStatic: &readings.Known{Value: 10, Sigma: 0.5}}, "all-shifted", 5, 1.5, "damper ring", "hose-or-mark"},
		{"hose", plain, wide, scaled(1, 14), readings.Wanted{Expected: plain.curve(t)}, "hose-or-mark", 14, 1, "vacuum hose was left on", "speed-factor"},
		{"tachometer", plain, wide, scaled(4.0/3, 0), readings.Wanted{Expected: plain.curve(t)}, "speed-factor", 4.0 / 3, 0.08, "springs with 1.", "all-shifted"},
		{"other parts", truth{16, 10, 1080, 2850}, wide, nil, readings.Wanted{Expected: plain.curve(t)}, "another-curve", math.NaN(), 0, "other parts", "all-shifted"},
		{"outlier", plain, wide, func(rs []readings.Reading) { rs[9].Degrees -= 11 }, readings.Wanted{}, "outlier", 11, 3, "reading 10 ", "scatter"},
		{"scatter", plain, wide, func(rs []readings.Reading) {
			for i := range rs {
				rs[i].Degrees += 2.5 * float64(1-2*(i%2))
			}
		}, readings.Wanted{}, "scatter", math.NaN(), 0, "times as much", "all-shifted"},
		{"stuck", truth{12, 0, 1000, 2000}, wide, nil, readings.Wanted{Idle: 800}, "level", math.NaN(), 0, "no advance at all", "begun-at-idle"},
	} {
		t.Run(s.name, func(t *testing.T) {
			rs := s.c.take(rand.New(rand.NewPCG(12, 1)), 0.6, s.at...)
			if s.spoil != nil {
				s.spoil(rs)
			}
			found := readings.Diagnose(fit(t, rs, nil), s.w)
			seen := false
			severity := -1
			for _, f := range found {
				rank := map[string]int{readings.Act: 0, readings.Check: 1, readings.Note: 2}[f.Severity]
				if rank < severity {
					t.Errorf("%s (%s) stands after a lesser finding", f.Code, f.Severity)
				}
				severity = rank
				if f.Code == s.not {
					t.Errorf("misleading finding: %s", f.Text)
				}
				if !strings.HasSuffix(f.Text, ".") || f.Evidence == "" || strings.Contains(f.Text, "NaN") {
					t.Errorf("%s: text %q, evidence %q", f.Code, f.Text, f.Evidence)
				}
				if f.Code != s.code {
					continue
				}
				seen = true
				if !strings.Contains(f.Text, s.words) {
					t.Errorf("%q does not say %q", f.Text, s.words)
				}
				if !math.IsNaN(s.size) {
					near(t, s.code+" size", f.Size, s.size, s.within)
				}
			}
			if !seen {
				t.Errorf("no finding %s among %v", s.code, found)
			}
		})
	}
}

// A curve in two stages, steep then flat, is told as one spring alone at first.
func TestDiagnoseStages(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 2))
	first, then := truth{8, 14, 800, 1400}, truth{0, 12, 1400, 3600}
	var rs []readings.Reading
	for n := 500.0; n <= 4200; n += 180 {
		rs = append(rs, readings.Reading{RPM: n + 10*rng.NormFloat64(), Degrees: first.at(n) + then.at(n) + 0.5*rng.NormFloat64()})
	}
	r := fit(t, rs, nil)
	if r.Model.Slopes != 2 || len(r.Knees) != 1 || !r.Knees[0].Covers(1400) {
		t.Fatalf("model %v, knees %v, want two slopes with a knee at 1400", r.Model, r.Knees)
	}
	for _, f := range readings.Diagnose(r, readings.Wanted{}) {
		if f.Code == "one-spring" && strings.Contains(f.Text, "two stages") {
			return
		}
	}
	t.Error("two stages not told")
}

// A change that was foretold: the distributor turned back and stiffer springs. The
// prediction holds the new curve.
func TestExpect(t *testing.T) {
	before := truth{10, 24, 1080, 2850}
	k := math.Sqrt(1.3) // speeds rise with the root of the spring moment
	after := truth{7, 20, 1080 * k, math.Sqrt(1080*1080+20.0/24*(2850*2850-1080*1080)) * k}
	r := fit(t, before.take(rand.New(rand.NewPCG(3, 1)), 0.6, speeds...), nil)
	change := readings.Change{Turn: -3, Travel: 4, Springs: 1.3}
	expected, err := r.Expect(change, []float64{700, 1500, 2000, 2500, 3500})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range expected {
		if !e.Curve.Covers(after.at(e.RPM)) || !(e.Low < e.Curve.Low && e.High > e.Curve.High) {
			t.Errorf("at %g rpm: %+v, truth %g", e.RPM, e, after.at(e.RPM))
		}
	}
	for name, c := range map[string]readings.Change{"turn": {Turn: math.NaN()}, "travel": {Travel: 500}, "springs": {Springs: -1}, "weights": {Weights: math.Inf(1)}} {
		if _, err := r.Expect(c, []float64{1000}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := r.Expect(change, []float64{-5}); err == nil {
		t.Error("negative speed: no error")
	}
}

// The next reading goes to where the open end is, and keeps its promise.
func TestNext(t *testing.T) {
	c := truth{static: 10, travel: 30, start: 900, allIn: 2600}
	r := fit(t, c.take(rand.New(rand.NewPCG(2, 7)), 0.5, 1100, 1300, 1500, 1800, 2100, 2400, 2700, 3000, 3500), nil)
	advice, err := r.Next(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(advice) == 0 || advice[0].Quantity != "static timing" || !(advice[0].RPM < 1100) || advice[0].Before != 0 {
		t.Fatalf("advice %+v, want one below 1100 rpm for the static timing", advice)
	}
	a := advice[0]
	then := fit(t, append(r.Readings, readings.Reading{RPM: a.RPM, Degrees: r.Static.Value}, readings.Reading{RPM: a.RPM - 100, Degrees: r.Static.Value}), nil)
	near(t, "width promised", then.Static.High-then.Static.Low, a.After, 0.1*a.After) // as far as draws at random tell
}

// Where the stop was not seen for sure, only a speed above the readings is
// promised to show it, and only one below them the static timing.
func TestNextLooksPastTheReadings(t *testing.T) {
	rs := []readings.Reading{
		{RPM: 400, Degrees: 5}, {RPM: 600, Degrees: 5}, {RPM: 900, Degrees: 5}, {RPM: 1200, Degrees: 9}, {RPM: 1600, Degrees: 15},
		{RPM: 2000, Degrees: 20}, {RPM: 2400, Degrees: 27},
	}
	advice, err := fit(t, rs, nil).Next(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	open := 0
	for _, a := range advice {
		if a.Before != 0 {
			continue
		}
		open++
		above := a.Quantity == "all-in" || a.Quantity == "total"
		if above && !(a.RPM > 2400) || !above && !(a.RPM < 400) {
			t.Errorf("readings from 400 to 2400 rpm, advice %+v", a)
		}
	}
	if open == 0 {
		t.Error("no advice about an open end")
	}
}

// Two readings on one level, after a climb that reaches it, bound the stop. With one
// that does not agree with another it stays open, and the text says that the stop may
// have been reached.
func TestTwoLevelReadingsBoundTheStop(t *testing.T) {
	rs := []readings.Reading{
		{RPM: 400, Degrees: 5}, {RPM: 600, Degrees: 5}, {RPM: 900, Degrees: 5}, {RPM: 1200, Degrees: 9}, {RPM: 1600, Degrees: 15},
		{RPM: 2000, Degrees: 20}, {RPM: 2400, Degrees: 27}, {RPM: 2800, Degrees: 29}, {RPM: 3200, Degrees: 29},
	}
	both := fit(t, rs, nil)
	if both.Total.Bound != readings.Interval || both.AllIn.Bound != readings.Interval || !both.Total.Covers(29) {
		t.Errorf("two level readings: total %v, all-in %v", both.Total, both.AllIn)
	}
	for n, says := range map[int]string{7: "the stop was not reached at the highest speed read, 2400 rpm crank", 8: "only the reading at the highest speed, 2800 rpm crank, lies where the stop may have been reached"} {
		last := append([]readings.Reading(nil), rs[:n]...)
		if n == 8 {
			last[7].Degrees = 31
		}
		r := fit(t, last, nil)
		if r.Total.Bound != readings.AtLeast {
			t.Errorf("%d readings: total %v, want at least", n, r.Total)
		}
		if f := find(readings.Diagnose(r, readings.Wanted{Total: 30}), "total-hidden"); !strings.Contains(f.Text, says) {
			t.Errorf("%d readings: %q, want %q", n, f.Text, says)
		}
	}
}

// Three readings that agree show the stop of an engine that its governor holds below
// 1900 rpm, and of one whose travel is half the usual; the interval allows for a second
// spring that holds the weights there.
func TestThreeLevelReadingsShowTheStop(t *testing.T) {
	for _, list := range [][][2]float64{
		{{450, 9}, {550, 8.5}, {700, 7.5}, {850, 10}, {1000, 12.5}, {1150, 17}, {1300, 21.5}, {1450, 28}, {1600, 33}, {1750, 33.5}, {1880, 33}},
		{{600, 5.3}, {850, 4.6}, {1100, 5.2}, {1350, 6}, {1600, 8.4}, {1850, 9.6}, {2100, 12.1}, {2350, 13.2}, {2600, 15.7}, {2850, 16.9}, {3100, 17.4}, {3350, 16.7}, {3600, 17.3}},
	} {
		var rs []readings.Reading
		for _, x := range list {
			rs = append(rs, readings.Reading{RPM: x[0], Degrees: x[1]})
		}
		level := list[len(list)-1][1]
		r := fit(t, rs, nil)
		if e := r.Total; e.Bound != readings.Interval || !(e.Low < level && e.High > level) || !(e.Value-level < 1) || !r.Model.AllInSeen {
			t.Errorf("level at %g deg: total %v, %v", level, e, r.Model)
		}
	}
}

// A total that nobody wished for is not called wanted.
func TestTotalOf(t *testing.T) {
	r := fit(t, truth{10, 24, 1080, 2850}.take(rand.New(rand.NewPCG(1, 1)), 0.5, speeds...), nil)
	for _, w := range []readings.Wanted{{Total: 28}, {Total: 34}, {Total: 40}} {
		w.Idle, w.SetAtIdle, w.TotalOf = 800, 10, "of the best recipe"
		told := 0
		for _, f := range readings.Diagnose(r, w) {
			if strings.Contains(f.Text, "wanted") {
				t.Errorf("%q", f.Text)
			}
			if strings.Contains(f.Text, "of the best recipe") {
				told++
			}
		}
		if told != 2 { // the total itself and that set at idle
			t.Errorf("total %g: told %d times", w.Total, told)
		}
	}
}

// Readings that fall with the speed are their own finding, however many there are;
// a level line with errors is not.
func TestFalls(t *testing.T) {
	level := 0
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 8))
		n := 5 + rng.IntN(10)
		var falling, flat []readings.Reading
		for k := range n {
			rpm := 700 + 2800*float64(k)/float64(n-1)
			falling = append(falling, readings.Reading{RPM: rpm + 25*rng.NormFloat64(), Degrees: 20 - 0.005*rpm + rng.NormFloat64()})
			flat = append(flat, readings.Reading{RPM: rpm, Degrees: 10 + rng.NormFloat64()})
		}
		f := readings.Diagnose(fit(t, falling, nil), readings.Wanted{Idle: 800, Total: 34})
		if len(f) != 1 || f[0].Code != "falls" || !(math.Abs(f[0].Size-14) <= 4) {
			t.Errorf("seed %d: %d falling readings give %+v", seed, n, f)
		}
		if find(readings.Diagnose(fit(t, flat, nil), readings.Wanted{}), "falls").Code != "" {
			level++
		}
	}
	// One set in forty is expected at most.
	if level > 5 {
		t.Errorf("%d of 100 level lines are said to fall", level)
	}
}

// No speed is proposed below the one at which the engine runs; a static reading is.
func TestNextKeepsToSpeedsThatRun(t *testing.T) {
	c := truth{static: 4, travel: 26, start: 400, allIn: 2600}
	rs := c.take(rand.New(rand.NewPCG(2, 7)), 0.5, 850, 1000, 1200, 1500, 1800, 2100, 2400, 2700, 3000, 3500)
	for _, idle := range []float64{0, 700, 850} {
		advice, err := fit(t, rs, &readings.Settings{LowestRPM: idle}).Next(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		rest := 0
		for _, a := range advice {
			switch {
			case a.RPM == 0:
				rest++
				if a.Quantity != "static timing" || !strings.Contains(a.Text, "cranking") || !(a.After > 0) {
					t.Errorf("idle %g: %+v", idle, a)
				}
			case a.RPM < math.Max(idle, 500):
				t.Errorf("idle %g: %+v", idle, a)
			}
		}
		if rest != 1 {
			t.Errorf("idle %g: %d static readings proposed, want 1 of %+v", idle, rest, advice)
		}
	}
}

// find returns the finding of a code, or none.
func find(fs []readings.Finding, code string) readings.Finding {
	for _, f := range fs {
		if f.Code == code {
			return f
		}
	}
	return readings.Finding{}
}

// Three readings in a row that lie lower than the one before them are no curve of a
// mechanism: the fall is told with its speeds. A level that scatters is not.
func TestDips(t *testing.T) {
	c := truth{static: 10, travel: 20, start: 1000, allIn: 2400}
	at := []float64{700, 900, 1200, 1500, 1800, 2100, 2500, 2800, 3100, 3500, 3900}
	for _, fall := range []float64{0, 6} {
		rs := c.take(rand.New(rand.NewPCG(4, 4)), 0.5, at...)
		for k := 8; k < len(rs); k++ {
			rs[k].Degrees -= fall
		}
		found := false
		for _, f := range readings.Diagnose(fit(t, rs, nil), readings.Wanted{}) {
			found = found || f.Code == "dip" && math.Abs(f.Size-6) <= 2
		}
		if found != (fall > 0) {
			t.Errorf("fall of %g deg: found %v", fall, found)
		}
	}
}
