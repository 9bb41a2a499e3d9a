package job_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/bobweight/advance/job"
)

// section is a job of some sections of the demo.
func section(t *testing.T, names ...string) []byte {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(demo(t), &root); err != nil {
		t.Fatal(err)
	}
	out := map[string]any{"title": "a part of the demo"}
	for _, path := range names {
		from, to := root, out
		list := strings.Split(path, ".")
		for _, name := range list[:len(list)-1] {
			if to[name] == nil {
				to[name] = map[string]any{}
			}
			from, to = from[name].(map[string]any), to[name].(map[string]any)
		}
		last := list[len(list)-1]
		to[last] = from[last]
	}
	text, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// A title and any one section is a job: it answers its stage, and asks for the others.
func TestSingleSections(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		sections []string
		answers  []string
		says     []string
	}{
		{[]string{"readings"}, []string{"present curve", "clamp and slot alone"}, []string{"degrees", "of common practice", "SETTING AND CHECK SHEET", "nothing is said of torque or knock"}},
		{[]string{"readings", "distributor.slot"}, []string{"present curve", "clamp and slot alone", "slot against travel"}, []string{"close ", "bush"}},
		{[]string{"distributor.slot"}, []string{"slot against travel"}, []string{"One degree of crank advance is 0.17 mm of slot", "bush over the pin"}},
		{[]string{"distributor", "drawer"}, []string{"slot against travel", "curve of the fitted parts", "recipes from the drawer"}, []string{"Begins at 462 rpm", "Ranked by closeness to the wanted curve", "nothing is said of torque or knock"}},
		{[]string{"engine"}, []string{"what the engine wants and tolerates"}, []string{"best torque", "trace knock"}},
		{[]string{"vacuum"}, []string{"what the vacuum unit does"}, []string{"The unit begins at", "manifold vacuum"}},
		{nil, nil, []string{"Nothing is set from this"}},
	} {
		r := work(t, section(t, c.sections...))
		var answered []string
		for _, s := range r.Stages {
			if s.Answered {
				answered = append(answered, s.Stage)
			} else if len(s.Missing) == 0 || s.Buys == "" {
				t.Errorf("%v: %q is neither answered nor asked for", c.sections, s.Stage)
			}
		}
		slices.Sort(answered)
		slices.Sort(c.answers)
		if !slices.Equal(answered, c.answers) {
			t.Errorf("%v answers %q, want %q", c.sections, answered, c.answers)
		}
		var b strings.Builder
		if err := r.Text(&b); err != nil {
			t.Fatal(err)
		}
		text := strings.Join(strings.Fields(b.String()), " ")
		for _, want := range c.says {
			if !strings.Contains(text, want) {
				t.Errorf("%v: the print lacks %q", c.sections, want)
			}
		}
		if r.Engine == nil && strings.Contains(text, "torque given up") {
			t.Errorf("%v: torque is spoken of without an engine", c.sections)
		}
	}
}

// Progress rises from 0 to 1 over the whole job.
func TestProgressIsOneBar(t *testing.T) {
	t.Parallel()
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	last, reports := 0.0, 0
	var full time.Time
	_, err = j.Run(t.Context(), func(_ string, done float64) {
		mu.Lock()
		defer mu.Unlock()
		if done < last || done > 1 {
			t.Errorf("progress %g after %g", done, last)
		}
		last, reports = done, reports+1
		if done == 1 && full.IsZero() {
			full = time.Now()
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("it stands at 100 %% for the last %v", time.Since(full))
	if last != 1 || reports < 10 {
		t.Errorf("%d reports, the last %g", reports, last)
	}
}

// The answer is handed over before what it rests on, and stays; a job that is interrupted
// after it returns it with the sheet of the first recipe.
func TestAnsweredFirst(t *testing.T) {
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var first []job.Answer
	j.Answered = func(r *job.Report) {
		first = append(first, r.Answer)
		if r.Sheet == nil || len(r.Curves) == 0 || len(r.Recipes) != 1 {
			t.Errorf("sheet %v, %d curve rows, %d recipes stand with the answer", r.Sheet, len(r.Curves), len(r.Recipes))
		}
	}
	whole, err := j.Run(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != 1 || !reflect.DeepEqual(first[0], whole.Answer) {
		t.Fatalf("handed over %+v, in the whole report %+v", first, whole.Answer)
	}
	j.Answered = func(*job.Report) { cancel() }
	r, err := j.Run(ctx, nil)
	if !errors.Is(err, context.Canceled) || r == nil || !reflect.DeepEqual(r.Answer, whole.Answer) || !reflect.DeepEqual(r.Sheet, whole.Sheet) {
		t.Errorf("interrupted after the answer: report %v, error %v", r, err)
	}
}

// A job of a slot or a vacuum unit alone answers with what that does.
func TestOnePartAloneAnswers(t *testing.T) {
	t.Parallel()
	if a := work(t, section(t, "distributor.slot")).Answer; !strings.HasPrefix(a.Forbids, "One degree of crank advance is 0.17 mm of slot; as it is") {
		t.Errorf("the answer is %q", a.Forbids)
	}
	if a := work(t, section(t, "vacuum")).Answer; !strings.HasPrefix(a.Forbids, "The unit begins at ") {
		t.Errorf("the answer is %q", a.Forbids)
	}
}

// Readings that show no curve are not passed over: the answer and the question say what
// they lack.
func TestReadingsThatShowNoCurve(t *testing.T) {
	t.Parallel()
	const row = `{"at": "%d rpm crank", "shows": "%d deg crank"%s}`
	rows := func(n int, more string) string {
		var list []string
		for i := range n {
			list = append(list, fmt.Sprintf(row, 800+700*i, 20+8*i, more))
		}
		return "[" + strings.Join(list, ",") + "]"
	}
	for name, c := range map[string]struct{ job, says string }{
		"run hose on":      {`{"title": "t", "runs": [{"hose_on": true, "readings": ` + rows(4, "") + `}]}`, "hose on"},
		"readings hose on": {`{"title": "t", "readings": ` + rows(4, `, "vacuum": "18 inHg"`) + `}`, "hose on"},
		"two readings":     {`{"title": "t", "readings": ` + rows(2, "") + `}`, "No curve is seen in 2 readings"},
		"run of one":       {`{"title": "t", "runs": [{"readings": ` + rows(1, "") + `}]}`, "No curve is seen in the newest run"},
	} {
		r := run(t, []byte(c.job))
		if !strings.Contains(r.Answer.Forbids, c.says) {
			t.Errorf("%s: the answer is %q", name, r.Answer.Forbids)
		}
		if m := r.Stages[0].Missing; len(m) == 0 || !strings.Contains(m[0].How, c.says) {
			t.Errorf("%s: asked for %+v", name, m)
		}
	}
}
