// Package search makes the index with which a page finds words in all pages of the
// site, offline.
package search

import (
	"encoding/json"
	"fmt"
	"html"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Page is a page to be found.
type Page struct {
	Path, Title, Lead string
	Body              string // HTML
}

// section is a part of a page under a heading, or a term of a list, of its own.
type section struct {
	page                  int
	anchor, heading, text string
}

var (
	heading = regexp.MustCompile(`(?s)<(?:h[2-4]|dt) id="([^"]+)"[^>]*>(.*?)</(?:h[2-4]|dt)>`)
	hidden  = regexp.MustCompile(`(?s)<(script|style|svg|math)[ >].*?</(script|style|svg|math)>|<p class="save">.*?</p>|<a class="(permalink|source)".*?</a>`)
	tag     = regexp.MustCompile(`<[^>]*>`)
)

// text is what a reader sees of HTML, in one line.
func text(of string) string {
	return strings.Join(strings.Fields(html.UnescapeString(tag.ReplaceAllString(hidden.ReplaceAllString(of, " "), " "))), " ")
}

// sections parts a page at its headings.
func sections(n int, p Page) []section {
	list := []section{{n, "", p.Title, p.Lead + " "}}
	last := 0
	for _, m := range heading.FindAllStringSubmatchIndex(p.Body, -1) {
		list[len(list)-1].text += text(p.Body[last:m[0]])
		list = append(list, section{n, p.Body[m[2]:m[3]], text(p.Body[m[4]:m[5]]), ""})
		last = m[1]
	}
	list[len(list)-1].text += text(p.Body[last:])
	return list
}

// Words are the words of a text as the index knows them: letters and digits in small
// letters. A name with capitals inside is one word, and so is each of its parts.
func Words(of string) []string {
	var list []string
	for _, w := range strings.FieldsFunc(of, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		list = append(list, strings.ToLower(w))
		start := 0
		for i, r := range w {
			if i > start && unicode.IsUpper(r) {
				if start > 0 || i < len(w) {
					list = append(list, strings.ToLower(w[start:i]))
				}
				start = i
			}
		}
		if start > 0 {
			list = append(list, strings.ToLower(w[start:]))
		}
	}
	return list
}

const (
	longest = 32  // letters of a word; longer ones are no words
	excerpt = 160 // letters shown of a section
)

// Index is the index as a script that puts it into self.bwIndex: the pages, their
// sections (page, anchor, heading, beginning), and for each word where it stands. A
// place is the number of a section, written in base 36 as the distance from the place
// before; a word of the section's heading has an exclamation mark.
func Index(pages []Page) ([]byte, error) {
	type entry [4]any
	var index struct {
		Pages    [][2]string       `json:"pages"`
		Sections []entry           `json:"sections"`
		Words    map[string]string `json:"words"`
	}
	places := map[string]map[int]bool{} // by word: section, whether in its heading
	for n, p := range pages {
		index.Pages = append(index.Pages, [2]string{p.Path, p.Title})
		for _, s := range sections(n, p) {
			at := len(index.Sections)
			index.Sections = append(index.Sections, entry{n, s.anchor, s.heading, short(s.text)})
			add := func(words []string, head bool) {
				for _, w := range words {
					if len(w) > longest {
						continue
					}
					if places[w] == nil {
						places[w] = map[int]bool{}
					}
					places[w][at] = places[w][at] || head
				}
			}
			add(Words(s.heading), true)
			add(Words(s.text), false)
		}
	}
	index.Words = map[string]string{}
	for w, of := range places {
		var b strings.Builder
		before := 0
		for i, at := range slices.Sorted(maps.Keys(of)) {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(strconv.FormatInt(int64(at-before), 36))
			if of[at] {
				b.WriteByte('!')
			}
			before = at
		}
		index.Words[w] = b.String()
	}
	data, err := json.Marshal(index)
	if err != nil {
		return nil, fmt.Errorf("search: %w", err)
	}
	return fmt.Appendf(nil, "self.bwIndex = %s;\n", data), nil
}

// short is the beginning of a text, ended at a word.
func short(s string) string {
	s = strings.TrimSpace(s)
	r := []rune(s)
	if len(r) <= excerpt {
		return s
	}
	s = string(r[:excerpt])
	if i := strings.LastIndexByte(s, ' '); i > 0 {
		s = s[:i]
	}
	return s + " …"
}
