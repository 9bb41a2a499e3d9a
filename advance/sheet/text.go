package sheet

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Text returns the sheet as plain text of at most 78 columns, for a terminal or
// a printer.
func (s *Sheet) Text() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }

	line("SETTING AND CHECK SHEET: %s", s.Title)
	line("")
	for _, w := range s.Warnings {
		mark := "! "
		for _, l := range Wrap(w, 74) {
			line("%s%s", mark, l)
			mark = "  "
		}
	}
	if len(s.Warnings) > 0 {
		line("")
	}
	line("1. Set. Engine warm, vacuum hose off and plugged.")
	line("   Hold %.0f rpm and turn the distributor until the light shows", s.SetRPM)
	line("   %.1f deg BTDC (within %.1f). With a dial-back light: dial %.1f and bring", s.SetDegrees, s.SetWindow, s.SetDegrees)
	line("   the top-centre marks together.")
	if len(s.Prove) > 0 {
		line("   No full load before step 4.")
	}
	line("2. Look at idle, %.0f rpm: the light must show %.1f (%.1f to %.1f).", s.Idle.RPM, s.Idle.Rising, s.Idle.Low, s.Idle.High)
	if s.AtIdle >= 0.05 {
		line("   Of that, %.1f is mechanical advance already begun; static is %.1f.", s.AtIdle, s.Static)
		line("   Do not set %.1f at idle: the total would be short by %.1f.", s.Static, s.AtIdle)
	} else {
		line("   The advance has not begun there: this is the static timing.")
	}
	line("3. Check, hose still off. Deg BTDC at the crank, engine rpm; \"passes\" is")
	line("   where a careful build stands when a light like this one looks at it:")
	line("")
	line("     rpm   rising   falling   passes from     to")
	for _, r := range s.Rows {
		line("   %5.0f   %6.1f   %7.1f   %11.1f  %5.1f", r.RPM, r.Rising, r.Falling, r.Low, r.High)
	}
	steps := 3
	chapter := func(title string, sentences []string) {
		if len(sentences) == 0 {
			return
		}
		steps++
		line("")
		line("%d. %s", steps, title)
		for _, h := range sentences {
			for _, l := range Wrap(h, 72) {
				line("   %s", l)
			}
		}
	}
	chapter("Prove the total before the engine is worked, hose still off.", s.Prove)
	chapter("Vacuum hose on.", s.Hose)
	s.benchText(line)
	line("")
	line("Cautions")
	for _, c := range Cautions() {
		for i, l := range Wrap(c, 74) {
			line("%s%s", map[bool]string{true: " - ", false: "   "}[i == 0], l)
		}
	}
	return b.String()
}

// benchText writes what a bench machine and a strip of tape round the damper
// need.
func (s *Sheet) benchText(line func(string, ...any)) {
	if len(s.Bench) > 0 {
		line("")
		line("Bench: distributor alone, its own degrees and rpm, from rest:")
		line("")
		line("     rpm dist   rising   falling")
		for _, r := range s.Bench {
			line("     %8.0f   %6.1f   %7.1f", r.RPM, r.Advance, r.Falling)
		}
	}
	if len(s.Marks) > 0 {
		line("")
		line("Marks on the damper rim, from the top-centre mark:")
		line("")
		for _, m := range s.Marks {
			line("     %5.1f deg   %6.1f mm   (%.2f in)", m.Degrees, m.Distance, m.Distance/25.4)
		}
	}
}

// Wrap breaks a sentence at spaces into lines of at most width characters; a
// longer word keeps a line to itself.
func Wrap(text string, width int) []string {
	var lines []string
	var now string
	for _, word := range strings.Fields(text) {
		switch {
		case now == "":
			now = word
		case utf8.RuneCountInString(now)+1+utf8.RuneCountInString(word) <= width:
			now += " " + word
		default:
			lines = append(lines, now)
			now = word
		}
	}
	if now != "" {
		lines = append(lines, now)
	}
	return lines
}
