package strict

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// errStop ends the reading where nothing sensible can follow.
var errStop = errors.New("strict: reading stopped")

// decoder reads tokens into values and goes on behind a mistake.
type decoder struct {
	scanner
	ahead  *token // read but not taken
	lines  Lines
	types  map[reflect.Type]*fields
	faults *faults
}

// fields are those of a struct by their json names.
type fields struct {
	at    map[string]int
	names string // in the order of declaration, for messages
}

// fail notes a mistake at a token. Its error ends the reading once the list is full.
func (d *decoder) fail(t token, path, msg string) error {
	d.faults.add(t.at, path, msg, nil)
	if d.faults.more > 0 {
		return errStop
	}
	return nil
}

// peek is the next token. A comment is noted and passed over.
func (d *decoder) peek() token {
	for d.ahead == nil || d.ahead.kind == comment {
		t := d.next()
		d.ahead = &t
		if t.kind == comment {
			d.faults.add(t.at, "", "a comment cannot stand in the file: take it out", nil)
		}
	}
	return *d.ahead
}

// take reads the next token and notes what is wrong with how it is written.
func (d *decoder) take(path string) (token, error) {
	t := d.peek()
	d.ahead = nil
	if t.kind == end {
		d.faults.add(t.at, path, "the document ends too early: a brace or bracket is not closed", nil)
		return t, errStop
	}
	if t.mend != "" {
		return t, d.fail(t, path, t.mend)
	}
	return t, nil
}

// value reads into v; an invalid v passes the value over.
func (d *decoder) value(v reflect.Value, path string, depth int) error {
	t, err := d.take(path)
	if err != nil {
		return err
	}
	return d.from(t, v, path, depth)
}

func (d *decoder) from(t token, v reflect.Value, path string, depth int) error {
	if depth > maxDepth {
		d.fail(t, path, fmt.Sprintf("nested deeper than %d", maxDepth))
		return errStop
	}
	if !v.IsValid() {
		return d.pass(t, path, depth)
	}
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		return d.from(t, v.Elem(), path, depth)
	}
	if path != "" {
		d.lines[path] = t.at.Line
	}
	if into, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		return d.text(into, t, path, depth)
	}
	switch v.Kind() {
	case reflect.Struct:
		return d.object(v, t, path, depth)
	case reflect.Map:
		return d.named(v, t, path, depth)
	case reflect.Slice:
		return d.list(v, t, path, depth)
	}
	return d.scalar(v, t, path, depth)
}

// pass reads over a value that has no place.
func (d *decoder) pass(t token, path string, depth int) error {
	switch {
	case t.is("{"):
		return d.keys(path, func(string, string, token) error { return d.value(reflect.Value{}, path, depth+1) })
	case t.is("["):
		return d.elements(path, func(int) error { return d.value(reflect.Value{}, path, depth+1) })
	case t.kind == mark:
		return d.forgotten(t, path)
	}
	return nil
}

// forgotten notes a value that is not there. A mark that stands in its place
// belongs to what is around it.
func (d *decoder) forgotten(t token, path string) error {
	if !t.is(":") {
		d.ahead = &t
	}
	return d.fail(t, path, "a value is missing before "+t.text)
}

// wrong notes a value of the wrong kind and passes over what is left of it.
func (d *decoder) wrong(t token, path, msg string, depth int) error {
	if t.kind == mark && !t.is("{") && !t.is("[") {
		return d.forgotten(t, path)
	}
	if err := d.fail(t, path, msg); err != nil {
		return err
	}
	return d.pass(t, path, depth)
}

// text hands a text, or the digits of a bare number, to a type that reads text: the
// type knows best what is missing from "12".
func (d *decoder) text(into encoding.TextUnmarshaler, t token, path string, depth int) error {
	if t.kind == mark || t.text == "null" && t.kind == word {
		return d.wrong(t, path, "needs a text in quotes, found "+found(t), depth)
	}
	if t.kind == word && !isNumber(t.text) {
		return d.fail(t, path, "needs quotes: \""+printable(t.text, maxQuote)+"\"")
	}
	if err := into.UnmarshalText([]byte(t.text)); err != nil {
		d.faults.add(t.at, path, err.Error(), err)
		if d.faults.more > 0 {
			return errStop
		}
	}
	return nil
}

// isNumber reports whether a word is a number as JSON writes it.
func isNumber(s string) bool {
	return s != "" && (s[0] == '-' || s[0] >= '0' && s[0] <= '9') && json.Valid([]byte(s))
}

// keys walks the names of an object behind its brace and calls read for the value
// of each.
func (d *decoder) keys(path string, read func(name, path string, t token) error) error {
	return d.members(path, "}", func() error {
		t, err := d.take(path)
		if err != nil {
			return err
		}
		name := t.text
		switch {
		case t.kind == mark:
			d.fail(t, path, "needs a name in quotes, found "+found(t))
			return errStop
		case t.kind == word:
			if err := d.fail(t, path, "the name needs quotes: \""+printable(name, maxQuote)+"\""); err != nil {
				return err
			}
		}
		path := join(path, printable(name, maxQuote))
		if colon := d.peek(); colon.is(":") {
			if _, err := d.take(path); err != nil {
				return err
			}
		} else if err := d.fail(colon, path, "a colon is missing behind the name"); err != nil {
			return err
		}
		return read(name, path, t)
	})
}

