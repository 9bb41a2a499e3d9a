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

// field is one field of the demo: how to drop it, and its path without numbers.
type field struct {
	path string
	drop func(root map[string]any)
}

// fields lists every field of a document, those inside lists in every entry.
func fields(t *testing.T, text []byte) []field {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	var out []field
	var walk func(v any, path string, to []any)
	walk = func(v any, path string, to []any) {
		switch v := v.(type) {
		case map[string]any:
			for _, name := range sorted(v) {
				at := strings.TrimPrefix(path+"."+name, ".")
				way := append(slices.Clone(to), name)
				out = append(out, field{at, func(root map[string]any) { dropAt(root, way) }})
				walk(v[name], at, way)
			}
		case []any:
			for i := range v {
				walk(v[i], fmt.Sprintf("%s[%d]", path, i), append(slices.Clone(to), i))
			}
		}
	}
	walk(root, "", nil)
	return out
}

func sorted(m map[string]any) []string {
	var names []string
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// dropAt takes a field out of a decoded document, if it is still there.
func dropAt(root map[string]any, way []any) {
	var at any = root
	for _, step := range way[:len(way)-1] {
		switch s := step.(type) {
		case string:
			m, ok := at.(map[string]any)
			if !ok || m[s] == nil {
				return
			}
			at = m[s]
		case int:
			at = at.([]any)[s]
		}
	}
	delete(at.(map[string]any), way[len(way)-1].(string))
}

// without is the demo without some fields.
func without(t *testing.T, list ...field) []byte {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(demo(t), &root); err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		f.drop(root)
	}
	text, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// optional are fields of the demo that have a default or that a job can do without;
// all others are asked for when they are left out.
var optional = []string{
	"engine.rod", "engine.idle", "engine.top", "engine.altitude", "engine.inlet_temperature", "engine.damper_diameter",
	"engine.observed", "distributor.drive", "distributor.weights_count", "distributor.cam_drag", "distributor.friction",
	"distributor.spring_places[].name", "light", "light.angle_error", "light.speed_error", "static_reading",
	"target", "target.total", "target.all_in", "target.start_above_idle", "target.knock_margin",
	"drawer.springs[].count", "drawer.springs[].initial_tension", "drawer.springs[].slack", "drawer.weights[].name", "drawer.springs[].name",
	"vacuum.plate", "vacuum.friction",
}

// asks reports whether a report asks for a field, or for the section that it stands in.
func asks(list []job.StagePart, path string) bool {
	for _, s := range list {
		for _, m := range s.Missing {
			if m.How == "" || s.Buys == "" {
				return false // asked for in words, with what it would tell
			}
			if m.Field == path || strings.HasPrefix(path, m.Field+".") || strings.HasPrefix(path, m.Field+"[") {
				return true
			}
			// A choice of two: the first of them is asked for.
			for _, pair := range [][2]string{{".wire", ".rate"}, {".centre_to_pivot", ".centre"}} {
				if head, ok := strings.CutSuffix(path, pair[0]); ok && m.Field == head+pair[1] {
					return true
				}
			}
		}
	}
	return false
}

// numbered takes the numbers out of a path.
func numbered(path string) string {
	var b strings.Builder
	for _, c := range path {
		if c < '0' || c > '9' {
			b.WriteRune(c)
		}
	}
	return b.String()
}

// The demo without any one of its fields is a job still: the field is asked for with
// how to get it and what it would tell, or has a default.
func TestEveryFieldMayBeLeftOut(t *testing.T) {
	t.Parallel()
	for _, f := range fields(t, demo(t)) {
		j, err := job.Read(without(t, f), nil)
		if err != nil {
			t.Errorf("without %s: %v", f.path, err)
			continue
		}
		if asked := asks(j.Asks(), f.path); asked == slices.Contains(optional, numbered(f.path)) {
			t.Errorf("without %s: asked for %v", f.path, asked)
		}
	}
}

// Nor does leaving out any two.
func TestEveryPairMayBeLeftOut(t *testing.T) {
	t.Parallel()
	var list []field // the first of its kind: entries of a list are like each other
	seen := map[string]bool{}
	for _, f := range fields(t, demo(t)) {
		if !seen[numbered(f.path)] {
			list = append(list, f)
		}
		seen[numbered(f.path)] = true
	}
	for i, a := range list {
		if testing.Short() && i%8 != 0 {
			continue
		}
		for _, b := range list[i+1:] {
			if strings.HasPrefix(b.path, a.path+".") || strings.HasPrefix(b.path, a.path+"[") {
				continue // left out together
			}
			j, err := job.Read(without(t, a, b), nil)
			if err != nil {
				t.Errorf("without %s and %s: %v", a.path, b.path, err)
				continue
			}
			for _, f := range []field{a, b} {
				if !slices.Contains(optional, numbered(f.path)) && !asks(j.Asks(), f.path) {
					t.Errorf("without %s and %s: %s is not asked for", a.path, b.path, f.path)
				}
			}
		}
	}
}

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
