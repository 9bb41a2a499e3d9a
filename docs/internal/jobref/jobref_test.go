package jobref

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

const root = "../../.."

func demo(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(root + "/examples/recurve/demo.json")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func reference(t *testing.T) (r *Reference, schema map[string]any) {
	t.Helper()
	r, err := New(root, demo(t))
	if err != nil {
		t.Fatal(err)
	}
	text, err := r.Schema()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &schema); err != nil {
		t.Fatal(err)
	}
	return r, schema
}

// validate is as much of JSON schema as ours uses; another keyword is an error.
func validate(schema, of map[string]any, v any, at string) error {
	for key, want := range of {
		switch key {
		case "$schema", "title", "description", "$defs":
		case "$ref":
			def, ok := schema["$defs"].(map[string]any)[strings.TrimPrefix(want.(string), "#/$defs/")].(map[string]any)
			if !ok {
				return fmt.Errorf("%s: no definition %s", at, want)
			}
			if err := validate(schema, def, v, at); err != nil {
				return err
			}
		case "type":
			kind := map[reflect.Kind]string{reflect.String: "string", reflect.Bool: "boolean", reflect.Float64: "integer", reflect.Map: "object", reflect.Slice: "array"}[reflect.ValueOf(v).Kind()]
			if kind != want {
				return fmt.Errorf("%s: is %s, not %s", at, kind, want)
			}
		case "pattern":
			if s, ok := v.(string); ok && !regexp.MustCompile(want.(string)).MatchString(s) {
				return fmt.Errorf("%s: %q does not match", at, s)
			}
		case "properties":
			object, _ := v.(map[string]any)
			for name, one := range object {
				p, ok := want.(map[string]any)[name].(map[string]any)
				if !ok {
					return fmt.Errorf("%s: no field %s", at, name)
				}
				if err := validate(schema, p, one, at+"."+name); err != nil {
					return err
				}
			}
		case "additionalProperties":
			if want != false {
				return fmt.Errorf("%s: lets anything pass", at)
			}
		case "required":
			object, _ := v.(map[string]any)
			for _, name := range want.([]any) {
				if _, ok := object[name.(string)]; !ok {
					return fmt.Errorf("%s: %s is missing", at, name)
				}
			}
		case "allOf":
			for _, one := range want.([]any) {
				if err := validate(schema, one.(map[string]any), v, at); err != nil {
					return err
				}
			}
		case "not":
			if validate(schema, want.(map[string]any), v, at) == nil {
				return fmt.Errorf("%s: fields stand side by side that exclude each other", at)
			}
		case "items":
			list, _ := v.([]any)
			for i, one := range list {
				if err := validate(schema, want.(map[string]any), one, fmt.Sprintf("%s[%d]", at, i)); err != nil {
					return err
				}
			}
		default:
			return fmt.Errorf("%s: keyword %s is not understood", at, key)
		}
	}
	return nil
}

func TestDemoIsValid(t *testing.T) {
	_, schema := reference(t)
	var v any
	if err := json.Unmarshal(demo(t), &v); err != nil {
		t.Fatal(err)
	}
	if err := validate(schema, schema, v, "job"); err != nil {
		t.Error(err)
	}
}

// Every field of the types stands in the schema and nothing else, and every one
// has its comment.
func TestSameFields(t *testing.T) {
	r, schema := reference(t)
	defs := schema["$defs"].(map[string]any)
	for i, o := range r.Objects {
		of := schema
		if i > 0 {
			of = defs[o.Name].(map[string]any)
		}
		fields := of["properties"].(map[string]any)
		if len(fields) != len(o.Fields) {
			t.Errorf("%s has %d fields, its schema %d", o.Name, len(o.Fields), len(fields))
		}
	}
	if r.Objects[0].Name != "File" || len(r.Objects) < 10 {
		t.Errorf("%d objects, the first %s", len(r.Objects), r.Objects[0].Name)
	}
	var undocumented []string
	for _, o := range r.Objects {
		if o.Comment == "" {
			undocumented = append(undocumented, o.Name)
		}
	}
	if undocumented != nil {
		t.Errorf("without a comment: %v", undocumented)
	}
}

// spoil changes the first thing in the demo that the path leads to.
func spoil(t *testing.T, path string, with any) []byte {
	t.Helper()
	var whole any
	if err := json.Unmarshal(demo(t), &whole); err != nil {
		t.Fatal(err)
	}
	at := whole
	names := strings.Split(path, ".")
	for i, name := range names {
		if list, ok := at.([]any); ok {
			at = list[0]
		}
		object, ok := at.(map[string]any)
		if !ok {
			t.Fatalf("%s leads nowhere", path)
		}
		if i == len(names)-1 {
			object[name] = with
			if with == nil {
				delete(object, name)
			}
		}
		at = object[name]
	}
	data, err := json.Marshal(whole)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// What the schema refuses, the reader refuses, and the other way round.
func TestSchemaAgreesWithReader(t *testing.T) {
	_, schema := reference(t)
	for _, c := range []struct {
		path string
		with any
		good bool
	}{
		{"engine.bore", nil, true},
		{"engine.bore", 88.0, false},
		{"engine.bore", "88", false},
		{"engine.bore", "3.46 in", true},
		{"engine.cylinders", "six", false},
		{"engine.rod", nil, true},
		{"engine.idle", "800 rpm", false},
		{"engine.idle", "400 rpm dist", true},
		{"engine.colour", "red", false},
		{"engine.fuel", []any{"95 RON", "85 MON"}, true},
		{"engine.fuel", []any{"95", "85 MON"}, false},
		{"engine.fuel", []any{"91 (R+M)/2"}, true},
		{"engine.compression_ratio", "8.4:1", true},
		{"engine.compression_ratio", "8.4 1", true},
		{"engine.compression_ratio", "8.4", false},
		{"readings", nil, true},
		{"readings_csv", "also.csv", false},
		{"readings.shows", "12 deg", false},
		{"drawer.springs.rate", nil, true},
		{"drawer.springs.slack", nil, true},
		{"drawer.weights.mass", nil, true},
		{"distributor.cam_per_swing", nil, true},
		{"distributor.friction", nil, true},
		{"vacuum", nil, true},
		{"vacuum.rate", nil, true},
		{"vacuum.friction", nil, true},
		{"target", nil, true},
		{"light", nil, true},
		{"title", nil, true},
	} {
		data := spoil(t, c.path, c.with)
		_, refused := job.Read(data, nil)
		var v any
		if err := json.Unmarshal(data, &v); err != nil {
			t.Fatal(err)
		}
		invalid := validate(schema, schema, v, "job")
		if (refused == nil) != c.good || (invalid == nil) != c.good {
			t.Errorf("%s = %v: want good %t; the reader says %v, the schema %v", c.path, c.with, c.good, refused, invalid)
		}
	}
}

func TestHTML(t *testing.T) {
	r, _ := reference(t)
	body, err := r.HTML()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`id="the-engine.bore"`, `this or wire or hung, for: `, `id="the-length"`, "rpm crank, rpm dist"} {
		if !strings.Contains(string(body), want) {
			t.Errorf("%q is missing", want)
		}
	}
}
