package build

import (
	"fmt"
	"html"
	"html/template"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every page names the source that the site was built from.
func TestVersion(t *testing.T) {
	for name, data := range site(t) {
		if path.Ext(name) == ".html" && !strings.Contains(string(data), `<p class="version">bobweight, `) {
			t.Errorf("%s does not name its source", name)
		}
	}
}

// A folder without version control says so.
func TestVersionUnknown(t *testing.T) {
	t.Setenv("GIT_CEILING_DIRECTORIES", os.TempDir())
	if got := version(t.Context(), t.TempDir()); got != "bobweight, built without version control" {
		t.Errorf("it says %q", got)
	}
}

// The front page tells the demo's own figures, in words and in the picture, and they are
// the trap: set at idle the total comes out well above what is wanted, and after the job
// as wanted.
func TestFrontTellsTheDemo(t *testing.T) {
	b := &builder{Options: Options{Root: root}}
	var err error
	if b.example, err = os.ReadFile(filepath.Join(root, "examples", "recurve", "demo.json")); err != nil {
		t.Fatal(err)
	}
	if err := b.demo(t.Context()); err != nil {
		t.Fatal(err)
	}
	s, err := b.won()
	if err != nil {
		t.Fatal(err)
	}
	if !(s.oldWay > s.wanted+5) || !(s.after <= s.wanted+0.5 && s.after >= s.wanted-0.5) {
		t.Errorf("set at idle %.1f, wanted %.1f, after the job %.1f", s.oldWay, s.wanted, s.after)
	}
	front := string(site(t)["index.html"])
	for _, want := range []string{
		fmt.Sprintf("a total of %.1f", s.oldWay), fmt.Sprintf("set at idle: %.1f°", s.oldWay),
		fmt.Sprintf("wanted: %.1f°", s.wanted), fmt.Sprintf("after the job: %.1f°", s.after),
	} {
		if !strings.Contains(front, want) {
			t.Errorf("the front page lacks %q", want)
		}
	}
	if strings.Index(front, "<svg") > strings.Index(front, "<h2") {
		t.Error("the picture does not come first")
	}
}

// Each term of the contributors' glossary stands on the glossary page, and pages link to it.
func TestGlossary(t *testing.T) {
	s := site(t)
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	page := html.UnescapeString(string(s["glossary.html"]))
	for _, name := range []string{"static timing", "KLSA", "take-up", "dial-back light"} {
		if !strings.Contains(string(data), "| "+name+" |") || !strings.Contains(page, ">"+name) {
			t.Errorf("%s is missing", name)
		}
	}
	links := 0
	for _, data := range s {
		links += strings.Count(string(data), `class="term"`)
	}
	if links < 50 {
		t.Errorf("%d links to the glossary", links)
	}
}

// A term is linked once, where it is text, and nowhere else.
func TestExplain(t *testing.T) {
	b := &builder{terms: []term{{"static timing", "", "", "x"}, {"MBT", "", "", "y"}, {"total", "", "", "z"}}}
	got := string(b.explain("../", template.HTML(`<h2>Static timing</h2><p>The total, <code>MBT</code> and static timings. <em>MBT</em>, <a href="x">static timing</a>.</p>`)))
	want := `<h2>Static timing</h2><p>The total, <code>MBT</code> and <a class="term" href="../glossary.html#static-timing">static timings</a>. <em><a class="term" href="../glossary.html#mbt">MBT</a></em>, <a href="x">static timing</a>.</p>`
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// Each study with a plot of curves offers it as a vector picture, as dots and as a
// table; each is named by what it found and has a small picture.
func TestStudyFiles(t *testing.T) {
	s := site(t)
	list := string(s["studies/index.html"])
	small, tables := 0, 0
	for name := range s {
		if !strings.HasPrefix(name, "studies/") || path.Ext(name) != ".svg" {
			continue
		}
		stem, isSmall := strings.CutSuffix(name, ".small.svg")
		if isSmall {
			small++
			continue
		}
		stem = strings.TrimSuffix(stem, ".svg")
		if s[stem+".png"] == nil {
			t.Errorf("%s has no picture in dots", stem)
		}
		if s[stem+".csv"] != nil {
			tables++
		}
		if page := string(s[path.Dir(stem)+".html"]); !strings.Contains(page, "Save the plot "+path.Base(stem)+" as png") {
			t.Errorf("%s cannot be saved", stem)
		}
	}
	if small < 20 || tables < 20 || !strings.Contains(list, ".small.svg") {
		t.Errorf("%d small pictures, %d tables", small, tables)
	}
}

var listed = regexp.MustCompile(`(?m)^const files = (\[.*\]);$`)

// What is kept for use without a network is every page and all that pages need.
func TestOfflineList(t *testing.T) {
	s := site(t)
	m := listed.FindSubmatch(s["offline.js"])
	if m == nil {
		t.Fatal("the worker has no list")
	}
	for name := range s {
		switch ext := path.Ext(name); {
		case ext == ".png", ext == ".csv", name == "offline.js":
		case !strings.Contains(string(m[1]), `"`+name+`"`):
			t.Errorf("%s is not kept", name)
		}
	}
}

// The licences of what is passed on stand on their page, and no licence of the
// project's own, which is for its owner to choose.
func TestLicences(t *testing.T) {
	page := string(site(t)["licences.html"])
	for _, want := range []string{"gonum.org/v1/gonum", "go-fonts/liberation", "The Go Authors", "for its owner to choose"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if strings.Contains(page, "<summary>example.org/") {
		t.Error("the project's own modules are listed")
	}
}

// With an address of a repository the source links lead there, with file and line.
func TestSourceElsewhere(t *testing.T) {
	b := &builder{Options: Options{Source: "https://host.invalid/{file}#L{line}"}, wanted: map[string]bool{}}
	if got := b.located("../", "springs/spring.go", 12); got != "https://host.invalid/springs/spring.go#L12" || len(b.wanted) != 0 {
		t.Errorf("link is %s, files wanted %v", got, b.wanted)
	}
}
