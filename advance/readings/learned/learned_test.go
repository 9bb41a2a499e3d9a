package learned_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

func fit(t *testing.T, runs []learned.Run, s *learned.Settings) *learned.Result {
	t.Helper()
	r, err := learned.Fit(context.Background(), runs, s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The law itself, on exact curves: a mixed pair lies half-way between the equal pairs
// in squared speed at equal angle, slack, drag and friction included; the mean of
// their advances at equal speed does not.
func TestHalfWay(t *testing.T) {
	var naive []float64
	for i := range 40 {
		d := simulated.Draw(rand.New(rand.NewPCG(3, uint64(i))), i%2 == 0, false)
		aa, ab, bb := d.Curve(simulated.Parts("aa", "")), d.Curve(simulated.Parts("ab", "")), d.Curve(simulated.Parts("bb", ""))
		speed := func(c *flyweights.Curve, theta float64) float64 { // by bisection
			lo, hi := 0.0, 2000.0
			for range 100 {
				if mid := (lo + hi) / 2; c.Theta(mid, flyweights.Rising) < theta {
					lo = mid
				} else {
					hi = mid
				}
			}
			return lo * lo
		}
		for k := 1; k < 10; k++ {
			theta := ab.Travel() * float64(k) / 10
			half := (speed(aa, theta) + speed(bb, theta)) / 2
			if got := speed(ab, theta); !(math.Abs(got/half-1) <= 1e-6) {
				t.Errorf("distributor %d: omega^2 of ab %g, half-way %g", i, got, half)
			}
		}
		worst := 0.0
		for _, rpm := range []float64{1000, 1500, 2000, 2500, 3000, 3500} {
			mean := (d.Advance(simulated.Parts("aa", ""), rpm) + d.Advance(simulated.Parts("bb", ""), rpm)) / 2
			worst = math.Max(worst, math.Abs(mean-d.Advance(simulated.Parts("ab", ""), rpm)))
		}
		naive = append(naive, worst)
	}
	slices.Sort(naive)
	t.Logf("mean of advances at equal speed: median error %.1f deg, nine of ten within %.1f", naive[20], naive[36])
	if !(naive[20] > 1) {
		t.Errorf("the mean of advances at equal speed is off by %.2f deg in the median, want a trap", naive[20])
	}
}

// The same runs always give the same result, whatever the number of processors.
func TestDeterministic(t *testing.T) {
	runs := twoRuns()
	value := func() readings.Estimate {
		p, err := fit(t, runs, nil).Predict(learned.Combination{Springs: []string{"soft", "stiff"}})
		if err != nil {
			t.Fatal(err)
		}
		e, err := p.Advance(2200)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	first := value()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if again := value(); again != first {
		t.Errorf("%v on one processor, %v on all", again, first)
	}
}

// What is seen of a spring stands, whatever the readings say; and where they say little, no
// run is taken to have been read with the weights hanging loose.
func TestSlackSeen(t *testing.T) {
	for i := range uint64(4) {
		rng := rand.New(rand.NewPCG(9, i))
		d := simulated.Draw(rng, i%2 == 1, true)
		runs := []learned.Run{d.Read(rng, simulated.Parts("aa", ""), simulated.Usual, ""), d.Read(rng, simulated.Parts("ab", ""), simulated.Usual, "")}
		settings := learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7}
		if r := fit(t, runs, &settings); !(r.Slack["a"] < 0.05) {
			t.Errorf("distributor %d: spring a of the pair hangs loose with a probability of %.2f, want less than a run in twenty", i, r.Slack["a"])
		}
		for _, b := range []bool{false, true} {
			settings.Slack = map[string]bool{"a": false, "b": b, "elsewhere": true}
			want := 0.0
			if b {
				want = 1
			}
			if r := fit(t, runs, &settings); r.Slack["a"] != 0 || r.Slack["b"] != want {
				t.Errorf("distributor %d: seen to be loose: b %t, learned %v", i, b, r.Slack)
			}
		}
	}
}

// Readings that begin above the start leave static timing and start in the dark, not
// the degrees below the stop; a slot closed in one run leaves its springs unknown
// beyond.
func TestEndsUnseen(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	d := simulated.Draw(rng, false, false)
	aa, bb := simulated.Parts("aa", ""), simulated.Parts("bb", "")
	late := simulated.Usual
	curve := d.Curve(aa)
	late.Low = 60 / math.Pi * (curve.Start(flyweights.Rising) + 0.35*(curve.AllIn(flyweights.Rising)-curve.Start(flyweights.Rising)))
	r := fit(t, []learned.Run{d.Read(rng, aa, late, "")}, &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7})
	p, err := r.Predict(aa)
	if err != nil {
		t.Fatal(err)
	}
	if !p.FromStop || len(p.Notes) == 0 || !strings.Contains(p.Notes[0], "below the stop") {
		t.Errorf("start unseen: from stop %t, notes %q", p.FromStop, p.Notes)
	}
	up, errUp := p.Advance(2500)
	down, errDown := p.BelowStop(2500)
	if errUp != nil || errDown != nil || !(down.High-down.Low < up.High-up.Low) {
		t.Errorf("from the stop %v, from rest %v", down, up)
	}

	// Spring b only with a closed slot, which the simulation does by dropping what lies
	// beyond: readings of the whole travel stand at the closed stop.
	open, closed := d.Read(rng, aa, simulated.Usual, "clamp"), d.Read(rng, bb, simulated.Usual, "clamp")
	closed.Stop = "closed"
	cut := d.Static + 0.6*advance.FourStroke.CrankDegrees(curve.Travel())
	for i := range closed.Readings {
		closed.Readings[i].Degrees = math.Min(closed.Readings[i].Degrees, cut)
	}
	r = fit(t, []learned.Run{open, closed}, &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7})
	p, err = r.Predict(bb)
	if err != nil {
		t.Fatal(err)
	}
	travel := advance.FourStroke.CrankDegrees(curve.Travel())
	if !(math.Abs(p.To-0.6*travel) < 1.5) || !p.Travel.Covers(travel) {
		t.Errorf("known to %.1f of %v deg, want %.1f of %.1f", p.To, p.Travel, 0.6*travel, travel)
	}
	if want := "Beyond it the curve is continued"; !slices.ContainsFunc(p.Notes, func(s string) bool { return strings.Contains(s, want) }) {
		t.Errorf("notes %q do not say %q", p.Notes, want)
	}
}

