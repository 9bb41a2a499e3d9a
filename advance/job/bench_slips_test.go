package job_test

import (
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// shortened is the plain distributor with its travel cut, as runs write it.
func shortened(label, more string, travel, static float64) string {
	var list []string
	for i, rpm := 0, 600.0; rpm <= 3600; i, rpm = i+1, rpm+250 {
		off := []float64{0.3, -0.4, 0.2, -0.1, 0.4, -0.3}[i%6]
		at := static + math.Min(travel, 24*math.Min(math.Max(0, (rpm-1200)/1600), 1))
		list = append(list, fmt.Sprintf(`{"at": "%.0f rpm crank", "shows": "%.1f deg crank"}`, rpm, at+off))
	}
	return fmt.Sprintf(`{"label": %q, %s"readings": [%s]}`, label, more, strings.Join(list, ","))
}

// Whoever knows no slot in mm takes degrees away as the sheet told, and is judged by the
// travel that the readings show: the run passes, and the report says what it took.
func TestSlotClosedAndNotNoted(t *testing.T) {
	t.Parallel()
	text := fmt.Sprintf(`{"title": "t", "target": {"total": "30 deg crank"}, "runs": [%s, %s]}`,
		shortened("as found", "", 24, 10), shortened("closed", "", 18, 12))
	r := work(t, []byte(text))
	if r.Runs.Passed == nil || !*r.Runs.Passed || !strings.Contains(strings.Join(r.Runs.Changed, " "), "of travel less, as the readings show (not noted") {
		t.Errorf("closed as told: %+v", r.Runs)
	}
	same := work(t, fmt.Appendf(nil, `{"title": "t", "target": {"total": "30 deg crank"}, "runs": [%s, %s]}`,
		shortened("as found", "", 24, 10), shortened("turned", "", 24, 6)))
	if strings.Contains(strings.Join(same.Runs.Changed, " "), "travel less") {
		t.Errorf("a slot that nobody touched: %q", same.Runs.Changed)
	}
}

// Where the newest run contradicts those before it, no recipe is made of what they teach
// together, and the report says so.
func TestNoRecipeFromContradiction(t *testing.T) {
	t.Parallel()
	wrong := with("", "a", "b")
	wrong.springs = []string{"a", "a"} // fitted in truth
	text := bench("", with("", "a", "a"), with("", "b", "b"), wrong)
	text = []byte(replaceLast(string(text), `"springs": ["a", "a"]`, `"springs": ["a", "b"]`))
	r := work(t, text)
	if r.Runs.Passed == nil || *r.Runs.Passed || len(r.Recipes) > 0 {
		t.Fatalf("passed %v, %d recipes", r.Runs.Passed, len(r.Recipes))
	}
	// What was changed last is looked at first: a spring, whatever explains it as well.
	if do := strings.Join(r.Runs.Do, " "); !strings.Contains(do, "spring") {
		t.Errorf("no spring is suspected: %q", do)
	}
	if said := printed(t, r); !strings.Contains(said, "The newest run contradicts the runs before it") || !strings.Contains(said, "a + b (by the runs before)") {
		t.Errorf("%s", said)
	}
}

func replaceLast(s, old, with string) string {
	i := strings.LastIndex(s, old)
	return s[:i] + with + s[i+len(old):]
}

// Learned parts know their slot by its travel: the ladder of efforts begins with turning
// the distributor only, weights of other runs are searched too, and no slot is closed by
// less than is worth the work.
func TestLearnedSearchKeepsSlotAndWeights(t *testing.T) {
	t.Parallel()
	r := work(t, bench("", with("u", "a", "a"), with("u", "b", "b"), with("w", "b", "b")))
	var efforts []string
	for _, e := range r.Efforts {
		efforts = append(efforts, e.Effort)
	}
	if len(efforts) != 5 || efforts[0] != "turn the distributor only" {
		t.Errorf("efforts %q", efforts)
	}
	if said := printed(t, r); !strings.Contains(said, "weights u") || !strings.Contains(said, "weights w") {
		t.Errorf("weights of one run only: %s", said)
	}
	for _, x := range r.Recipes {
		if x.Remove > 0.3 && x.Remove < 1.5 {
			t.Errorf("%.1f deg of travel taken away", x.Remove)
		}
	}
	if i := slices.IndexFunc(r.Stages, func(s job.StagePart) bool { return s.Stage == "recipes from the drawer" }); i < 0 || len(r.Stages[i].Missing) > 0 {
		t.Errorf("recipes of learned parts ask for %+v", r.Stages[i].Missing)
	}
	// One run and a scale know other weights too.
	scale := work(t, bench(`"drawer": {"weights": [{"name": "u", "mass": "12 g"}, {"name": "v", "mass": "10.2 g"}]}, `, with("u", "a", "a")))
	if len(scale.Recipes) == 0 {
		t.Errorf("weights on the scale: %+v", scale.Answer)
	}
}

// The sheet claims that idle shows the static timing only where that is settled.
func TestSheetDoubtsTheStart(t *testing.T) {
	t.Parallel()
	for from, want := range map[float64]string{300: "this is the static timing", 650: "is not certain"} {
		text := read(plain, from, 3600, 150, "")
		if from > 300 { // the start lies below what is read
			text = read(func(rpm float64) float64 { return plain(rpm + 600) }, from, 3600, 150, "")
		}
		if r := work(t, text); !strings.Contains(printed(t, r), want) || r.Sheet == nil {
			t.Errorf("from %.0f rpm: not %q in %s", from, want, printed(t, r))
		}
	}
}

// What decides is told in whole sentences, whatever the search found.
func TestNothingDecidesNothing(t *testing.T) {
	t.Parallel()
	r := work(t, bench(`"target": {"total": "44 deg crank"}, `, with("", "a", "a"), with("", "b", "b")))
	for _, d := range r.Decided {
		if strings.Contains(d.Turns, "decides .") {
			t.Errorf("%s: %q", d.Field, d.Turns)
		}
	}
	if len(r.Recipes) > 0 {
		t.Errorf("a total of 44 with 24 of travel: %+v", r.Recipes[0])
	}
}

// A run with the hose on and no gauge still tells what the hose adds.
func TestHoseOnWithoutGauge(t *testing.T) {
	t.Parallel()
	text := fmt.Sprintf(`{"title": "t", "runs": [%s, %s]}`, shortened("off", "", 24, 10), shortened("on", `"hose_on": true, "clamp": "unmoved", `, 24, 19))
	r := work(t, []byte(text))
	if said := printed(t, r); !strings.Contains(said, "With the hose on the light shows 9.") || !strings.Contains(said, "At which vacuum was not noted") {
		t.Errorf("%q", r.Readings.HoseAdds)
	}
}

// The vacuum unit alone, with the engine's vacuum at idle, says on the first screen which
// source keeps idle steady.
func TestVacuumAloneSaysWhichHose(t *testing.T) {
	t.Parallel()
	for at, want := range map[string]string{"14 inHg": "steady on manifold vacuum", "8 inHg": "belongs on the ported source"} {
		text := strings.Replace(string(pumped(startsAndStops+`, {"at": "18 inHg", "shows": "7.5 deg dist"}`)), `"vacuum": {`, `"vacuum": {"idle_vacuum": "`+at+`", `, 1)
		if r := work(t, []byte(text)); !strings.Contains(r.Answer.Forbids, want) {
			t.Errorf("idle at %s: %q", at, r.Answer.Forbids)
		}
	}
}

// Travel of the rod, read with a calliper, does what degrees do: with the arm's length
// the turn is its arc sine (geometry of a long rod), without it onset and full pull are
// told and the arm is asked for.
func TestPumpByRodTravel(t *testing.T) {
	t.Parallel()
	rod := startsAndStops + `, {"at": "18 inHg", "rod": "3.3 mm"}`
	with := strings.Replace(string(pumped(rod)), `"vacuum": {`, `"vacuum": {"arm": "25 mm", `, 1)
	r := work(t, []byte(with))
	if want := 2 * 180 / math.Pi * math.Asin(3.3/25); !(math.Abs(r.Vacuum.Most-want) <= 0.3) {
		t.Errorf("the unit gives %.2f deg crank, by its arm %.2f", r.Vacuum.Most, want)
	}
	r = work(t, pumped(rod))
	if said := strings.Join(r.Vacuum.Advice, " "); !(math.Abs(r.Vacuum.Onset-6.2) <= 0.1) || r.Vacuum.Most != 0 || !strings.Contains(said, "with 3.3 mm of rod") {
		t.Errorf("without an arm: %+v", r.Vacuum)
	}
	if !slices.ContainsFunc(r.Stages, func(s job.StagePart) bool {
		return slices.ContainsFunc(s.Missing, func(m job.Missing) bool { return m.Field == "vacuum.arm" })
	}) {
		t.Errorf("the arm is not asked for: %+v", r.Stages)
	}
}

// What a builder writes wrongly is answered in a builder's words: no package is named, no
// name is said twice, and where a list is wanted it is shown how one is written.
func TestErrorsInABuildersWords(t *testing.T) {
	t.Parallel()
	with := func(old, new string) []byte { return []byte(strings.Replace(string(demo(t)), old, new, 1)) }
	table := func(pairs string) []byte {
		return with(`"cam_per_swing": "0.8:1"`, `"cam_table": [`+pairs+`]`)
	}
	for name, c := range map[string]struct {
		text []byte
		want string
	}{
		"file for a list":  {[]byte(`{"title": "t", "readings": "r.csv"}`), "the name of a file goes into readings_csv"},
		"run's file":       {[]byte(`{"title": "t", "runs": [{"readings": "r.csv"}]}`), "the name of a file goes into readings_csv"},
		"text for a list":  {[]byte(`{"title": "t", "engine": {"fuel": "95 RON"}}`), `write ["95 RON", "85 MON"]`},
		"text for fields":  {[]byte(`{"title": "t", "target": "34 deg crank"}`), `write {"total": "34 deg crank"}`},
		"another quantity": {[]byte(`{"title": "t", "target": {"total": "9 mm"}}`), `"9 mm" is a length; shaft angle needs one of deg crank`},
		"pairs that fall":  {table(`["5 deg dist", "4 deg dist"], ["10 deg dist", "3 deg dist"]`), "distributor.cam_table[1]: is [10 deg dist, 3 deg dist], valid is pairs that rise"},
		"too much vacuum":  {pumped(`{"at": "50 inHg", "shows": "9 deg dist"}, ` + startsAndStops), "vacuum.pump[0].at: is 50 inHg, valid is 0 inHg to 29.9 inHg"},
		"loads that fall":  {[]byte(`{"title": "t", "drawer": {"springs": [{"name": "s", "hung": [{"mass": "100 g", "length": "26 mm"}, {"mass": "300 g", "length": "25 mm"}]}]}}`), "is 25 mm under the most load and 26 mm under the least"},
		"fuel not known":   {[]byte(`{"title": "t", "engine": {"fuel": ["unknown"]}}`), "leave fuel out where nobody knows it"},
	} {
		_, err := job.Read(c.text, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
			continue
		}
		for _, word := range []string{"quantity:", "flyweights:", "springs: value", "object", "readings: readings:", "rad,"} {
			if strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q holds %q", name, err, word)
			}
		}
	}
	// One slip in a run's slot makes one complaint.
	slip := []byte(strings.Replace(string(story(t, 3)), `"slot_length": "`, `"slot_length": "x`, 1))
	if _, err := job.Read(slip, nil); err == nil || strings.Count(err.Error(), "\n") > 0 {
		t.Errorf("one slip: %v", err)
	}
}

