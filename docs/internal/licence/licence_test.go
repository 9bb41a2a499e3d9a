package licence

import (
	"errors"
	"strings"
	"testing"
)

// The programs of the pages carry the Go runtime, the numerical library and the font of
// the plots; each comes with its text, and nothing of the project's own is listed.
func TestOf(t *testing.T) {
	works, err := Of(t.Context(), "../..", "js/wasm", "example.org/bobweight", "./live/wasm/engine", "./live/wasm/job")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, w := range works {
		found[w.Name] = true
		if strings.HasPrefix(w.Name, "example.org/") {
			t.Errorf("%s is the project's own", w.Name)
		}
		for _, l := range w.Texts {
			if len(l.Body) < 100 {
				t.Errorf("%s: %s holds %d bytes", w.Name, l.Name, len(l.Body))
			}
		}
	}
	for _, want := range []string{"gonum.org/v1/gonum", "gonum.org/v1/plot", "codeberg.org/go-fonts/liberation"} {
		if !found[want] {
			t.Errorf("%s is missing", want)
		}
	}
	if !strings.Contains(works[0].Texts[0].Body, "The Go Authors") {
		t.Errorf("first comes %s", works[0].Name)
	}
}

func TestRefused(t *testing.T) {
	if _, err := texts(t.TempDir()); !errors.Is(err, ErrLicence) {
		t.Errorf("a folder without a licence gives %v", err)
	}
	if _, err := Of(t.Context(), "../..", "js/wasm", "example.org/bobweight", "./nothing/there"); !errors.Is(err, ErrLicence) {
		t.Errorf("a program that is not there gives %v", err)
	}
}
