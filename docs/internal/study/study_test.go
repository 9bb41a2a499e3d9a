package study

import (
	"bytes"
	"testing"
)

// Every program under examples is a study with a comment, a title and code, and
// at least the main one draws.
func TestRun(t *testing.T) {
	list, err := Run(t.Context(), "../../..")
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[string]int{}
	for _, s := range list {
		if s.Doc == "" || len(s.Code) == 0 || s.Title() == "" {
			t.Errorf("%s has no comment or no code", s.Name)
		}
		for _, p := range s.Plots {
			drawn[s.Name]++
			if !bytes.HasPrefix(p.Data, []byte("<?xml")) && !bytes.HasPrefix(p.Data, []byte("\x89PNG")) {
				t.Errorf("%s of %s is no picture", p.Name, s.Name)
			}
		}
	}
	if drawn["recurve"] != 3 {
		t.Errorf("recurve draws %d plots", drawn["recurve"])
	}
}