// Without its length a slot still has one for every travel: the arc and the pin (geometry).
func TestTravelToLength(t *testing.T) {
	t.Parallel()
	r := work(t, []byte(`{"title": "t", "distributor": {"slot": {"pin": "5 mm", "radius": "18 mm"}}}`))
	if r.Slot == nil || len(r.Slot.Rows) == 0 {
		t.Fatalf("%+v", r.Slot)
	}
	for _, x := range r.Slot.Rows {
		if want := 5 + 18*x.Travel/2*math.Pi/180; !(math.Abs(x.Length-want) <= 0.005) {
			t.Errorf("%g deg: %g mm, by the arc %g", x.Travel, x.Length, want)
		}
	}
}

// Plumb lines and a tracing may stand together: the plumb lines are used, and one that
// contradicts them is refused.
func TestPlumbLinesBesideOutline(t *testing.T) {
	t.Parallel()
	beside := func(outline any) []byte {
		return edited(t, demo(t), func(root map[string]any) {
			one := root["drawer"].(map[string]any)["weights"].([]any)[0].(map[string]any)
			for _, other := range []string{"centre_to_pivot", "centre_to_shaft", "outline"} {
				delete(one, other)
			}
			if one["centre"] = []any{"9 mm", "-13 mm"}; outline != nil {
				one["outline"] = outline
			}
		})
	}
	put := func(x float64) []byte { // a square with its centre at x, -13
		at := func(dx, y float64) any { return []any{fmt.Sprintf("%g mm", x+dx), fmt.Sprintf("%g mm", y)} }
		return beside([]any{at(-5, -8), at(5, -8), at(5, -18), at(-5, -18)})
	}
	alone, err := job.Read(beside(nil), nil)
	if err != nil {
		t.Fatal(err)
	}
	both, err := job.Read(put(11), nil) // 2 mm off
	if err != nil {
		t.Fatal(err)
	}
	if a, b := alone.Drawer.Weights[0].Weights[0].Centre, both.Drawer.Weights[0].Weights[0].Centre; a != b {
		t.Errorf("centre %v alone, %v beside an outline", a, b)
	}
	if said := printed(t, work(t, put(11))); !strings.Contains(said, "the plumb lines put the centre of") {
		t.Error("the difference is not told")
	}
	if _, err := job.Read(put(29), nil); err == nil || !strings.Contains(err.Error(), "from where the plumb lines cross") {
		t.Errorf("20 mm off: %v", err)
	}
}

