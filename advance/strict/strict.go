// Package strict decodes JSON for people: every mistake is refused with the
// line, the column and the field it stands in, and nothing is guessed.
//
// Compared with encoding/json, it also refuses unknown fields, a field given
// twice, names in other letter case, null, text after the end, invalid UTF-8
// and documents deeper or longer than a stated limit. It passes over a byte order
// mark at the beginning, as RFC 8259 section 8.1 allows: editors leave them. After a successful decode
// a [Lines] value still knows on which line each field stood, so that a later
// check of the field's meaning can point at it too.
package strict

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"
)

// ErrSyntax is wrapped by every error of this package.
var ErrSyntax = errors.New("cannot read")

// MaxBytes and MaxDepth limit a document: no job or corpus file that a person
// writes comes near them.
const (
	MaxBytes = 4 << 20
	MaxDepth = 32
)

// mark is the byte order mark in UTF-8.
var mark = []byte("\ufeff")

// Error is a mistake in a document and the place where it stands.
type Error struct {
	Line   int    // from 1
	Column int    // in bytes, from 1
	Field  string // path such as "drawer.springs[2].rate", empty at the top
	Msg    string // what is wrong, a clause
}

func (e *Error) Error() string {
	at := fmt.Sprintf("line %d, column %d", e.Line, e.Column)
	if e.Field == "" {
		return at + ": " + e.Msg
	}
	return at + ": " + e.Field + ": " + e.Msg
}

// Unwrap returns [ErrSyntax].
func (e *Error) Unwrap() error { return ErrSyntax }

// Lines tells the line of every field of a decoded document by its path, such
// as "engine.bore" or "readings[3].rpm".
type Lines map[string]int

// Of returns the line of the field, or that of the nearest field around it: a
// field that was left out is missing from the object that should hold it. The
// document itself, path "", stands on line 1.
func (l Lines) Of(path string) int {
	for path != "" {
		if n, ok := l[path]; ok {
			return n
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return 1
}

// Decode reads one JSON value from data into v, a non-nil pointer.
//
// Structs are matched by their json tags exactly. A type that implements
// [encoding.TextUnmarshaler] is read from a string; its error becomes the
// message. Decode returns an [*Error], which wraps [ErrSyntax].
func Decode(data []byte, v any) (Lines, error) {
	d := &decoder{data: data, lines: Lines{}}
	if len(data) > MaxBytes {
		return nil, d.fail(0, "", fmt.Sprintf("the file holds %d bytes, valid is at most %d", len(data), MaxBytes))
	}
	if at := invalidUTF8(data); at >= 0 {
		return nil, d.fail(at, "", "the text is not valid UTF-8 here")
	}
	target := reflect.ValueOf(v)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		return nil, d.fail(0, "", "the program gave no place to decode into")
	}
	// Spaces in place of the mark keep every offset true.
	if bytes.HasPrefix(data, mark) {
		data = append([]byte("   "), data[len(mark):]...)
		d.data = data
	}
	d.dec = json.NewDecoder(bytes.NewReader(data))
	d.dec.UseNumber()
	if err := d.value(target.Elem(), "", 0); err != nil {
		return nil, err
	}
	end := d.next()
	if _, err := d.dec.Token(); !errors.Is(err, io.EOF) {
		return nil, d.fail(end, "", "text stands after the end of the document")
	}
	return d.lines, nil
}

func invalidUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return -1
}

type decoder struct {
	data  []byte
	dec   *json.Decoder
	lines Lines
}

// fail makes the error for a mistake at a byte offset.
func (d *decoder) fail(offset int, field, msg string) error {
	offset = min(max(offset, 0), len(d.data))
	before := d.data[:offset]
	return &Error{
		Line:   1 + bytes.Count(before, []byte("\n")),
		Column: offset - bytes.LastIndexByte(before, '\n'),
		Field:  field, Msg: msg,
	}
}

// next is the offset of the next token: past white space and separators.
func (d *decoder) next() int {
	i := int(d.dec.InputOffset())
	for i < len(d.data) && strings.IndexByte(" \t\r\n,:", d.data[i]) >= 0 {
		i++
	}
	return i
}

// token reads one token and says where it began.
func (d *decoder) token(field string) (json.Token, int, error) {
	at := d.next()
	t, err := d.dec.Token()
	if err == nil {
		return t, at, nil
	}
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		return nil, at, d.fail(max(at, int(syntax.Offset)-1), field, "not JSON: "+syntax.Error())
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return nil, at, d.fail(len(d.data), field, "the document ends too early")
	}
	return nil, at, d.fail(at, field, "not JSON: "+err.Error())
}

func (d *decoder) value(v reflect.Value, path string, depth int) error {
	if depth > MaxDepth {
		return d.fail(d.next(), path, fmt.Sprintf("nested deeper than %d", MaxDepth))
	}
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		return d.value(v.Elem(), path, depth)
	}
	t, at, err := d.token(path)
	if err != nil {
		return err
	}
	if path != "" {
		d.lines[path] = 1 + bytes.Count(d.data[:at], []byte("\n"))
	}
	if text, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		return d.text(text, t, at, path)
	}
	switch v.Kind() {
	case reflect.Struct:
		return d.object(v, t, at, path, depth)
	case reflect.Map:
		return d.named(v, t, at, path, depth)
	case reflect.Slice:
		return d.list(v, t, at, path, depth)
	}
	return d.scalar(v, t, at, path)
}