// A clamp that was not touched ties the static timing of two runs; a distributor
// machine's zero is its own, its travel and speeds are not; falling readings and a
// second tachometer have unknowns of their own.
func TestWhatRunsShare(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	d := simulated.Draw(rng, true, false)
	aa, bb, aav := simulated.Parts("aa", ""), simulated.Parts("bb", ""), simulated.Parts("aa", "v")
	one, two, machine := d.Read(rng, aa, simulated.Usual, "c"), d.Read(rng, bb, simulated.Usual, "c"), d.Read(rng, aav, simulated.Usual, "c")
	machine.Bench = true
	for i := range machine.Readings {
		machine.Readings[i].Degrees -= 31
	}
	two.Tachometer = "other"
	for i := range two.Readings {
		two.Readings[i].RPM *= 1.03
	}
	travel := advance.FourStroke.CrankDegrees(d.Curve(aa).Travel())
	set := &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7, Travels: map[string]readings.Known{"": {Value: travel + 0.3, Sigma: 0.5}}}
	r := fit(t, []learned.Run{one, two, machine}, set)
	if len(r.Statics) != 3 || r.Statics[0] != r.Statics[1] || r.Statics[1] == r.Statics[2] {
		t.Fatalf("static timings %+v, want runs 1 and 2 in one and the machine by itself", r.Statics)
	}
	if e := r.Statics[1]; !(math.Abs(e.Value-d.Static) < 1) {
		t.Errorf("static timing %v, want %.1f", e, d.Static)
	}
	if e := r.Statics[2]; !(math.Abs(e.Value-(d.Static-31)) < 1.5) {
		t.Errorf("zero of the machine %v, want %.1f", e, d.Static-31)
	}
	if e := r.Travels[""]; !(math.Abs(e.Value-travel) < 1) {
		t.Errorf("travel %v, want %.1f", e, travel)
	}
	if e := r.Factors["v"]; !(math.Abs(e.Value/d.Heavier-1) < 0.1) || !(e.High > e.Low) {
		t.Errorf("weights v act %v, want %.3f", e, d.Heavier)
	}
}