// A place of which one of the three distances is left out is asked for it; springs are as
// many as are fitted where nobody counted them.
func TestLeftOutIsAskedFor(t *testing.T) {
	t.Parallel()
	text := edited(t, story(t, 2), func(root map[string]any) {
		delete(root["distributor"].(map[string]any)["spring_places"].([]any)[0].(map[string]any), "posts_apart")
		delete(root["drawer"].(map[string]any)["springs"].([]any)[0].(map[string]any), "count")
	})
	j, err := job.Read(text, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(j.Asks(), func(s job.StagePart) bool {
		return slices.ContainsFunc(s.Missing, func(m job.Missing) bool { return m.Field == "distributor.spring_places[0].posts_apart" && m.How != "" })
	}) {
		t.Errorf("%+v", j.Asks())
	}
	if n := j.Drawer.Springs[0].Count; n != 2 {
		t.Errorf("%d springs counted, 2 are fitted", n)
	}
	few := strings.Replace(string(story(t, 2)), `"original", "count": 2`, `"original", "count": 1`, 1)
	if _, err := job.Read([]byte(few), nil); err == nil || !strings.Contains(err.Error(), `"original" is fitted 2 times, but drawer.springs counts 1 of it`) {
		t.Errorf("one spring counted, two fitted: %v", err)
	}
}

// Lengths under load are told as rate, tension and length with their errors: 2 N/mm from
// 24.5 mm on (Hooke), whatever else the job holds.
func TestMeasuredSpringIsTold(t *testing.T) {
	t.Parallel()
	r := work(t, []byte(`{"title": "t", "drawer": {"springs": [{"name": "soft", "free_length": "24.5 mm", "hung": [{"force": "1 N", "length": "25 mm"}, {"force": "3 N", "length": "26 mm"}, {"force": "5 N", "length": "27 mm"}]}]}}`))
	if len(r.Measured) != 1 || !strings.Contains(r.Measured[0], "soft, by 3 lengths: rate 2.00 N/mm") || !strings.Contains(r.Measured[0], "standard error") {
		t.Errorf("%q", r.Measured)
	}
	if said := printed(t, r); !strings.Contains(said, "rate 2.00 N/mm") {
		t.Error(said)
	}
}

// A file that is not there, and runs with another number of places, are named with what to
// do.
func TestRunsThatDoNotFit(t *testing.T) {
	t.Parallel()
	missing := func(string) ([]byte, error) { return nil, fs.ErrNotExist }
	if _, err := job.Read([]byte(`{"title": "t", "readings_csv": "r.csv"}`), missing); err == nil || !strings.Contains(err.Error(), `there is no file "r.csv" beside the job`) {
		t.Errorf("no file: %v", err)
	}
	two := bench("", with("", "a"), with("", "a", "b"))
	if _, err := job.Read(two, nil); err == nil || !strings.Contains(err.Error(), `runs[1].springs: names 2 springs, before it were 1; write "none" for an empty place`) {
		t.Errorf("places: %v", err)
	}
}

// A mechanism without a list of springs is searched with what the runs teach.
func TestMechanismWithLearnedSprings(t *testing.T) {
	t.Parallel()
	r := work(t, edited(t, story(t, 3), func(root map[string]any) { delete(root["drawer"].(map[string]any), "springs") }))
	if r.Runs == nil || len(r.Runs.Learned) == 0 || strings.Contains(r.Runs.Against, "as listed") {
		t.Errorf("%+v", r.Runs)
	}
}

// The engine alone says on the first screen what it wants and tolerates, and sets nothing.
func TestEngineAloneOnTheFirstScreen(t *testing.T) {
	t.Parallel()
	r := work(t, section(t, "engine"))
	if len(r.Answer.Set) > 0 || !strings.Contains(r.Answer.Forbids, "the engine gives its best torque at") || !strings.Contains(r.Answer.Forbids, "Timing is not set from that alone") {
		t.Errorf("%+v", r.Answer)
	}
}
