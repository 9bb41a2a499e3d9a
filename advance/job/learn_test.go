package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// fitted is a run of a distributor whose law is known: what was fitted, and what else the
// file says of the run.
type fitted struct {
	springs []string // "" for an empty place
	weights string
	says    string  // further fields
	static  float64 // 10 where it is 0
	pulls   float64 // factor on the force of every spring a; 1 where it is 0
	from    float64 // lowest speed read, rpm; 650 where it is 0
}

// law is the squared speed of one spring at a part of the travel, rpm^2, of all places
// together with the reference weights.
func law(kind string, x float64) float64 {
	rest := map[string]float64{"a": 900, "b": 1300, "c": 1100, "d": 1500}[kind]
	end := map[string]float64{"a": 2500, "b": 3300, "c": 2900, "d": 3600}[kind]
	return rest*rest + (end*end-rest*rest)*x*(0.9+0.1*x)
}

// curve reads a run off the law, to a tenth of a degree: the springs' squares add, the
// weights divide, 24 degrees of travel.
func (f *fitted) curve() string {
	weights := map[string]float64{"v": 0.85, "w": 1.2}[f.weights]
	if weights == 0 {
		weights = 1
	}
	pulls, static := f.pulls, f.static
	if pulls == 0 {
		pulls = 1
	}
	if static == 0 {
		static = 10
	}
	square := func(x float64) float64 {
		sum := 150.0 * 150
		for _, s := range f.springs {
			switch s {
			case "":
			case "a":
				sum += pulls * law(s, x) / float64(len(f.springs))
			default:
				sum += law(s, x) / float64(len(f.springs))
			}
		}
		return sum / weights
	}
	var rows []string
	for i := range 12 {
		from := max(f.from, 650)
		rpm := from + (4060-from)*float64(i)/11
		low, high := 0.0, 1.0
		for range 50 {
			if mid := (low + high) / 2; square(mid) < rpm*rpm {
				low = mid
			} else {
				high = mid
			}
		}
		rows = append(rows, fmt.Sprintf(`{"at": "%g rpm crank", "shows": "%.1f deg crank"}`, rpm, static+24*low+0.4*math.Sin(5*rpm)))
	}
	return strings.Join(rows, ", ")
}

// bench is a job of runs, with further sections.
func bench(sections string, runs ...fitted) []byte {
	var list []string
	for i, f := range runs {
		names := make([]string, len(f.springs))
		for k, s := range f.springs {
			names[k] = fmt.Sprintf("%q", s)
			if s == "" {
				names[k] = `"none"`
			}
		}
		weights := ""
		if f.weights != "" {
			weights = fmt.Sprintf(`"weights": %q, `, f.weights)
		}
		list = append(list, fmt.Sprintf(`{"label": "run %d", "springs": [%s], %s%s"readings": [%s]}`, i+1, strings.Join(names, ", "), weights, f.says, f.curve()))
	}
	return []byte(`{"title": "runs", ` + sections + `"light": {"angle_error": "0.7 deg crank", "speed_error": "20 rpm crank"}, "runs": [` + strings.Join(list, ",\n") + `]}`)
}

// with is a run with these springs.
func with(weights string, springs ...string) fitted {
	return fitted{springs: springs, weights: weights}
}

