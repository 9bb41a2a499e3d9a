package job_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
)

// demo returns the job that examples/recurve builds in.
func demo(t testing.TB) []byte {
	t.Helper()
	return file(t, "../../examples/recurve/demo.json")
}

func file(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// changed is the demo with one thing replaced.
func changed(t testing.TB, old, new string) []byte {
	t.Helper()
	text := string(demo(t))
	if !strings.Contains(text, old) {
		t.Fatalf("the demo holds no %q", old)
	}
	return []byte(strings.Replace(text, old, new, 1))
}

// work reads and works a job, each text once.
func work(t testing.TB, text []byte) *job.Report {
	t.Helper()
	mu.Lock()
	one, ok := worked[string(text)]
	if !ok {
		one = &workedJob{}
		worked[string(text)] = one
	}
	mu.Unlock()
	one.Do(func() { one.report = run(t, text) })
	if one.report == nil {
		t.Fatal("the job was not worked")
	}
	return one.report
}

// workedJob is a job that is worked by the first test that asks for it.
type workedJob struct {
	sync.Once
	report *job.Report
}

var (
	mu     sync.Mutex
	worked = map[string]*workedJob{}
)

func run(t testing.TB, text []byte) *job.Report {
	t.Helper()
	j, err := job.Read(text, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Run(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// some are the names of cases in order; with -short every nth.
func some[T any](cases map[string]T, nth int) []string {
	names := slices.Sorted(maps.Keys(cases))
	if !testing.Short() {
		return names
	}
	var few []string
	for i := 0; i < len(names); i += nth {
		few = append(few, names[i])
	}
	return few
}

// The same job in other units and on the other shaft is the same job.
func TestUnitsAndShaftsDoNotMatter(t *testing.T) {
	t.Parallel()
	want, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	text := string(demo(t))
	for _, c := range [][2]string{
		{`"idle": "800 rpm crank"`, `"idle": "400 rpm dist"`},
		{`"bore": "88 mm"`, `"bore": "8.8 cm"`},
		{`"at": "820 rpm crank", "shows": "11 deg crank"`, `"at": "410 rpm dist", "shows": "5.5 deg dist"`},
		{`"total": "33 deg crank"`, `"total": "16.5 deg dist"`},
	} {
		text = strings.Replace(text, c[0], c[1], 1)
	}
	got, err := job.Read([]byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got.Idle != want.Idle || got.Wish != want.Wish || !(math.Abs(got.Engine.Bore-want.Engine.Bore) <= 1e-15) {
		t.Errorf("idle %g, wish %+v, bore %g; want %g, %+v, %g", got.Idle, got.Wish, got.Engine.Bore, want.Idle, want.Wish, want.Engine.Bore)
	}
	for i := range want.Readings {
		a, b := got.Readings[i], want.Readings[i]
		if !(math.Abs(a.RPM-b.RPM) <= 1e-9) || !(math.Abs(a.Degrees-b.Degrees) <= 1e-12) {
			t.Errorf("reading %d is %+v, want %+v", i+1, a, b)
		}
	}
}

// Weights and springs of a frame are placed by turning the frame: the second
// weight of two stands opposite, so the mechanism is balanced.
func TestWeightsStandRoundTheShaft(t *testing.T) {
	t.Parallel()
	for _, count := range []int{1, 2, 3, 4} {
		text := changed(t, `"weights_count": 2`, fmt.Sprintf(`"weights_count": %d`, count))
		if count == 1 {
			text = []byte(strings.Replace(string(text), `"weight": 2`, `"weight": 1`, 1))
		}
		j, err := job.Read(text, nil)
		if err != nil {
			t.Fatal(err)
		}
		var x, y float64
		for i, w := range j.Mechanism.Weights {
			x, y = x+w.Centre.X, y+w.Centre.Y
			if a, b := j.Mechanism.WeightMoment(i, 0.1), j.Mechanism.WeightMoment(0, 0.1); !(math.Abs(a-b) <= 1e-12*b) {
				t.Errorf("%d weights: number %d pulls with %g, the first with %g", count, i+1, a, b)
			}
		}
		if count > 1 && !(math.Hypot(x, y) <= 1e-12) {
			t.Errorf("%d weights are out of balance by %g m", count, math.Hypot(x, y))
		}
		if len(j.Mechanism.Weights) != count {
			t.Errorf("%d weights, want %d", len(j.Mechanism.Weights), count)
		}
	}
}

// A wire gives the rate of its formula, G d^4/(8 D^3 N).
func TestSpringFromItsWire(t *testing.T) {
	t.Parallel()
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(j.Drawer.Springs, func(s recipes.SpringPart) bool { return s.Name == "own winding" })
	want := 81.5e9 * math.Pow(0.8e-3, 4) / (8 * math.Pow(5.6e-3, 3) * 9)
	if got := j.Drawer.Springs[i].Spring.Rate; !(math.Abs(got-want) <= 1e-9*want) {
		t.Errorf("the rate is %g N/m, want %g", got, want)
	}
}

// The cam's pin, where given, sets how far the cam turns.
func TestCamPin(t *testing.T) {
	t.Parallel()
	j, err := job.Read(changed(t, `"cam_per_swing": "0.8:1"`, `"cam_pin": ["12 mm", "-1 mm"]`), nil)
	if err != nil {
		t.Fatal(err)
	}
	theta, _, _ := j.Mechanism.Linkage.Cam(j.Mechanism.Stop)
	if got := j.Drive.CrankDegrees(theta); !(math.Abs(got-j.SlotTravel) <= 1e-9) {
		t.Errorf("at the stop the cam has turned %g deg crank, the slot allows %g", got, j.SlotTravel)
	}
}

// A drawer that cannot do it is an answer, not an error: the report says so and
// why, and has no sheet.
func TestNothingFits(t *testing.T) {
	t.Parallel()
	r := work(t, changed(t, `["2300 rpm crank", "2800 rpm crank"]`, `["1000 rpm crank", "1100 rpm crank"]`))
	if len(r.Recipes) != 0 || r.Sheet != nil || r.NoFit == nil || r.NoFit.Text == "" || len(r.NoFit.Reasons) == 0 {
		t.Errorf("%d recipes, sheet %v, %+v", len(r.Recipes), r.Sheet, r.NoFit)
	}
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		t.Fatal(err)
	}
	for _, c := range sheet.Cautions() {
		if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), c) {
			t.Errorf("the print lacks the caution %q", c)
		}
	}
}

// Where a reckoned knock limit stands in the way, the report says how little is
// known of it, unless knock was heard on this engine.
func TestDoubtOfTheKnockLimit(t *testing.T) {
	t.Parallel()
	deaf := string(changed(t, `["95 RON", "85 MON"]`, `["70 RON", "65 MON"]`))
	from, rest, _ := strings.Cut(deaf, `      {"what": "trace knock"`)
	_, after, _ := strings.Cut(rest, "},\n")
	r := work(t, []byte(from+after))
	if r.NoFit == nil || !strings.Contains(r.NoFit.Doubt, "without any knock heard on this engine") {
		t.Errorf("without knock heard: %+v", r.NoFit)
	}
	r = work(t, changed(t, `"spark": "31 deg crank"`, `"spark": "12 deg crank"`))
	if r.NoFit == nil || r.NoFit.Doubt != "" {
		t.Errorf("with knock heard: %+v", r.NoFit)
	}
}

// A build that passes at idle with the hose off passes with it on the ported
// source, where the unit does nothing at idle.
func TestHoseOnWindowIsTheSheets(t *testing.T) {
	t.Parallel()
	r := work(t, demo(t))
	if r.Vacuum.Source != "ported" {
		t.Fatalf("the demo's hose goes on the %s source", r.Vacuum.Source)
	}
	want := fmt.Sprintf("Hose on, idle: %.1f deg, passes from %.1f to %.1f deg.", r.Sheet.Idle.Rising, r.Sheet.Idle.Low, r.Sheet.Idle.High)
	if !slices.Contains(r.Vacuum.Advice, want) {
		t.Errorf("%q is not in %q", want, r.Vacuum.Advice)
	}
}

// The engine decides where no total is wished for: the total stays below the
// limit, and below what gives the last half per cent of torque at any speed past
// all-in.
func TestEngineDecides(t *testing.T) {
	t.Parallel()
	r := work(t, changed(t, `"total": "33 deg crank",`, ``))
	if len(r.Recipes) == 0 {
		t.Fatal("no recipe")
	}
	for _, x := range r.Recipes {
		if !(x.Margin >= r.Engine.Margin-0.01) {
			t.Errorf("recipe %d comes within %g deg of the limit", x.Rank, x.Margin)
		}
		for _, w := range r.Engine.Want {
			if w.RPM >= 2800 && !(x.Total <= w.FlatLate+0.01) {
				t.Errorf("recipe %d goes to %g deg, at %g rpm %g are enough", x.Rank, x.Total, w.RPM, w.FlatLate)
			}
		}
	}
}

// Advance at idle is allowed only when accepted, and the sheet then says how
// much of the idle reading it is.
func TestAdvanceAtIdle(t *testing.T) {
	t.Parallel()
	text := changed(t, `"start_above_idle": "100 rpm crank"`, `"advance_at_idle_accepted": true`)
	text = []byte(strings.Replace(string(text), `"idle": "800 rpm crank"`, `"idle": "1500 rpm crank"`, 1))
	r := work(t, text)
	if r.Sheet == nil || !(r.Sheet.AtIdle > 0) {
		t.Fatalf("the sheet is %+v", r.Sheet)
	}
	if !strings.Contains(r.Sheet.Text(), fmt.Sprintf("%.1f is mechanical advance already begun", r.Sheet.AtIdle)) {
		t.Error("the sheet does not say that the advance has begun at idle")
	}
}

// What is written can be read again without loss.
// A decoded result.json is written, and prints, as the report that was computed.
func TestReportRoundTrips(t *testing.T) {
	t.Parallel()
	for name, text := range map[string][]byte{
		"the demo": demo(t), "readings alone": read(plain, 600, 3600, 250, ""),
		"nothing fits": changed(t, `["2300 rpm crank", "2800 rpm crank"]`, `["1000 rpm crank", "1100 rpm crank"]`),
		"runs":         story(t, 3),
	} {
		r := work(t, text)
		written, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back job.Report
		if err := json.Unmarshal(written, &back); err != nil {
			t.Fatal(err)
		}
		again, err := json.Marshal(&back)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(written), string(again)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
		var want, got strings.Builder
		if err := r.Text(&want); err != nil {
			t.Fatal(err)
		}
		if err := back.Text(&got); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want.String(), got.String()); d != "" {
			t.Errorf("%s: printed after decoding: %s", name, d)
		}
	}
}

func TestStopsWithItsContext(t *testing.T) {
	t.Parallel()
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	_, err = j.Run(ctx, func(what string, _ float64) {
		if what == "trying the drawer" {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error is %v", err)
	}
}

func TestPresentNeedsSprings(t *testing.T) {
	t.Parallel()
	j, err := job.Read(changed(t, `"springs": ["long soft", "loop stiff"],`, ``), nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Present(); !errors.Is(err, job.ErrJob) {
		t.Errorf("error is %v", err)
	}
	if _, err := j.Run(context.Background(), nil); err != nil {
		t.Errorf("a job without fitted springs: %v", err)
	}
}

// The start of the fitted parts is where their moments balance at rest:
// omega^2 = (spring moments + drag) / weight moments.
func TestPresentStart(t *testing.T) {
	t.Parallel()
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	curve, err := j.Present()
	if err != nil {
		t.Fatal(err)
	}
	m := j.Mechanism
	for i, s := range j.Fitted.Springs {
		post := j.Places[i].Posts[0]
		m.Springs = append(m.Springs, flyweights.Spring{Law: j.Drawer.Springs[s].Spring, A: post.A, B: post.B})
	}
	_, d1, _ := m.Linkage.Cam(0)
	hold := m.SpringMoment(0, 0) + m.SpringMoment(1, 0) + m.Drag*d1 + m.Friction.Moment
	pull := m.WeightMoment(0, 0) + m.WeightMoment(1, 0)
	want := math.Sqrt(hold / pull)
	if got := curve.Start(flyweights.Rising); !(math.Abs(got-want) <= 1e-9*want) {
		t.Errorf("start at %g rad/s, want %g", got, want)
	}
}

// Whatever is read is either a job or refused with ErrJob, one sentence on a line for
// each fault.
func FuzzRead(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(demo(tf))
	f.Add([]byte(`{"title": "x", "engine": {"fuel": ["95 RON", "-1 MON"]}}`))
	f.Add([]byte(`"`)) // two mistakes of one character
	f.Fuzz(func(t *testing.T, text []byte) {
		_, err := job.Read(text, nil)
		if err == nil {
			return
		}
		for line := range strings.SplitSeq(err.Error(), "\n") {
			if !errors.Is(err, job.ErrJob) || !strings.HasPrefix(line, "job: ") {
				t.Errorf("error is %q", err)
			}
		}
	})
}

func ExampleRead() {
	text, err := os.ReadFile("../../examples/recurve/demo.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	j, err := job.Read(text, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := j.Run(context.Background(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("static %.0f deg, set %.0f deg at %.0f rpm\n", report.Readings.Static.Value, report.Sheet.SetDegrees, report.Sheet.SetRPM)
	// Output:
	// static 8 deg, set 33 deg at 3000 rpm
}
