package search_test

import (
	"encoding/json"
	"strings"
	"testing"

	"example.org/bobweight/docs/internal/search"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever the pages hold, the index is a script that puts JSON in place and ends
// nothing around it.
func FuzzIndex(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add("Springs", "How they pull", `<h2 id="rate">Rate</h2><p>k is the rate of aSpringLaw &amp; more</p>`)
	f.Add("\u2028</script>", "\xff", `<h2 id=""><h3 id="a"><svg><dt id="x">`)
	f.Add("", "", "<")
	f.Fuzz(func(t *testing.T, title, lead, body string) {
		out, err := search.Index([]search.Page{{Path: "a.html", Title: title, Lead: lead, Body: body}, {Path: "b.html", Title: lead, Lead: title, Body: title + body}})
		if err != nil {
			t.Fatal(err)
		}
		_, object, _ := strings.Cut(string(out), "=")
		object = strings.TrimRight(strings.TrimSpace(object), ";")
		if !json.Valid([]byte(object)) || strings.Contains(object, "</script") {
			t.Errorf("the index is %.300q", out)
		}
		for _, w := range search.Words(title + " " + body) {
			if w == "" {
				t.Errorf("an empty word in %q", title+" "+body)
			}
		}
	})
}
