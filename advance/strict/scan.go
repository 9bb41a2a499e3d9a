package strict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// textOf returns the text of a document, or a complaint about what stands behind
// the text that it returns.
func textOf(data []byte) (text []byte, complaint string) {
	switch {
	case len(data) > MaxBytes:
		return nil, fmt.Sprintf("the file holds %d bytes, valid is at most %d", len(data), MaxBytes)
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}), bytes.IndexByte(data[:min(4, len(data))], 0) >= 0:
		return nil, "the file is UTF-16 text; save it again as UTF-8"
	}
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n <= 1 {
			return data[:i], "the text is not valid UTF-8 here; save the file again as UTF-8"
		}
		i += n
	}
	// Spaces in place of the mark keep every offset true.
	if bytes.HasPrefix(data, []byte("\ufeff")) {
		data = append([]byte("   "), data[3:]...)
	}
	return data, ""
}

// kind of a token.
type kind int

const (
	end     kind = iota // of the document
	mark                // one of { } [ ] : ,
	text                // in quotes
	comment             // which JSON does not know
	word                // anything else: number, true, false, null, or what is none
)

// token is one word of the document. A token that is not written as JSON wants it
// carries the mend.
type token struct {
	kind kind
	at   Error  // its place
	text string // without the quotes
	mend string
}

// is reports whether the token is the given mark.
func (t *token) is(c string) bool { return t.kind == mark && t.text == c }

// scanner walks once through a document.
type scanner struct {
	data  []byte
	at    int
	line  int // of at, from 1
	start int // offset at which that line begins
}

// place is that of an offset on the present line.
func (s *scanner) place(at int) Error { return Error{Line: s.line, Column: at - s.start + 1} }

// skipTo moves to an offset ahead and counts the lines on the way. Lines end with
// LF, CR LF or, from old computers, CR alone.
func (s *scanner) skipTo(at int) {
	for ; s.at < min(at, len(s.data)); s.at++ {
		c := s.data[s.at]
		if c == '\n' || c == '\r' && !(s.at+1 < len(s.data) && s.data[s.at+1] == '\n') {
			s.line, s.start = s.line+1, s.at+1
		}
	}
}

// space passes over white space.
func (s *scanner) space() {
	for s.at < len(s.data) && strings.IndexByte(" \t\r\n", s.data[s.at]) >= 0 {
		s.skipTo(s.at + 1)
	}
}

// quotes pairs the opening with the closing quotes that people's programs put in
// place of the straight one.
var quotes = map[rune]string{
	'"': "\"", '\'': "'", '“': "”\"“", '”': "”\"", '„': "“”\"", '‘': "’'‘", '’': "’'", '«': "»", '`': "`'",
}

// next reads a token.
func (s *scanner) next() token {
	s.space()
	t := token{at: s.place(s.at)}
	if s.at == len(s.data) {
		return t
	}
	rest := s.data[s.at:]
	c, size := utf8.DecodeRune(rest)
	switch {
	case strings.ContainsRune("{}[]:,", c):
		t.kind, t.text = mark, string(c)
	case c == ';':
		t.kind, t.text, t.mend = mark, ",", "a semicolon stands where a comma goes"
	case c == '=':
		t.kind, t.text, t.mend = mark, ":", "an equals sign stands where a colon goes"
	case quotes[c] != "":
		return s.quoted(t, c, size)
	default:
		return s.bare(t)
	}
	s.skipTo(s.at + size)
	return t
}

// quoted reads a text in quotes of whatever kind.
func (s *scanner) quoted(t token, open rune, size int) token {
	t.kind = text
	if open != '"' {
		t.mend = fmt.Sprintf("the quote %c is not the straight one: write \"", open)
	}
	closing := quotes[open]
	from, i := s.at, s.at+size
	for i < len(s.data) {
		c, n := utf8.DecodeRune(s.data[i:])
		switch {
		case c == '\\' && i+1 < len(s.data) && s.data[i+1] >= ' ':
			_, n = utf8.DecodeRune(s.data[i+1:])
			n++
		case c == '\n', c == '\r':
			t.text, t.mend = string(s.data[from+size:i]), "the text is not closed on its line: a quote is missing at its end"
			s.skipTo(i)
			return t
		case c < ' ':
			t.mend = "a tab or control character stands in the text: write a space"
		case strings.ContainsRune(closing, c):
			t.text = string(s.data[from+size : i])
			if open == '"' && t.text != "" && i+1 < len(s.data) && s.data[i+1] == '"' {
				n, t.mend = 2, "a quote inside the text ends it: for inches write in"
			}
			if t.mend == "" && c == '"' {
				t.text, t.mend = unescape(t.text)
			}
			s.skipTo(i + n)
			return t
		}
		i += n
	}
	t.text, t.mend = string(s.data[from+size:]), "the document ends too early: a quote is missing"
	s.skipTo(i)
	return t
}

// unescape resolves the escapes of a text in straight quotes.
func unescape(raw string) (plain, mend string) {
	if !strings.Contains(raw, `\`) {
		return raw, ""
	}
	if err := json.Unmarshal([]byte(`"`+raw+`"`), &plain); err != nil {
		return raw, `the backslash in the text begins nothing that JSON knows: write \\ for one`
	}
	return plain, ""
}

// bare reads what has no quotes, up to a mark or the end of the line: a number, a
// word, or a value whose quotes were forgotten.
func (s *scanner) bare(t token) token {
	t.kind = word
	i := s.at
	for i < len(s.data) {
		c, n := utf8.DecodeRune(s.data[i:])
		if strings.ContainsRune("{}[],;\r\n\"", c) || c == ':' && !ratio(s.data[s.at:i], s.data[i+1:]) ||
			i > s.at && (bytes.HasPrefix(s.data[i:], []byte("//")) || bytes.HasPrefix(s.data[i:], []byte("/*"))) {
			break
		}
		i += n
	}
	t.text = strings.TrimRightFunc(string(s.data[s.at:i]), unicode.IsSpace)
	for _, sign := range []string{"//", "/*", "#"} {
		if strings.HasPrefix(t.text, sign) {
			t.kind = comment
			if n := bytes.IndexAny(s.data[s.at:], "\r\n"); n >= 0 {
				i = s.at + n
			} else {
				i = len(s.data)
			}
		}
	}
	s.skipTo(max(i, s.at+1))
	return t
}

// ratio tells the colon of "8.4:1" from that behind a name.
func ratio(before, behind []byte) bool {
	digits := func(c rune) bool { return c >= '0' && c <= '9' || c == '.' }
	return len(behind) > 0 && digits(rune(behind[0])) && len(bytes.TrimFunc(before, digits)) == 0
}
