package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
)

// bar draws progress on a terminal and nothing anywhere else.
type bar struct {
	mu   sync.Mutex
	w    io.Writer
	last string
}

func newBar(w io.Writer) *bar {
	f, ok := w.(*os.File)
	if !ok {
		return &bar{}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &bar{}
	}
	return &bar{w: w}
}

// show draws what is being done and how much of it is, 0 to 1.
func (b *bar) show(what string, done float64) {
	if b.w == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	const width = 30
	n := int(max(0, min(1, done)) * width)
	now := fmt.Sprintf("\r[%s%s] %3.0f %% %-30.30s", strings.Repeat("#", n), strings.Repeat(" ", width-n), 100*max(0, min(1, done)), what)
	if now != b.last {
		fmt.Fprint(b.w, now)
		b.last = now
	}
}

// clear takes the bar off the terminal.
func (b *bar) clear() {
	if b.w != nil && b.last != "" {
		fmt.Fprintf(b.w, "\r%s\r", strings.Repeat(" ", len(b.last)))
	}
}
