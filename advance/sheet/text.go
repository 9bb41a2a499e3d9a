package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/bobweight/advance/internal/text"
)

// width is how many columns the page has.
const width = 78

// page collects the lines of a sheet and numbers its steps.
type page struct {
	b    strings.Builder
	step int
}

func (p *page) line(format string, args ...any) { fmt.Fprintf(&p.b, format+"\n", args...) }

// para writes sentences under a mark such as " - ".
func (p *page) para(mark string, sentences ...string) {
	for _, l := range text.Wrap(strings.Join(sentences, " "), width-utf8.RuneCountInString(mark)) {
		p.line("%s%s", mark, l)
		mark = strings.Repeat(" ", utf8.RuneCountInString(mark))
	}
}

// next writes a numbered step.
func (p *page) next(sentences ...string) {
	p.step++
	p.para(fmt.Sprintf("%d. ", p.step), sentences...)
}

// list writes a numbered step whose parts have letters.
func (p *page) list(title string, parts []string) {
	p.next(title)
	for i, part := range parts {
		p.para(fmt.Sprintf("   %c. ", 'a'+i%26), part)
	}
}

// Text returns the sheet as plain text of at most 78 columns, for a terminal or
// one side of paper; nothing of a nil one.
func (s *Sheet) Text() string {
	if s == nil {
		return ""
	}
	p := &page{}
	p.line("SETTING AND CHECK SHEET: %s", s.Title)
	p.line("Vehicle ____________________  Distributor tag ______________  Date ___________")
	for _, w := range s.Warnings {
		p.para("! ", w)
	}
	p.line("")
	s.fitText(p)
	s.setText(p)
	s.checkText(p)
	if len(s.Verify) > 0 {
		p.list("Verify under load before normal use, hose still off.", s.Verify)
	}
	if len(s.Hose) > 0 {
		hose := slices.Clone(s.Hose)
		if s.Phase != nil {
			hose = append(hose, s.Phase.text())
		}
		p.list("Vacuum hose on.", hose)
	} else if s.Phase != nil {
		p.next(s.Phase.text())
	}
	if len(s.Marks) > 0 {
		p.para("", s.marksText())
	}
	p.line("")
	p.line("Cautions")
	for _, c := range Cautions() {
		p.para(" - ", c)
	}
	if s.Version != "" {
		p.line("%s", s.Version)
	}
	return p.b.String()
}

// fitText names what goes where.
func (s *Sheet) fitText(p *page) {
	if s.Recipe != "" {
		p.para("Recipe ", s.Recipe+".")
	}
	var fits []string
	for _, part := range s.Parts {
		fit := part.Place + ": " + part.Name
		if !part.Changed {
			fit += " (stays)"
		}
		fits = append(fits, fit)
	}
	if len(fits) > 0 {
		p.para("Fit    ", strings.Join(fits, "; ")+".")
	}
	if s.Slot != nil {
		p.para("Slot   ", s.Slot.text())
	}
	if s.Recipe != "" || len(fits) > 0 || s.Slot != nil {
		p.line("")
	}
}

// text says what to do to the slot.
func (s *Slot) text() string {
	length := fmt.Sprintf("%.2f mm (%.3f in)", s.Length, s.Length/25.4)
	switch {
	case s.Closing > 0 && s.Bush > 0:
		return fmt.Sprintf("close %.2f mm, to %s; or a bush of %.2f mm (%.3f in) on the pin. Close the end of full advance, not of rest.", s.Closing, length, s.Bush, s.Bush/25.4)
	case s.Closing > 0:
		return fmt.Sprintf("close %.2f mm, to %s.", s.Closing, length)
	case s.Closing < 0:
		return fmt.Sprintf("file off %.2f mm, to %s.", -s.Closing, length)
	}
	return "stays as it is, " + length + "."
}

// setText is the setting itself, dwell first, and what idle must show.
func (s *Sheet) setText(p *page) {
	p.next("Contact points: set gap or dwell first. A distributor degree of dwell less",
		fmt.Sprintf("moves the timing %.1f deg earlier.", s.DwellShift))
	still := ""
	if s.StillRises {
		still = "The advance still rises there: hold the speed exactly, and no faster."
	}
	load := ""
	if len(s.Verify) > 0 {
		load = "Before any load turn it back, as the check under load says."
	}
	p.next(fmt.Sprintf("Set. Engine warm, vacuum hose off and plugged. Hold %.0f rpm and turn the distributor until the light shows %.1f deg BTDC (within %.1f).", s.SetRPM, s.SetDegrees, s.SetWindow),
		fmt.Sprintf("With a dial-back light: dial %.1f and bring the top-centre marks together.", s.SetDegrees), still, load)
	idle := "The advance has not begun there: this is the static timing."
	switch {
	case s.StartOpen && s.AtIdle >= 0.05:
		idle = fmt.Sprintf("Of that, some %.1f may be mechanical advance already begun: how much is not certain. So set the total, as above, and never set by idle.", s.AtIdle)
	case s.AtIdle >= 0.05:
		idle = fmt.Sprintf("Of that, %.1f is mechanical advance already begun; static is %.1f. Do not set %.1f at idle: the total would be short by %.1f.", s.AtIdle, s.Static, s.Static, s.AtIdle)
	case s.StartOpen:
		idle = "Whether the advance has begun there is not certain; if it has, the static timing is less. So set the total, as above, and never set by idle."
	}
	p.next(fmt.Sprintf("Bring idle back to %.0f rpm if it has changed, then look: the light must show %.1f (%.1f to %.1f).", s.Idle.RPM, s.Idle.Rising, s.Idle.Low, s.Idle.High), idle)
	p.line("   found ________ left ________")
}

// checkText is the table for the light, with the distributor's own figures for a
// bench machine beside it.
func (s *Sheet) checkText(p *page) {
	p.next("Check, hose still off. Deg BTDC at the crank, engine rpm. A careful build passes within the window, read with a light like this one.",
		"Bench: distributor alone, its own rpm and degrees, from rest.")
	p.line("    rpm  rising falling   passes from-to   found   left  |   bench  rise  fall")
	for i, r := range s.Rows {
		bench := ""
		if i < len(s.Bench) {
			b := s.Bench[i]
			bench = fmt.Sprintf("  |  %6.0f %5.1f %5.1f", b.RPM, b.Advance, b.Falling)
		}
		p.line("  %5.0f  %6.1f  %6.1f   %6.1f %7.1f   _____  _____%s", r.RPM, r.Rising, r.Falling, r.Low, r.High, bench)
	}
}

// marksText says where the marks on the damper go.
func (s *Sheet) marksText() string {
	var list []string
	for _, m := range s.Marks {
		list = append(list, fmt.Sprintf("%g deg at %.1f mm (%.2f in)", m.Degrees, m.Distance, m.Distance/25.4))
	}
	return "Marks on the damper rim, ahead of the top-centre mark in the direction of rotation (they pass the pointer first): " + strings.Join(list, ", ") + "."
}
