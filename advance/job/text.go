package job

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/bobweight/advance/sheet"
)

// page writes a report as text of at most 78 columns.
type page struct {
	w   io.Writer
	err error
}

// line writes a line.
func (p *page) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}

// para writes sentences, broken at spaces, under a mark such as "  - ".
func (p *page) para(mark, text string) {
	for _, l := range sheet.Wrap(text, 78-len(mark)) {
		p.line("%s%s", mark, l)
		mark = strings.Repeat(" ", len(mark))
	}
}

// head starts a chapter.
func (p *page) head(title string) {
	p.line("")
	p.line("%s", title)
	p.line("%s", strings.Repeat("-", len(title)))
}

// Text writes the report for a person to read: what the readings say, what is
// wrong, what the engine wants, the best recipes, and the sheet with its
// cautions. It returns the writer's error.
func (r *Report) Text(w io.Writer) error {
	p := &page{w: w}
	p.line("%s", r.Title)
	p.line("%s", strings.Repeat("=", utf8.RuneCountInString(r.Title)))
	p.para("", r.Units)
	r.Readings.text(p)
	p.head("What is wrong")
	if len(r.Findings) == 0 {
		p.line("Nothing that these readings show.")
	}
	for i, f := range r.Findings {
		p.para(fmt.Sprintf("%d. ", i+1), f.Text)
		if f.Evidence != "" {
			p.para("   ", "Evidence: "+f.Evidence)
		}
	}
	r.Engine.text(p)
	p.head("The best recipes from the drawer")
	p.line("%.0f combinations compared.", r.Searched)
	if r.NoFit != nil {
		r.NoFit.text(p)
	}
	if r.Unproven != "" {
		p.line("")
		p.para("! ", r.Unproven)
	}
	for i := range r.Recipes {
		r.Recipes[i].text(p)
	}
	if r.Sheet != nil {
		p.line("")
		p.line("%s", strings.Repeat("=", 78))
		p.line("%s", strings.TrimRight(r.Sheet.Text(), "\n"))
		return p.err
	}
	p.head("Cautions")
	for _, c := range r.Cautions {
		p.para(" - ", c)
	}
	return p.err
}

func (r *ReadingsPart) text(p *page) {
	p.head("What the readings say")
	p.line("Curve:           %s", r.Model)
	p.line("Static timing:   %s", r.Static.text)
	p.line("Advance begins:  %s", r.Start.text)
	p.line("All in:          %s", r.AllIn.text)
	p.line("Travel:          %s", r.Travel.text)
	p.line("Total:           %s", r.Total.text)
	for i, s := range r.Slopes {
		p.line("Slope %d:         %s", i+1, s.text)
	}
	for _, k := range r.Knees {
		p.line("Knee:            %s", k.text)
	}
	used := "agrees with the readings and was used with them"
	if !r.SlotUsed {
		used = "contradicts the readings and was left out of the fit"
	}
	p.para("", fmt.Sprintf("The slot as measured allows %.1f deg crank, which %s.", r.Slot, used))
	if s := r.AtRest; s != nil {
		p.para("", fmt.Sprintf("The static reading shows %.1f deg crank, which %s.", s.Degrees, s.Note))
	}
	if r.Parts != nil {
		verdict := "agree with the readings"
		if !r.Parts.Agrees {
			verdict = "do not agree with the readings: measure the springs and weights again before trusting a recipe"
		}
		p.para("", fmt.Sprintf("The fitted parts as listed would begin at %.0f and be all in at %.0f rpm crank; they %s (root mean square difference %.1f standard errors).",
			r.Parts.Start, r.Parts.AllIn, verdict, r.Parts.Off))
	}
	p.line("")
	p.line("     rpm   light shows      residual")
	for _, x := range r.Points {
		mark := ""
		if x.Outlier {
			mark = "   left out: probable outlier"
		}
		if x.Hose {
			mark = "   hose on: not used for the mechanical curve"
		}
		p.line("   %5.0f   %11.1f   %+11.1f%s", x.RPM, x.Degrees, x.Residual, mark)
	}
	if r.Next != "" {
		p.para("", r.Next)
	}
}

