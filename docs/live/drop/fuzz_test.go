package drop

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/results"
	"example.org/bobweight/springs/fuzzing"
)

// FuzzPictures changes one place of the result or of the job from which pictures are
// asked. They are drawn or refused, without a number that is none.
func FuzzPictures(tf *testing.F) {
	f := fuzzing.New(tf)
	demo, err := os.ReadFile(filepath.Join(root, "examples", "recurve", "demo.json"))
	if err != nil {
		tf.Fatal(err)
	}
	j, err := job.Read(demo, nil)
	if err != nil {
		tf.Fatal(err)
	}
	r, err := j.Run(tf.Context(), nil)
	if err != nil {
		tf.Fatal(err)
	}
	result, err := results.JSON(r)
	if err != nil {
		tf.Fatal(err)
	}
	for i, text := range []string{"-1", "1e308", "0", "\u202e\x1b[2J", "<script>", "{}", "1e-300", "1e999"} {
		f.Add(uint16(0), uint16(3*i), uint16(7), text)
		f.Add(uint16(i), uint16(7*i+1), uint16(i), text)
		f.Add(uint16(1), uint16(11*i), uint16(7*i), text)
	}
	f.Add(uint16(1), uint16(65535), uint16(7), "1e308") // an axis without end
	f.Add(uint16(1), uint16(65522), uint16(7), "1e308")
	f.Fuzz(func(t *testing.T, where, place, kind uint16, text string) {
		d := Drop{Job: string(demo), Result: string(result)}
		if where%4 == 0 {
			d.Job = string(fuzzing.Rewrite(demo, place, kind, text))
		} else {
			d.Result = string(fuzzing.Rewrite(result, place, kind, text))
		}
		in, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		out, err := Call(t.Context(), "pictures", in, nil)
		if err != nil {
			if !errors.Is(err, ErrDrop) {
				t.Error(err)
			}
			return
		}
		var p Pictures
		if err := json.Unmarshal(out, &p); err != nil {
			t.Fatal(err)
		}
		for _, picture := range []string{p.Curve, p.Drawing, p.Form} {
			if strings.Contains(picture, "NaN") || strings.Contains(picture, "Inf") || strings.ContainsAny(picture, "\x1b\u202e") {
				t.Errorf("a picture holds what cannot be drawn")
			}
		}
	})
}
