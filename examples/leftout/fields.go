package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/bobweight/advance/job"
)

// field is one field of a job: its path, and the steps to it.
type field struct {
	path string
	way  []any
}

// fields lists every field of a document, those inside lists in every entry.
func fields(text []byte) ([]field, error) {
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		return nil, err
	}
	var out []field
	var walk func(v any, path string, to []any)
	walk = func(v any, path string, to []any) {
		switch v := v.(type) {
		case map[string]any:
			for _, name := range slices.Sorted(maps.Keys(v)) {
				at, way := strings.TrimPrefix(path+"."+name, "."), append(slices.Clone(to), name)
				out = append(out, field{at, way})
				walk(v[name], at, way)
			}
		case []any:
			for i := range v {
				walk(v[i], fmt.Sprintf("%s[%d]", path, i), append(slices.Clone(to), i))
			}
		}
	}
	walk(root, "", nil)
	return out, nil
}

// kinds are the first fields of each kind: entries of a list are like each other.
func kinds(all []field) []field {
	seen := map[string]bool{}
	var out []field
	for _, f := range all {
		if !seen[numbered(f.path)] {
			out = append(out, f)
		}
		seen[numbered(f.path)] = true
	}
	return out
}

// drop takes the field out of a decoded document, if it is still there.
func (f field) drop(root map[string]any) {
	var at any = root
	for _, step := range f.way[:len(f.way)-1] {
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
	delete(at.(map[string]any), f.way[len(f.way)-1].(string))
}

// without is a job without some of its fields.
func without(text []byte, list []field) ([]byte, error) {
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		return nil, err
	}
	for _, f := range list {
		f.drop(root)
	}
	return json.Marshal(root)
}

// pairs lists every two fields of which one does not lie inside the other.
func pairs(list []field) [][]field {
	var out [][]field
	for i, a := range list {
		for _, b := range list[i+1:] {
			if !strings.HasPrefix(b.path, a.path+".") && !strings.HasPrefix(b.path, a.path+"[") {
				out = append(out, []field{a, b})
			}
		}
	}
	return out
}

// optional are fields of the demo that have a default or that a job can do without;
// all others are asked for when they are left out.
var optional = []string{
	"engine.rod", "engine.idle", "engine.top", "engine.altitude", "engine.inlet_temperature", "engine.damper_diameter",
	"engine.observed", "distributor.drive", "distributor.weights_count", "distributor.cam_drag", "distributor.friction",
	"distributor.spring_places[].name", "light", "light.angle_error", "light.speed_error", "static_reading",
	"target", "target.total", "target.all_in", "target.start_above_idle", "target.knock_margin",
	"drawer.springs[].count", "drawer.springs[].initial_tension", "drawer.springs[].slack", "drawer.weights[].name", "drawer.springs[].name",
	"vacuum.plate", "vacuum.friction", "engine.full_load_from", "target.static_range",
	"runs[].label", "runs[].date", "runs[].clamp", "runs[].slot_length", "runs[].bush", "runs[].springs", "runs[].weights", "runs[].dwell",
}

// free reports whether a job can do without a field that others cannot: the free length of
// a spring that hung under loads enough, or what its newest run says.
func free(root map[string]any, path string) bool {
	if runs, _ := root["runs"].([]any); len(runs) > 0 {
		newest, _ := runs[len(runs)-1].(map[string]any)
		for field, of := range map[string]string{"slot_length": "distributor.slot.length", "bush": "distributor.slot.pin", "springs": "distributor.springs", "weights": "distributor.weights"} {
			if newest[field] != nil && path == of {
				return true
			}
		}
	}
	head, ok := strings.CutSuffix(path, ".free_length")
	if !ok {
		return false
	}
	var i int
	if _, err := fmt.Sscanf(head, "drawer.springs[%d]", &i); err != nil {
		return false
	}
	drawer, _ := root["drawer"].(map[string]any)
	list, _ := drawer["springs"].([]any)
	if i >= len(list) {
		return false
	}
	hung, _ := list[i].(map[string]any)["hung"].([]any)
	return len(hung) >= 3
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
			for _, pair := range [][2]string{{".wire", ".rate"}, {".hung", ".rate"}, {".centre_to_pivot", ".centre"}} {
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