// Combinations that runs do not determine, of every kind, are recognised and answered
// with the run to make; those that they do are predicted.
func TestUndetermined(t *testing.T) {
	t.Parallel()
	cases := map[string]struct {
		sections string
		runs     []fitted
		open     string // combination that is not determined
		run      string // that would tell, among those proposed
		known    string // one that is, "" for none
	}{
		"pair from a mixed one": {"", []fitted{with("", "a", "b")}, "a + a", "a + a", ""},
		"one side of a chain":   {"", []fitted{with("", "a", "b"), with("", "b", "c"), with("", "c", "d")}, "a + c", "a + ", "a + d"},
		"loop of a chain":       {"", []fitted{with("", "a", "b"), with("", "b", "c")}, "b + b", "a + ", ""},
		"groups without a link": {"", []fitted{with("", "a", "a"), with("", "b", "c")}, "a + b", "", ""},
		"spring never fitted":   {`"drawer": {"springs": [{"name": "a"}, {"name": "b"}, {"name": "c"}]}, `, []fitted{with("", "a", "a"), with("", "b", "b")}, "a + c", " + c", "a + b"},
		"weights never fitted":  {`"drawer": {"weights": [{"name": "u"}, {"name": "v"}]}, `, []fitted{with("u", "a", "a"), with("u", "b", "b")}, "a + b, weights v", "weights v", "a + b, weights u"},
		"weights without link":  {"", []fitted{with("u", "a", "a"), with("v", "b", "b")}, "a + b, weights u", "", ""},
		"unlike places":         {`"distributor": {"places_differ": true}, `, []fitted{with("", "a", "a"), with("", "b", "b")}, "a + b", "a + b", ""},
		"one spring alone":      {"", []fitted{with("", "a", "a"), with("", "b", "")}, "a + no spring", "", ""},
		"third weights":         {`"drawer": {"weights": [{"name": "u"}, {"name": "v"}, {"name": "w"}]}, `, []fitted{with("u", "a", "a"), with("v", "a", "a")}, "a + a, weights w", "weights w", ""},
		"one set on the scale":  {`"drawer": {"weights": [{"name": "u"}, {"name": "v", "mass": "10 g"}]}, `, []fitted{with("u", "a", "a")}, "a + a, weights v", "weights v", ""},
		"both on the scale":     {`"drawer": {"weights": [{"name": "u", "mass": "12 g"}, {"name": "v", "mass": "10.2 g"}]}, `, []fitted{with("u", "a", "a"), with("u", "b", "b")}, "", "", "a + b, weights v"},
		"three places":          {"", []fitted{with("", "a", "a", "a"), with("", "b", "b", "b")}, "", "", "a + a + b"},
		"swapped places":        {`"distributor": {"places_differ": true}, `, []fitted{with("", "a", "a"), with("", "b", "b"), with("", "a", "b")}, "", "", "b + a"},
	}
	for _, name := range some(cases, 5) {
		c := cases[name]
		r := work(t, bench(c.sections, c.runs...))
		if r.Runs == nil {
			t.Errorf("%s: the runs are not answered", name)
			continue
		}
		all := strings.Join(r.Runs.Learned, "\n")
		if c.open != "" {
			_, rest, ok := strings.Cut(all, "The runs do not determine "+c.open+".")
			if ok {
				_, rest, ok = strings.Cut(strings.SplitN(rest, "\n", 2)[0], "Take a run with ")
			}
			if !ok || !strings.Contains(rest, c.run) {
				t.Errorf("%s: %q is not answered with a run to make:\n%s", name, c.open, all)
			}
		}
		if c.known != "" && !strings.Contains(all, c.known+" (never fitted): begins") {
			t.Errorf("%s: %q is not predicted:\n%s", name, c.known, all)
		}
	}
}

// The newest run is judged by what the runs before teach: the parts that would explain it
// are named with what to do, a turn of the distributor or a change of dwell that was
// noted is allowed for, and one that was not is found.
func TestRunIsJudged(t *testing.T) {
	t.Parallel()
	aa, bb := with("", "a", "a"), with("", "b", "b")
	bb.says = `"clamp": "unmoved", "dwell": "50 deg dist", `
	aa.says = `"dwell": "50 deg dist", `
	next := func(says string, static, pulls float64) fitted {
		return fitted{springs: []string{"a", "b"}, says: says, static: static, pulls: pulls}
	}
	cases := map[string]struct {
		last fitted
		says []string // in the verdict or in what to do
		not  []string
	}{
		"as predicted":         {next(`"clamp": "unmoved", `, 10, 1), []string{"The parts do what was predicted"}, []string{"explains it"}},
		"another spring":       {next(`"clamp": "unmoved", `, 10, 1.6), []string{"explains it", "spring a pulls 1."}, []string{"do what was predicted."}},
		"a far weaker spring":  {next(`"clamp": "unmoved", `, 10, 0.35), []string{"explains it", "spring a pulls 0.3"}, []string{"do what was predicted."}},
		"turned as noted":      {next(`"clamp": "moved", "clamp_moved_by": "6 deg crank", `, 16, 1), []string{"The parts do what was predicted"}, nil},
		"turned, not noted":    {next(`"clamp": "unmoved", `, 16, 1), []string{"the distributor was turned: static timing is 1"}, nil},
		"dwell as noted":       {next(`"clamp": "unmoved", "dwell": "46 deg dist", `, 14, 1), []string{"The parts do what was predicted"}, nil},
		"dwell, timing as was": {next(`"clamp": "unmoved", "dwell": "40 deg dist", `, 10, 1), []string{"the distributor was turned"}, nil},
	}
	for _, name := range some(cases, 3) {
		c := cases[name]
		r := work(t, bench("", aa, bb, c.last))
		if r.Runs == nil {
			t.Errorf("%s: the runs are not answered", name)
			continue
		}
		all := r.Runs.Verdict + "\n" + strings.Join(r.Runs.Do, "\n")
		for _, want := range c.says {
			if !strings.Contains(all, want) {
				t.Errorf("%s: %q is not in\n%s", name, want, all)
			}
		}
		for _, not := range c.not {
			if strings.Contains(strings.Replace(all, "do not do what was predicted", "", 1), not) {
				t.Errorf("%s: %q is in\n%s", name, not, all)
			}
		}
	}
}