// A turn of the distributor that was measured ties a run that shows neither end to the
// one before; without it the run floats.
func TestTurnedClamp(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 7))
	d := simulated.Draw(rng, true, false)
	aa, bb := simulated.Parts("aa", ""), simulated.Parts("bb", "")
	curve := d.Curve(bb)
	start, allIn := 60/math.Pi*curve.Start(flyweights.Rising), 60/math.Pi*curve.AllIn(flyweights.Rising)
	part := simulated.Usual
	part.Low, part.High, part.Readings = start+0.3*(allIn-start), start+0.7*(allIn-start), 8
	one, two := d.Read(rng, aa, simulated.Usual, "first"), d.Read(rng, bb, part, "first")
	const by = 5
	for i := range two.Readings {
		two.Readings[i].Degrees += by
	}
	set := &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7}
	two.Clamp = "second"
	free := fit(t, []learned.Run{one, two}, set)
	two.From, two.Turned = "first", readings.Known{Value: by, Sigma: 0.5}
	tied := fit(t, []learned.Run{one, two}, set)
	if got := tied.Statics[1].Value - tied.Statics[0].Value; !(math.Abs(got-by) < 1.2) {
		t.Errorf("turned by %.2f deg, want %d", got, by)
	}
	width := func(r *learned.Result) float64 { return r.Statics[1].High - r.Statics[1].Low }
	if !tied.Statics[1].Covers(d.Static+by) || !(width(tied) < 0.6*width(free)) {
		t.Errorf("static timing %v, free %v, want %.1f", tied.Statics[1], free.Statics[1], d.Static+by)
	}
	wrong := d.Read(rng, bb, simulated.Usual, "first") // both ends seen, not turned as noted
	wrong.Clamp, wrong.From, wrong.Turned = "second", "first", readings.Known{Value: 6, Sigma: 0.5}
	v, err := fit(t, []learned.Run{one, d.Read(rng, bb, simulated.Usual, "first")}, set).Judge(context.Background(), wrong)
	if err != nil {
		t.Fatal(err)
	}
	if v.Agrees || len(v.Suspects) != 1 || v.Suspects[0].Part != "clamp" || !(math.Abs(v.Suspects[0].Factor.Value-d.Static) < 1.5) {
		t.Errorf("turned by other than noted: %+v", v)
	}
}

// Whatever is read, what comes out is numbers in order or an error.
func TestHostileReadings(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	times := 12
	if testing.Short() {
		times = 4 // each kind once
	}
	for k := range times {
		runs := twoRuns()
		for i := range runs {
			for j := range runs[i].Readings {
				x := &runs[i].Readings[j]
				switch k % 4 {
				case 0: // nothing but noise
					x.Degrees = 180 * (2*rng.Float64() - 1)
				case 1: // falls with speed
					x.Degrees = -x.Degrees
				case 2: // flat
					x.Degrees = 10
				case 3: // wild errors and directions
					x.SigmaRPM, x.SigmaDegrees = 20000*rng.Float64(), 180*rng.Float64()
					x.Direction = flyweights.Direction(rng.IntN(2))
				}
			}
		}
		r, err := learned.Fit(context.Background(), runs, nil)
		if err != nil {
			continue
		}
		best, _, err := r.ForSearch([]string{"soft", "stiff"}, []string{""}, 2)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range best.Springs {
			for _, v := range s[0] {
				if !(v >= 0) || math.IsInf(v, 0) {
					t.Fatalf("case %d: share %v", k, v)
				}
			}
		}
		p, err := r.Predict(learned.Combination{Springs: []string{"soft", "stiff"}})
		if err != nil {
			continue
		}
		for _, rpm := range []float64{0, 900, 20000} {
			e, err := p.Advance(rpm)
			if err != nil || !(e.Low <= e.Value && e.Value <= e.High) || math.IsInf(e.Low, 0) || math.IsInf(e.High, 0) {
				t.Errorf("case %d at %g rpm: %v, %v", k, rpm, e, err)
			}
		}
	}
}

// A run whose parts are noted wrongly is named: ab was fitted where bb is noted.
func TestOddRun(t *testing.T) {
	found, quiet := 0, 0
	n := 8
	if testing.Short() {
		n = 2
	}
	for i := range n {
		rng := rand.New(rand.NewPCG(12, uint64(i)))
		d := simulated.Draw(rng, i%2 == 0, false)
		aa, ab, bb, aav := simulated.Parts("aa", ""), simulated.Parts("ab", ""), simulated.Parts("bb", ""), simulated.Parts("aa", "v")
		set := &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7}
		var runs []learned.Run
		for _, c := range []learned.Combination{aa, ab, bb, aav} {
			runs = append(runs, d.Read(rng, c, simulated.Usual, ""))
		}
		right := fit(t, runs, set)
		if len(right.Suspects) == 0 {
			quiet++
		}
		again := d.Off("b", 2.5).Read(rng, bb, simulated.Usual, "") // another spring, noted as b
		wrong := fit(t, append(runs, again), set)
		for _, s := range wrong.Suspects {
			if strings.HasPrefix(s.Part, "run 5") && len(wrong.Contradicts) > 0 {
				found++
			}
		}
	}
	if found < n-1 || quiet < n-1 {
		t.Errorf("of %d jobs %d name the odd run, %d right ones are quiet", n, found, quiet)
	}
}

