package build

import (
	"bytes"
	"html"
	"path"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
)

const root = "../../.."

// made is the site without the compiled library, built once for all tests.
var made Site

func site(t *testing.T) Site {
	t.Helper()
	if made == nil {
		var err error
		if made, err = Build(t.Context(), Options{Root: root, NoEngine: true}); err != nil {
			t.Fatal(err)
		}
	}
	return made
}

var (
	anyTag    = regexp.MustCompile(`<[a-z][^>]*>`)
	idOf      = regexp.MustCompile(`\bid="([^"]*)"`)
	linkOf    = regexp.MustCompile(`\b(?:href|src)="([^"]*)"`)
	labelOf   = regexp.MustCompile(`\b(?:for|aria-labelledby|aria-describedby)="([^"]*)"`)
	headingOf = regexp.MustCompile(`<h([1-6])[ >]`)
)

// anchors are the ids of a page.
func anchors(t *testing.T, name string, page []byte) map[string]bool {
	ids := map[string]bool{}
	for _, tag := range anyTag.FindAll(page, -1) {
		for _, m := range idOf.FindAllSubmatch(tag, -1) {
			id := html.UnescapeString(string(m[1]))
			if ids[id] {
				t.Errorf("%s: the id %q stands twice", name, id)
			}
			ids[id] = true
		}
	}
	return ids
}

// Every link leads to a file of the site and to an anchor in it. No page loads
// anything from elsewhere.
func TestLinks(t *testing.T) {
	s := site(t)
	ids := map[string]map[string]bool{}
	for name, data := range s {
		if path.Ext(name) == ".html" {
			ids[name] = anchors(t, name, data)
		}
	}
	links := 0
	for name, data := range s {
		if path.Ext(name) != ".html" {
			continue
		}
		for _, tag := range anyTag.FindAll(data, -1) {
			for _, m := range labelOf.FindAllSubmatch(tag, -1) {
				if !ids[name][string(m[1])] {
					t.Errorf("%s: %s names no id of the page", name, tag)
				}
			}
			for _, m := range linkOf.FindAllSubmatch(tag, -1) {
				links++
				to := html.UnescapeString(string(m[1]))
				if strings.HasPrefix(to, "data:,") {
					continue
				}
				if strings.Contains(to, ":") || strings.HasPrefix(to, "/") {
					t.Errorf("%s: %s leads out of the site", name, to)
					continue
				}
				file, anchor, _ := strings.Cut(to, "#")
				at := name
				if file != "" {
					at = path.Join(path.Dir(name), file)
				}
				if _, ok := s[at]; !ok {
					t.Errorf("%s: %s: there is no %s", name, to, at)
				} else if anchor != "" && !ids[at][anchor] {
					t.Errorf("%s: %s: %s has no such anchor", name, to, at)
				}
			}
		}
	}
	if links < 500 {
		t.Errorf("only %d links were looked at", links)
	}
}

// Each page has one main heading and a title, and no heading skips a level.
func TestHeadings(t *testing.T) {
	for name, data := range site(t) {
		if path.Ext(name) != ".html" {
			continue
		}
		first, before := 0, byte('0')
		for _, m := range headingOf.FindAllSubmatch(data, -1) {
			level := m[1][0]
			if level == '1' {
				first++
			}
			if level > before+1 {
				t.Errorf("%s: a heading of level %c follows one of level %c", name, level, before)
			}
			before = level
		}
		if first != 1 {
			t.Errorf("%s has %d main headings", name, first)
		}
		if bytes.Contains(data, []byte("<title></title>")) {
			t.Errorf("%s has no title", name)
		}
	}
}

// Every page can be reached from the front page.
func TestReachable(t *testing.T) {
	s := site(t)
	steps := distances(s, "index.html")
	for name := range s {
		if _, ok := steps[name]; !ok && path.Ext(name) == ".html" {
			t.Errorf("no link leads to %s", name)
		}
	}
	if n := steps["embed.html"]; n < 1 || n > 3 {
		t.Errorf("how to embed the curve is %d clicks from the front page, valid is 1 to 3", n)
	}
}

// distances counts the clicks from a page to every other.
func distances(s Site, from string) map[string]int {
	steps := map[string]int{from: 0}
	for queue := []string{from}; len(queue) > 0; queue = queue[1:] {
		name := queue[0]
		for _, m := range linkOf.FindAllSubmatch(s[name], -1) {
			file, _, _ := strings.Cut(string(m[1]), "#")
			at := path.Join(path.Dir(name), file)
			if _, seen := steps[at]; !seen && path.Ext(at) == ".html" {
				steps[at] = steps[name] + 1
				queue = append(queue, at)
			}
		}
	}
	return steps
}

// The site comes out the same, bit for bit, whatever the number of processors:
// text, reference, plots and table.
func TestSameBits(t *testing.T) {
	first := site(t)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	t.Setenv("GOMAXPROCS", "1")
	second, err := Build(t.Context(), Options{Root: root, NoEngine: true})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for name := range first {
		names = append(names, name)
	}
	slices.Sort(names)
	if len(first) != len(second) {
		t.Errorf("%d files, then %d", len(first), len(second))
	}
	plots := 0
	for _, name := range names {
		if !bytes.Equal(first[name], second[name]) {
			t.Errorf("%s differs", name)
		}
		if e := path.Ext(name); e == ".svg" || e == ".png" {
			plots++
		}
	}
	if plots == 0 {
		t.Error("no plot was compared")
	}
}
