package study

import (
	"bytes"
	"testing"
)

// Every study draws the same bits twice.
func TestSameBits(t *testing.T) {
	first, err := Run(t.Context(), "../../..")
	if err != nil {
		t.Fatal(err)
	}
	second, err := Run(t.Context(), "../../..")
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != len(second) || len(first) < 2 {
		t.Fatalf("%d and %d studies", len(first), len(second))
	}
	plots := 0
	for i, s := range first {
		if s.Doc == "" || len(s.Code) == 0 || s.Title() == "" {
			t.Errorf("%s has no comment or no code", s.Name)
		}
		if len(s.Plots) != len(second[i].Plots) {
			t.Fatalf("%s draws %d plots, then %d", s.Name, len(s.Plots), len(second[i].Plots))
		}
		for k, p := range s.Plots {
			plots++
			if !bytes.Equal(p.Data, second[i].Plots[k].Data) {
				t.Errorf("%s of %s differs between two runs", p.Name, s.Name)
			}
		}
	}
	if plots == 0 {
		t.Error("no study draws")
	}
}