// Springs and tachometer are told in one measure: springs that pull 1.5 times as much
// look like a tachometer that shows the root of it.
func TestSuspectsInOneMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	d := simulated.Draw(rng, true, false)
	listed := d.Listed(rng, map[string]float64{"a": 1.5})
	aa := simulated.Parts("aa", "")
	r, err := learned.FitListed(context.Background(), []learned.Run{d.Read(rng, aa, simulated.Usual, "")}, listed, &learned.Settings{SigmaRPM: 20, SigmaDegrees: 0.7})
	if err != nil {
		t.Fatal(err)
	}
	factor := map[string]float64{}
	for _, s := range r.Suspects {
		factor[s.Part] = s.Factor.Value
	}
	spring, tach, weights := factor["spring a"], factor["tachometer"], factor["weights"]
	if !(math.Abs(spring/1.5-1) < 0.15) || !(math.Abs(tach*tach/spring-1) < 0.05) || !(math.Abs(weights*spring-1) < 0.05) {
		t.Errorf("suspects %+v, want one measure of 1.5", r.Suspects)
	}
	if text := strings.Join(append(r.Contradicts, r.Notes...), " "); !strings.Contains(text, "the tachometer shows 1.1") || !strings.Contains(text, "relative to the weights") {
		t.Errorf("notes %q", r.Notes)
	}
}

func TestRefuses(t *testing.T) {
	good := twoRuns()
	with := func(change func(r *learned.Run)) []learned.Run {
		runs := twoRuns()
		change(&runs[0])
		return runs
	}
	for name, x := range map[string]struct {
		runs []learned.Run
		set  *learned.Settings
		says string
	}{
		"no runs":      {nil, nil, "0 runs"},
		"no springs":   {with(func(r *learned.Run) { r.Springs = nil }), nil, "places for springs"},
		"places":       {with(func(r *learned.Run) { r.Springs = r.Springs[:1] }), nil, "same number"},
		"few readings": {with(func(r *learned.Run) { r.Readings = r.Readings[:2] }), nil, "2 readings"},
		"one speed": {with(func(r *learned.Run) {
			for i := range r.Readings {
				r.Readings[i].RPM = 900
			}
		}), nil, "spread"},
		"NaN":    {with(func(r *learned.Run) { r.Readings[3].Degrees = math.NaN() }), nil, "NaN"},
		"error":  {good, &learned.Settings{SigmaRPM: -1}, "speed error"},
		"draws":  {good, &learned.Settings{Draws: 3}, "draws"},
		"travel": {good, &learned.Settings{Travels: map[string]readings.Known{"": {Value: -3, Sigma: 1}}}, "travel"},
		"turned": {with(func(r *learned.Run) { r.From, r.Turned.Value = "there", 200 }), nil, "turned by 200"},
		"mass":   {good, &learned.Settings{Masses: map[string]learned.Mass{"": {Value: 40}}}, "mass"},
	} {
		_, err := learned.Fit(context.Background(), x.runs, x.set)
		if !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%s: got %v, want valid.ErrRange with %q", name, err, x.says)
		}
	}
	r := fit(t, good, nil)
	if _, err := r.Predict(learned.Combination{Springs: []string{"soft", "other"}}); !errors.Is(err, learned.ErrUndetermined) {
		t.Errorf("unknown spring: %v", err)
	}
	p, err := r.Predict(good[0].Combination)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Advance(math.NaN()); !errors.Is(err, valid.ErrRange) {
		t.Errorf("NaN speed: %v", err)
	}
	var none learned.Result
	if _, err := none.Predict(good[0].Combination); !errors.Is(err, valid.ErrRange) {
		t.Errorf("empty result: %v", err)
	}
	if _, err := learned.FitListed(context.Background(), good, learned.Listed{}, nil); !errors.Is(err, valid.ErrRange) {
		t.Errorf("empty list: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := learned.Fit(ctx, good, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
