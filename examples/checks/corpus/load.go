package corpus

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"example.org/bobweight/advance/strict"
)

// ErrCorpus is wrapped by every error of reading the corpus. The message names
// file, line and field or case.
var ErrCorpus = errors.New("corpus")

// Load reads every *.json file of a folder strictly. It returns all that is
// wrong, joined, not only the first mistake.
func Load(fsys fs.FS, folder string) ([]*File, error) {
	names, err := fs.Glob(fsys, path.Join(folder, "*.json"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("%w: folder %s holds no *.json file", ErrCorpus, folder)
	}
	var files []*File
	var wrong []error
	seen := map[string]string{} // case id or citation -> where
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("%w: %w", ErrCorpus, err))
			continue
		}
		f, errs := read(path.Base(name), data, seen)
		wrong = append(wrong, errs...)
		files = append(files, f)
	}
	return files, errors.Join(wrong...)
}

// read decodes one file and checks each case of it.
func read(name string, data []byte, seen map[string]string) (*File, []error) {
	f := &File{Name: name}
	lines, err := strict.Decode(data, f)
	if err != nil {
		return f, []error{fmt.Errorf("%w: %s: %w", ErrCorpus, name, err)}
	}
	var wrong []error
	note := func(field, format string, args ...any) {
		// A name of the file may hold what does not print.
		printed := strings.Trim(strconv.QuoteToGraphic(field), `"`)
		wrong = append(wrong, fmt.Errorf("%w: %s: line %d: %s: %s", ErrCorpus, name, lines.Of(field), printed, fmt.Sprintf(format, args...)))
	}
	if f.Source.Author == "" || f.Source.Title == "" {
		note("source", "a citation needs at least author and title")
	}
	work := f.Source.Author + ", " + f.Source.Title
	if where, ok := seen[work]; ok {
		note("source", "%s has its file: %s", work, where)
	}
	seen[work] = name
	if len(f.Cases) == 0 {
		note("cases", "there are none")
	}
	for i, c := range f.Cases {
		at := fmt.Sprintf("cases[%d]", i)
		c.file, c.line = f, lines.Of(at)
		c.check(func(field, format string, args ...any) {
			if field != "" {
				field = "." + field
			}
			note(at+field, "case %q: "+format, append([]any{c.ID}, args...)...)
		})
		if where, ok := seen[c.ID]; ok {
			note(at+".id", "case %q: the id is taken by %s", c.ID, where)
		}
		seen[c.ID] = fmt.Sprintf("%s line %d", name, c.line)
	}
	return f, wrong
}

// check verifies what the decoder cannot, and makes the targets.
func (c *Case) check(note func(field, format string, args ...any)) {
	for _, f := range []struct{ name, text string }{
		{"id", c.ID}, {"calculation", c.Calculation}, {"locator", c.Locator},
	} {
		if strings.TrimSpace(f.text) == "" {
			note("", "%s is missing", f.name)
		}
	}
	if _, ok := registry[c.Calculation]; !ok && c.Calculation != "" {
		note("calculation", "no calculation is called %q", c.Calculation)
	}
	if !slices.Contains(Kinds(), c.Kind) {
		note("kind", "%q is none of %v", c.Kind, Kinds())
	}
	c.checkProvenance(note)
	if (c.Kind == Reference) != (c.Method != "") {
		note("method", "a reference computation states its method, and no other kind has one")
	}
	if (c.Kind == Refusal) != (c.Refused != "") {
		note("refused", "a refusal states words of its message, and no other kind has them")
	}
	wanted := len(c.Find) + len(c.Range)
	switch {
	case c.Kind == Refusal && wanted > 0:
		note("find", "a refusal finds nothing")
	case c.Kind != Refusal && wanted == 0:
		note("", "find is missing")
	}
	c.makeTargets(note)
	c.checkMeasured(note)
}