func (e *EnginePart) text(p *page) {
	p.head("What the engine wants and tolerates, full load, " + e.Fuel)
	p.line("Deg crank BTDC, with bands that hold 90 %%.")
	p.line("")
	p.line("     rpm   best torque   (band)          trace knock from   (band)")
	for _, w := range e.Want {
		limit := fmt.Sprintf("%16.1f   (%.1f to %.1f)", w.Limit, w.LimitLow, w.LimitHigh)
		if !w.Limited {
			limit = fmt.Sprintf("%16s   (%.1f or more)", "not met", w.LimitLow)
		}
		p.line("   %5.0f   %11.1f   %-15s %s", w.RPM, w.MBT, fmt.Sprintf("(%.1f to %.1f)", w.MBTLow, w.MBTHigh), limit)
	}
	if e.Calibrated {
		p.para("", fmt.Sprintf("Calibrated by the observations given. Recipes stay %.1f deg below the best estimate of the limit.", e.Margin))
	} else {
		p.para("", fmt.Sprintf("Computed from the engine's plain facts alone, hence the wide bands; one observation (trace knock heard, no knock heard at full load, or best timing found) narrows them. Recipes stay %.1f deg below the best estimate of the limit.", e.Margin))
	}
}

func (n *NoFit) text(p *page) {
	p.para("", n.Text)
	for _, why := range n.Reasons {
		p.para(" - ", why)
	}
	for _, more := range []string{n.Spring, n.Knock, n.Doubt} {
		if more != "" {
			p.para("", more)
		}
	}
}

// room says how the recipe stands to the knock limit.
func (r *RecipePart) room() string {
	where := fmt.Sprintf("%.1f deg below the limit's best estimate at %.0f rpm", r.Margin, r.MarginRPM)
	if r.Margin < 0 {
		where = fmt.Sprintf("%.1f deg BEYOND the limit's best estimate at %.0f rpm", -r.Margin, r.MarginRPM)
	}
	chance := "less than 1"
	if r.KnockChance >= 1 {
		chance = fmt.Sprintf("%.0f", r.KnockChance)
	}
	return fmt.Sprintf("knock: %s; chance %s %%", where, chance)
}

// odds says which limits a build may miss.
func (r *RecipePart) odds(p *page) {
	var risky []string
	for _, c := range r.Chances {
		if c.Pct < 99.5 && c.Limit != allLimits {
			risky = append(risky, fmt.Sprintf("%.0f keep %q", c.Pct, c.Limit))
		}
		if c.Limit == allLimits {
			risky = append(risky, fmt.Sprintf("%.0f keep every limit", c.Pct))
		}
	}
	if len(risky) > 0 {
		p.para("   ", "Of 100 careful builds "+strings.Join(risky, ", ")+".")
	}
}

func (r *RecipePart) text(p *page) {
	p.line("")
	places := make([]string, 0, len(r.Springs))
	for place, spring := range r.Springs {
		places = append(places, fmt.Sprintf("%s at %s", spring, place))
	}
	slices.Sort(places)
	p.para(fmt.Sprintf("%d. ", r.Rank), fmt.Sprintf("%s; weights %s.", strings.Join(places, ", "), r.Weights))
	p.line("   static %.1f + travel %.1f = total %.1f deg crank", r.Static, r.Travel, r.Total)
	switch {
	case r.SlotClosing > 0.05:
		p.line("   close %.2f mm of the slot, to %.2f mm (%.3f in)", r.SlotClosing, r.SlotLength, r.SlotLength/25.4)
	case r.SlotClosing < -0.05:
		p.line("   file %.2f mm off the slot, to %.2f mm (%.3f in)", -r.SlotClosing, r.SlotLength, r.SlotLength/25.4)
	default:
		p.line("   slot as it is, %.2f mm (%.3f in)", r.SlotLength, r.SlotLength/25.4)
	}
	p.line("   begins at %.0f rpm (weights fully back at %.0f), all in at %.0f (%.0f to %.0f)", r.Start, r.Return, r.AllIn, r.AllInLow, r.AllInHigh)
	p.line("   idle will show %.1f; torque given up %.2f %%", r.IdleReading, r.GivenUp)
	p.line("   %s", r.room())
	p.line("   parts changed: %d", r.Changed)
	r.odds(p)
	if r.MostTo != "" {
		p.para("   ", "Most sensitive to: "+r.MostTo+".")
	}
	if r.Measure != "" {
		p.para("   ", "Measure first: "+r.Measure+".")
	}
	for _, e := range r.Events {
		p.para("   ", fmt.Sprintf("%s at %.0f rpm, %.1f deg of mechanical advance: %s.", e.Kind, e.RPM, e.Deg, e.Cause))
	}
}
