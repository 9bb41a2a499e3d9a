package apiref

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
)

func TestLoad(t *testing.T) {
	list, err := Load("../../..", func(file string, line int) string { return fmt.Sprintf("%s:%d", file, line) })
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]*Package{}
	for _, p := range list {
		found[p.Dir] = p
	}
	for _, dir := range []string{"springs", "flyweights", "vacuum", "knock", "advance", "advance/job"} {
		if found[dir] == nil {
			t.Fatalf("package %s is missing", dir)
		}
	}
	for dir := range found {
		if dir == "examples/recurve" || strings.HasPrefix(dir, "docs/") || strings.Contains(dir, "internal") {
			t.Errorf("%s is a program, a part of the site or closed to other modules, and does not belong into the reference", dir)
		}
	}
	body := string(found["flyweights"].Body)
	for _, want := range []string{
		`<h4 id="Mechanism.Curve">`, `<h3 id="Swing">`, `href="#Mechanism.SpeedSquared"`, `id="example-Mechanism.Curve"`,
		`href="springs.html"`, "func (m *Mechanism) Curve(dst *Curve) (*Curve, error)",
	} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is missing from the page of flyweights", want)
		}
	}
	if !regexp.MustCompile(`<h3 id="Swing">.*href="flyweights/[a-z_]+\.go:[1-9][0-9]*"`).MatchString(body) {
		t.Error("a type has no link to its source")
	}
	if !strings.Contains(string(found["advance/job"].Body), "the job file&#39;s reference") &&
		!strings.Contains(string(found["advance/job"].Body), "job file") {
		t.Error("comments are missing from the page of advance/job")
	}
}