// rows are readings of speeds and timings.
func rows(points ...[2]int) string {
	var list []string
	for _, p := range points {
		list = append(list, fmt.Sprintf(`{"at": "%d rpm crank", "shows": "%d deg crank"}`, p[0], p[1]))
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// Readings of a mixed pair whose start nobody saw, and of an equal pair near its start.
var (
	startUnseen = rows([2]int{700, 14}, [2]int{1000, 20}, [2]int{1400, 27}, [2]int{1800, 32}, [2]int{2400, 36}, [2]int{3000, 36})
	startSeen   = rows([2]int{700, 10}, [2]int{1000, 12}, [2]int{1400, 18}, [2]int{1800, 24}, [2]int{2400, 31}, [2]int{3000, 36}, [2]int{3500, 36})
)

// Two runs whose starts nobody saw teach what they can; a curve that is continued far
// beyond its readings is no reason to refuse the job.
func TestRunsOfFewReadings(t *testing.T) {
	t.Parallel()
	r := work(t, []byte(`{"title": "t", "runs": [{"springs": ["heavy", "light"], "readings": `+startUnseen+`}, {"clamp": "unmoved", "springs": ["heavy", "heavy"], "readings": `+startSeen+`}]}`))
	if r.Answer.Set == "" || !strings.Contains(strings.Join(r.Runs.Learned, "\n"), "light + light (never fitted): below the stop by ") {
		t.Errorf("answer %+v, learned %q", r.Answer, r.Runs.Learned)
	}
}

// Where no run shows its start, degrees below the stop stand first.
func TestBelowTheStopFirst(t *testing.T) {
	t.Parallel()
	aa, bb := with("", "a", "a"), with("", "b", "b")
	aa.from, bb.from = 1900, 1900
	all := strings.Join(work(t, bench("", aa, bb)).Runs.Learned, "\n")
	if !strings.Contains(all, "a + b (never fitted): below the stop by ") || !strings.Contains(all, "rpm; its start was not seen well: begins") {
		t.Errorf("degrees below the stop do not come first:\n%s", all)
	}
}

// What is to be known of a prediction is printed with it: that the places are taken to be
// alike, and up to where readings determine the curve.
func TestNotesArePrinted(t *testing.T) {
	t.Parallel()
	r := work(t, bench("", with("", "a", "a"), with("", "b", "b")))
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"a + b (never fitted): begins", "taken to be alike"} {
		if !strings.Contains(text, want) {
			t.Errorf("the print lacks %q", want)
		}
	}
}

// What is seen of a spring decides what its readings leave open: a job that says nothing of
// it asks, and one that says that it pulls at rest gets another curve. Lengths that
// contradict what is seen are refused.
func TestSpringSeenLoose(t *testing.T) {
	t.Parallel()
	with := func(drawer string) string {
		return strings.Join(work(t, []byte(`{"title": "t", `+drawer+`"runs": [
			{"springs": ["heavy", "light"], "readings": `+startUnseen+`},
			{"clamp": "unmoved", "springs": ["heavy", "heavy"], "readings": `+startSeen+`}]}`)).Runs.Learned, "\n")
	}
	asks := "spring light hangs loose on its post while the weights rest. Look whether it does."
	silent := with("")
	if !strings.Contains(silent, asks) || !strings.Contains(silent, `"loose_at_rest": true`) {
		t.Errorf("nothing seen: not asked for in\n%s", silent)
	}
	pulls, loose := with(`"drawer": {"springs": [{"name": "light", "loose_at_rest": false}]}, `), with(`"drawer": {"springs": [{"name": "light", "loose_at_rest": true}]}, `)
	if strings.Contains(pulls, asks) || strings.Contains(loose, asks) {
		t.Errorf("seen, and asked for again:\n%s\n%s", pulls, loose)
	}
	if begins := "light + light (never fitted): begins"; !strings.Contains(pulls, begins) || strings.Contains(loose, begins) {
		t.Errorf("begins at a seen speed only where it pulls at rest:\n%s\n%s", pulls, loose)
	}
}

func TestSpringSeenLooseAgainstItsLengths(t *testing.T) {
	t.Parallel()
	for says, want := range map[string]string{
		`"name": "loop stiff", "loose_at_rest": true`:  "",
		`"name": "loop stiff", "loose_at_rest": false`: "loose between posts",
		`"name": "middling", "loose_at_rest": true`:    "under tension between posts",
	} {
		name, _, _ := strings.Cut(says, `, "loose`)
		_, err := job.Read(changed(t, name, says), nil)
		switch {
		case want == "" && err != nil:
			t.Errorf("%s: %v", says, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "loose_at_rest: is ")):
			t.Errorf("%s: error is %v, want it with %q", says, err, want)
		}
	}
}
