package main

import (
	"io"
	"strconv"
	"strings"
)

// plain replaces what moves a terminal's cursor or turns its text round: control
// characters but the line feed, bidirectional marks, foreign line separators.
func plain(text string) string {
	return strings.Map(func(c rune) rune {
		if c == '\n' || strconv.IsGraphic(c) {
			return c
		}
		return '?'
	}, text)
}

// printer writes plain text and remembers the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) Write(text []byte) (int, error) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, plain(string(text)))
	}
	return len(text), p.err
}