// checkMeasured asks of each measured value what any engine might have shown: a band
// is held against that, see [Row.Width].
func (c *Case) checkMeasured(note func(field, format string, args ...any)) {
	for i := range c.targets {
		t := &c.targets[i]
		r, ok := c.Plausible[t.name]
		if ok != (c.Kind == Measured) {
			note("plausible."+t.name, "a measured value states its plausible range, and no other kind has one")
			continue
		}
		if !ok {
			continue
		}
		span, err := between(t.name, r, nil)
		if err != nil {
			note("plausible."+t.name, "%v", err)
			continue
		}
		if span.low.Dim != t.low.Dim || span.low.Shaft != t.low.Shaft {
			note("plausible."+t.name, "is not of the same kind as the measured value")
		}
		t.span = span.high.SI - span.low.SI
		t.outside = c.Outside[t.name]
	}
	for _, name := range append(slices.Sorted(maps.Keys(c.Plausible)), slices.Sorted(maps.Keys(c.Outside))...) {
		_, found := c.Find[name]
		if _, ranged := c.Range[name]; !found && !ranged {
			note("plausible."+name, "is of no find")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(c.Outside)) {
		if c.Kind != Measured || strings.TrimSpace(c.Outside[name]) == "" {
			note("outside."+name, "says in words why a measured value lies beyond its band")
		}
	}
}

func (c *Case) checkProvenance(note func(field, format string, args ...any)) {
	if !slices.Contains(Provenances(), c.Provenance) {
		note("provenance", "%q is none of %v", c.Provenance, Provenances())
	}
	if (c.Kind == Practice) != (c.Provenance == CommonPractice) || (c.Kind == Published || c.Kind == Measured) && c.Provenance == Own {
		note("provenance", "kind %q does not go with provenance %q", c.Kind, c.Provenance)
	}
	if !slices.Contains([]string{"high", "medium", "low"}, c.Confidence) {
		note("confidence", "%q is none of high, medium, low", c.Confidence)
	}
	seen := c.Seen + c.file.Source.Seen
	if c.Provenance == Read && seen == "" {
		note("seen", "what was read was seen somewhere; seen says where")
	}
	if c.Provenance != Read && c.Seen != "" {
		note("seen", "provenance %q was not seen anywhere", c.Provenance)
	}
}

// tolerance returns the tolerance stated for a find, nil for none.
func (c *Case) tolerance(name string) *Tolerance {
	if t, ok := c.Tolerance[name]; ok {
		return &t
	}
	return nil
}

func (c *Case) makeTargets(note func(field, format string, args ...any)) {
	for _, name := range slices.Sorted(maps.Keys(c.Find)) {
		t, err := published(name, c.Find[name], c.Rounding[name], c.tolerance(name))
		if err != nil {
			note("find."+name, "%v", err)
		}
		t.erratum = c.Erratum[name]
		c.targets = append(c.targets, t)
	}
	for _, name := range slices.Sorted(maps.Keys(c.Range)) {
		if _, ok := c.Find[name]; ok {
			note("range."+name, "is a find too")
		}
		t, err := between(name, c.Range[name], c.tolerance(name))
		if err != nil {
			note("range."+name, "%v", err)
		}
		t.erratum = c.Erratum[name]
		c.targets = append(c.targets, t)
	}
	for _, m := range []struct {
		section string
		names   []string
	}{
		{"rounding", slices.Sorted(maps.Keys(c.Rounding))},
		{"tolerance", slices.Sorted(maps.Keys(c.Tolerance))},
		{"erratum", slices.Sorted(maps.Keys(c.Erratum))},
	} {
		for _, name := range m.names {
			_, found := c.Find[name]
			_, ranged := c.Range[name]
			if !found && !(ranged && m.section != "rounding") {
				note(m.section+"."+name, "is of no find")
			}
			if m.section == "erratum" && strings.TrimSpace(c.Erratum[name]) == "" {
				note(m.section+"."+name, "does not say what is wrong")
			}
		}
	}
}
