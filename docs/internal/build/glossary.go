package build

import (
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// term is a line of the glossary.
type term struct{ name, symbol, unit, meaning string }

// id is the anchor of the term.
func (t term) id() string {
	return strings.Trim(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, t.name), "-")
}

// glossary reads the contributors' glossary, which is the readers' too.
func (b *builder) glossary() error {
	data, err := os.ReadFile(filepath.Join(b.Root, "DEVELOPERS.md"))
	if err != nil {
		return err
	}
	_, text, _ := strings.Cut(string(data), "\n## Glossary\n")
	text, _, _ = strings.Cut(text, "\n## ")
	for _, line := range strings.Split(text, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), "|")
		if len(cells) != 4 || strings.HasPrefix(line, "|---") || strings.HasPrefix(line, "| term ") {
			continue
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		b.terms = append(b.terms, term{cells[0], cells[1], cells[2], cells[3]})
	}
	if len(b.terms) < 20 {
		return fmt.Errorf("the glossary of DEVELOPERS.md holds %d terms", len(b.terms))
	}
	return nil
}

// glossaryList is the glossary as a page shows it, in the order of the alphabet.
func (b *builder) glossaryList() string {
	list := slices.Clone(b.terms)
	slices.SortFunc(list, func(x, y term) int { return strings.Compare(strings.ToLower(x.name), strings.ToLower(y.name)) })
	var out strings.Builder
	out.WriteString("<dl class=\"fields terms\" data-filter=\"\">\n")
	for _, t := range list {
		also := strings.Trim(t.symbol+", "+t.unit, ", ")
		if also != "" {
			also = " <span>" + template.HTMLEscapeString(also) + "</span>"
		}
		meaning := []rune(t.meaning)
		meaning[0] = unicode.ToUpper(meaning[0])
		fmt.Fprintf(&out, "<div><dt id=\"%s\">%s%s</dt><dd>%s.</dd></div>\n", t.id(), template.HTMLEscapeString(t.name), also, template.HTMLEscapeString(string(meaning)))
	}
	out.WriteString("</dl>\n")
	return out.String()
}

// everyday are terms that are everyday words as well; they are not linked, for most of
// the time they mean what they always mean.
var everyday = []string{
	"total", "start", "travel", "slope", "hold", "snap", "stop", "rate", "run", "share", "band", "post", "swing",
	"plate", "slack", "interval", "duty", "drawer", "sheet", "recipe", "rising, falling", "bush",
}

// passes are elements whose text stays as it is.
var passes = regexp.MustCompile(`^<(a|h[1-6]|pre|code|math|svg|button|label|dt|summary|script|option|legend|title|figcaption)[ >/]`)

// anyElement matches a tag.
var anyElement = regexp.MustCompile(`<[^>]*>`)

// explain links the first place of each term of the glossary in a page to its meaning.
func (b *builder) explain(root string, body template.HTML) template.HTML {
	type wanted struct {
		find *regexp.Regexp
		id   string
	}
	var terms []wanted
	for _, t := range b.terms {
		if slices.Contains(everyday, t.name) {
			continue
		}
		for _, name := range strings.Split(t.name, ", ") {
			terms = append(terms, wanted{regexp.MustCompile(`(?i)\b` + regexp.QuoteMeta(name) + `s?\b`), t.id()})
		}
	}
	done := map[string]bool{}
	link := func(text string) string {
		for _, t := range terms {
			if done[t.id] {
				continue
			}
			at := t.find.FindStringIndex(text)
			if at == nil {
				continue
			}
			done[t.id] = true
			// What is linked once is not looked at again.
			mark := fmt.Sprintf(`<a class="term" href="%sglossary.html#%s">%s</a>`, root, t.id, text[at[0]:at[1]])
			return text[:at[0]] + mark + text[at[1]:]
		}
		return text
	}
	var out strings.Builder
	inside, last := 0, 0
	source := string(body)
	for _, m := range anyElement.FindAllStringIndex(source, -1) {
		if inside == 0 {
			out.WriteString(link(source[last:m[0]]))
		} else {
			out.WriteString(source[last:m[0]])
		}
		tag := source[m[0]:m[1]]
		switch open := strings.Replace(tag, "</", "<", 1); {
		case !passes.MatchString(open), strings.HasSuffix(tag, "/>"):
		case strings.HasPrefix(tag, "</"):
			inside = max(0, inside-1)
		default:
			inside++
		}
		out.WriteString(tag)
		last = m[1]
	}
	out.WriteString(source[last:])
	return template.HTML(out.String())
}
