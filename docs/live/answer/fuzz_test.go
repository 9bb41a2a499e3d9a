package answer

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"example.org/bobweight/springs/fuzzing"
)

// FuzzAnswer changes one place of a job on the bench page, or of its request. It is
// worked through or refused with faults in plain text; the answer is JSON.
func FuzzAnswer(tf *testing.F) {
	f := fuzzing.New(tf)
	const light = `{"title": "light", "readings_csv": "light.csv"}`
	const csv = "rpm crank,deg crank\n700,10\n1400,16\n2000,24\n2800,34\n3600,34\n"
	for i, x := range []string{"rpm", "9e999", "-5", "\u202e\x1b[2J", "rpm crank,deg crank\n", "\n", "1e308", ""} {
		f.Add(uint16(i), uint16(i), uint16(0), x)
		f.Add(uint16(2*i), uint16(i+1), uint16(2*i), x)
		f.Add(uint16(0), uint16(40+i), uint16(8+i), x)
	}
	f.Fuzz(func(t *testing.T, where, place, kind uint16, x string) {
		q := Request{Job: light, Files: map[string]string{"light.csv": csv}}
		switch where % 3 {
		case 0:
			at := int(place) % (len(csv) + 1)
			q.Files["light.csv"] = csv[:at] + x + csv[at:]
		case 1:
			q.Job = string(fuzzing.Rewrite([]byte(light), place, kind, x))
		}
		in, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		if where%3 == 2 {
			if in = fuzzing.Rewrite(in, place, kind, x); in == nil {
				in = []byte(x)
			}
		}
		out, err := Call(t.Context(), in, nil)
		if err != nil {
			return
		}
		var a Answer
		if err := json.Unmarshal(out, &a); err != nil {
			t.Fatalf("%v: %.100q", err, out)
		}
		if (len(a.Faults) > 0) == (a.Report != "") {
			t.Errorf("%d faults and a report of %d bytes", len(a.Faults), len(a.Report))
		}
		texts := []string{a.Report, a.Sheet, a.Table}
		for _, fault := range a.Faults {
			texts = append(texts, fault.Text)
			if len(fault.Text) > 3000 || fault.Text == "" {
				t.Errorf("a fault of %d bytes: %.200q", len(fault.Text), fault.Text)
			}
		}
		for _, text := range texts {
			if at := strings.IndexFunc(text, func(c rune) bool { return c != '\n' && !unicode.IsGraphic(c) }); at >= 0 {
				t.Errorf("%.40q cannot be printed", text[at:])
			}
		}
	})
}