// text hands a string, or the digits of a bare number, to a type that reads
// text: the type knows best what is missing from "12".
func (d *decoder) text(into encoding.TextUnmarshaler, t json.Token, at int, path string) error {
	var s string
	switch t := t.(type) {
	case string:
		s = t
	case json.Number:
		s = t.String()
	default:
		return d.fail(at, path, "needs a text in quotes, found "+kindOf(t))
	}
	if err := into.UnmarshalText([]byte(s)); err != nil {
		return d.fail(at, path, err.Error())
	}
	return nil
}

// keys walks the names of an object and calls read for each, refusing repeats.
func (d *decoder) keys(t json.Token, at int, path string, read func(name, path string, at int) error) error {
	if t != json.Delim('{') {
		return d.fail(at, path, "needs an object in braces, found "+kindOf(t))
	}
	seen := map[string]bool{}
	for d.dec.More() {
		t, at, err := d.token(path)
		if err != nil {
			return err
		}
		name, ok := t.(string)
		if !ok {
			return d.fail(at, path, "needs a name in quotes, found "+kindOf(t))
		}
		if seen[name] {
			return d.fail(at, join(path, name), "given twice")
		}
		seen[name] = true
		if err := read(name, join(path, name), at); err != nil {
			return err
		}
	}
	_, _, err := d.token(path)
	return err
}

func (d *decoder) object(v reflect.Value, t json.Token, at int, path string, depth int) error {
	fields := fieldsOf(v.Type())
	return d.keys(t, at, path, func(name, path string, at int) error {
		i, ok := fields[name]
		if !ok {
			return d.fail(at, path, "unknown field; known here are "+names(v.Type()))
		}
		return d.value(v.Field(i), path, depth+1)
	})
}

func (d *decoder) named(v reflect.Value, t json.Token, at int, path string, depth int) error {
	v.Set(reflect.MakeMap(v.Type()))
	return d.keys(t, at, path, func(name, path string, _ int) error {
		e := reflect.New(v.Type().Elem()).Elem()
		if err := d.value(e, path, depth+1); err != nil {
			return err
		}
		v.SetMapIndex(reflect.ValueOf(name), e)
		return nil
	})
}

func (d *decoder) list(v reflect.Value, t json.Token, at int, path string, depth int) error {
	if t != json.Delim('[') {
		return d.fail(at, path, "needs a list in brackets, found "+kindOf(t))
	}
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	for i := 0; d.dec.More(); i++ {
		e := reflect.New(v.Type().Elem()).Elem()
		if err := d.value(e, fmt.Sprintf("%s[%d]", path, i), depth+1); err != nil {
			return err
		}
		v.Set(reflect.Append(v, e))
	}
	_, _, err := d.token(path)
	return err
}

func (d *decoder) scalar(v reflect.Value, t json.Token, at int, path string) error {
	switch v.Kind() {
	case reflect.String:
		if s, ok := t.(string); ok {
			v.SetString(s)
			return nil
		}
		return d.fail(at, path, "needs a text in quotes, found "+kindOf(t))
	case reflect.Bool:
		if b, ok := t.(bool); ok {
			v.SetBool(b)
			return nil
		}
		return d.fail(at, path, "needs true or false, found "+kindOf(t))
	case reflect.Int:
		n, ok := t.(json.Number)
		if !ok {
			return d.fail(at, path, "needs a whole number, found "+kindOf(t))
		}
		i, err := strconv.ParseInt(n.String(), 10, 32)
		if err != nil {
			return d.fail(at, path, "needs a whole number of ordinary size, found "+n.String())
		}
		v.SetInt(i)
		return nil
	}
	return d.fail(at, path, "this program cannot read a value of type "+v.Type().String())
}

// kindOf names a token for a message.
func kindOf(t json.Token) string {
	switch t := t.(type) {
	case nil:
		return "null"
	case string:
		return "the text " + strconv.Quote(t)
	case json.Number:
		return "the number " + t.String()
	case bool:
		return strconv.FormatBool(t)
	case json.Delim:
		if t == '[' {
			return "a list"
		}
		return "an object"
	}
	return "something else"
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// fieldsOf maps the json names of a struct to its field numbers.
func fieldsOf(t reflect.Type) map[string]int {
	m := map[string]int{}
	for i := range t.NumField() {
		if name := nameOf(t.Field(i)); name != "" {
			m[name] = i
		}
	}
	return m
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

// names lists the field names of a struct in the order of its declaration.
func names(t reflect.Type) string {
	var list []string
	for i := range t.NumField() {
		if name := nameOf(t.Field(i)); name != "" {
			list = append(list, name)
		}
	}
	return strings.Join(list, ", ")
}