// members walks what stands between the opening mark, which is taken, and its
// closing one, parted by commas.
func (d *decoder) members(path, closing string, one func() error) error {
	for first := true; ; first = false {
		t := d.peek()
		switch {
		case t.is(closing):
			_, err := d.take(path)
			return err
		case t.is("}"), t.is("]"):
			if _, err := d.take(path); err != nil {
				return err
			}
			return d.fail(t, path, fmt.Sprintf("%s stands where %s goes", t.text, closing))
		case t.is(","):
			if skip, err := d.comma(t, path, closing, first); err != nil {
				return err
			} else if skip {
				continue
			}
		case !first && t.kind != end:
			if err := d.fail(t, path, "a comma is missing before this"); err != nil {
				return err
			}
		}
		if err := one(); err != nil {
			return err
		}
	}
}

// comma takes a comma and names one that is too many. It reports whether no member
// follows at once.
func (d *decoder) comma(t token, path, closing string, first bool) (skip bool, err error) {
	if _, err := d.take(path); err != nil {
		return false, err
	}
	if next := d.peek(); first || next.is(",") || next.is(closing) {
		if err := d.fail(t, path, "a comma too many: take it out"); err != nil {
			return false, err
		}
	}
	next := d.peek()
	return next.kind == mark && !next.is("{") && !next.is("["), nil
}

func (d *decoder) object(v reflect.Value, t token, path string, depth int) error {
	if !t.is("{") {
		return d.wrong(t, path, "needs fields in braces, found "+found(t), depth)
	}
	known := d.fieldsOf(v.Type())
	seen := map[string]bool{}
	return d.keys(path, func(name, path string, t token) error {
		i, ok := known.at[name]
		into := reflect.Value{}
		var err error
		switch {
		case !ok:
			err = d.fail(t, path, "unknown field; known here are "+known.names)
		case seen[name]:
			err = d.fail(t, path, "given twice")
		default:
			into = v.Field(i)
		}
		if err != nil {
			return err
		}
		seen[name] = true
		return d.value(into, path, depth+1)
	})
}

func (d *decoder) named(v reflect.Value, t token, path string, depth int) error {
	if !t.is("{") {
		return d.wrong(t, path, "needs fields in braces, found "+found(t), depth)
	}
	v.Set(reflect.MakeMap(v.Type()))
	return d.keys(path, func(name, path string, t token) error {
		e := reflect.New(v.Type().Elem()).Elem()
		if v.MapIndex(reflect.ValueOf(name)).IsValid() {
			if err := d.fail(t, path, "given twice"); err != nil {
				return err
			}
		}
		if err := d.value(e, path, depth+1); err != nil {
			return err
		}
		v.SetMapIndex(reflect.ValueOf(name), e)
		return nil
	})
}

// elements walks a list behind its bracket.
func (d *decoder) elements(path string, one func(i int) error) error {
	i := -1
	return d.members(path, "]", func() error { i++; return one(i) })
}

func (d *decoder) list(v reflect.Value, t token, path string, depth int) error {
	if !t.is("[") {
		return d.wrong(t, path, "needs a list in brackets, found "+found(t), depth)
	}
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	return d.elements(path, func(i int) error {
		e := reflect.New(v.Type().Elem()).Elem()
		if err := d.value(e, fmt.Sprintf("%s[%d]", path, i), depth+1); err != nil {
			return err
		}
		v.Set(reflect.Append(v, e))
		return nil
	})
}

func (d *decoder) scalar(v reflect.Value, t token, path string, depth int) error {
	switch v.Kind() {
	case reflect.String:
		if t.kind == text {
			v.SetString(t.text)
			return nil
		}
		return d.wrong(t, path, "needs a text in quotes, found "+found(t), depth)
	case reflect.Bool:
		if t.kind == word && (t.text == "true" || t.text == "false") {
			v.SetBool(t.text == "true")
			return nil
		}
		return d.wrong(t, path, "needs true or false, found "+found(t), depth)
	case reflect.Int:
		if t.kind != word || !isNumber(t.text) {
			return d.wrong(t, path, "needs a whole number, found "+found(t), depth)
		}
		i, err := strconv.ParseInt(t.text, 10, 32)
		if err != nil {
			return d.fail(t, path, "needs a whole number of ordinary size, found "+printable(t.text, maxQuote))
		}
		v.SetInt(i)
		return nil
	}
	d.fail(t, path, "this program cannot read a value of type "+v.Type().String())
	return errStop
}

// found names a token for a message.
func found(t token) string {
	switch {
	case t.kind == text:
		return "the text " + quoted(t.text)
	case t.kind == word && isNumber(t.text):
		return "the number " + printable(t.text, maxQuote)
	case t.is("["):
		return "a list"
	case t.is("{"):
		return "fields in braces"
	}
	return printable(t.text, maxQuote)
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// fieldsOf maps the json names of a struct to its field numbers.
func (d *decoder) fieldsOf(t reflect.Type) *fields {
	if f, ok := d.types[t]; ok {
		return f
	}
	f := &fields{at: map[string]int{}}
	var list []string
	for i := range t.NumField() {
		if name := nameOf(t.Field(i)); name != "" {
			f.at[name] = i
			list = append(list, name)
		}
	}
	f.names = strings.Join(list, ", ")
	d.types[t] = f
	return f
}

func nameOf(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if name == "-" || !f.IsExported() {
		return ""
	}
	if name == "" {
		return f.Name
	}
	return name
}
