package job

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/bobweight/advance/internal/text"
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
func (p *page) para(mark, sentences string) {
	for _, l := range text.Wrap(sentences, 78-len(mark)) {
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

// Text writes the report for a person to read: what to do on the first screen, then
// what is wrong, then the evidence, the recipes, what is not answered yet, and the
// sheet with its cautions. It returns the writer's error.
func (r *Report) Text(w io.Writer) error {
	if r == nil || w == nil {
		return fmt.Errorf("%w: the report or where it goes is nil", ErrJob)
	}
	p := &page{w: w}
	p.line("%s", r.Title)
	p.line("%s", strings.Repeat("=", utf8.RuneCountInString(r.Title)))
	r.Answer.text(p)
	p.head("What is wrong")
	if len(r.Findings) == 0 {
		p.line("%s", r.nothingWrong())
	}
	for i, f := range r.Findings {
		p.para(fmt.Sprintf("%d. ", i+1), f.Text)
		if f.Evidence != "" {
			p.para("   ", "Evidence: "+f.Evidence)
		}
	}
	p.line("")
	p.para("", r.Units)
	r.evidence(p)
	r.stagesText(p)
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

// nothingWrong says how far nothing is wrong.
func (r *Report) nothingWrong() string {
	if r.Readings == nil {
		return "Without a curve read with the hose off nothing is said of the present state."
	}
	if r.Runs != nil && r.Runs.Passed != nil && !*r.Runs.Passed {
		return "The newest run does not pass, as stands under run by run. By itself it shows nothing else that is wrong."
	}
	return "Nothing that these readings show."
}

// evidence prints what the answer rests on.
func (r *Report) evidence(p *page) {
	if r.Readings != nil {
		if slices.ContainsFunc(r.Findings, func(f Finding) bool { return doubtful[f.Code] }) {
			p.line("")
			p.para("! ", "In doubt: use none of the figures below until the doubt under what is wrong is settled.")
		}
		r.Readings.text(p)
	}
	if len(r.Notes) > 0 {
		p.head("Noted beside the readings")
		for _, s := range r.Notes {
			p.para(" - ", s)
		}
	}
	if r.Runs != nil {
		r.Runs.text(p)
	}
	if r.Slot != nil {
		r.Slot.text(p)
	}
	if len(r.Measured) > 0 {
		p.head("Springs as measured")
		for _, s := range r.Measured {
			p.para(" - ", s)
		}
	}
	if r.Parts != nil {
		r.Parts.text(p)
	}
	if r.Engine != nil {
		r.Engine.text(p)
	}
	if r.NoFit != nil || len(r.Recipes) > 0 {
		r.recipesText(p)
	}
	if r.Change != nil {
		r.Change.text(p)
	}
	if r.Vacuum != nil {
		p.head("The vacuum unit")
		for _, s := range r.Vacuum.Advice {
			p.para("", s)
		}
	}
}

// recipesText prints the recipes, and how they are ranked.
func (r *Report) recipesText(p *page) {
	p.head("The best recipes from the drawer")
	p.line("%.0f combinations compared.", r.Searched)
	if r.AsRead != "" {
		p.para("! ", r.AsRead)
	}
	if len(r.Recipes) > 0 {
		p.para("", ranking(r.Recipes[0].Judged))
	}
	if r.NoFit != nil {
		r.NoFit.text(p)
	}
	if r.Unproven != "" {
		p.line("")
		p.para("! ", r.Unproven)
	}
	r.effortsText(p)
	for i := range r.Recipes {
		r.Recipes[i].text(p)
	}
}

// effortsText prints what each effort buys.
func (r *Report) effortsText(p *page) {
	if len(r.Efforts) == 0 {
		return
	}
	even := "0.5 % of torque"
	if r.Engine == nil {
		even = "0.5 deg of the wanted curve"
	}
	p.line("")
	p.para("", fmt.Sprintf("What each effort buys, least first. Recipes within %s and 5 %% of sureness count as equal, and then the fewer changed parts win.", even))
	for _, e := range r.Efforts {
		mark := " - "
		if e.First {
			mark = " > "
		}
		text := upper(e.Effort) + ": " + e.Recipe + "."
		switch {
		case e.Keeps:
			free := ", free of knock,"
			if r.Engine == nil {
				free = ""
			}
			text += fmt.Sprintf(" Keeps the limits%s in %.0f of 100 builds.", free, e.Sure)
			if e.Gain != "" {
				text += fmt.Sprintf(" Over less effort: %s.", e.Gain)
			}
		case len(e.Breaks) > 0:
			text += " Breaks " + strings.Join(e.Breaks, "; ") + "."
		}
		if len(e.Or) > 0 {
			text += " Or, to the same curve: " + strings.Join(e.Or, "; or ") + "."
		}
		p.para(mark, text)
	}
}

// ranking says how recipes are ranked.
func ranking(engine bool) string {
	if engine {
		return "Ranked by torque given up. Those within 0.5 % of the best count as equals, as a driver does not feel so little. Among equals the first is the one that keeps every limit most surely."
	}
	return "Ranked by closeness to the wanted curve, as no engine tells torque. Those within 0.5 deg of the best count as equals. Among equals the first is the one that keeps every limit most surely."
}

// text prints the answer: the first screen.
func (a *Answer) text(p *page) {
	list := func(mark string, lines []string) {
		for i, l := range lines {
			if i > 0 {
				mark = strings.Repeat(" ", len(mark))
			}
			p.para(mark, l)
		}
	}
	list("FIT    ", a.Fit)
	if a.Set != "" {
		p.para("SET    ", a.Set)
	}
	list("CHECK  ", a.Check)
	for _, more := range []struct{ mark, text string }{{"GAINS  ", a.Gains}, {"UNSURE ", a.Unsure}, {"!      ", a.Forbids}} {
		if more.text != "" {
			p.para(more.mark, more.text)
		}
	}
}

// stagesText prints what is not answered yet, with what it takes, and what the answer
// rests on that nobody gave.
func (r *Report) stagesText(p *page) {
	if len(r.Decided) > 0 {
		p.head("What decided, as the job does not say")
		for _, d := range r.Decided {
			p.para(" - ", fmt.Sprintf("%s: %s. %s", d.Field, d.Taken, d.Turns))
		}
	}
	open, said := false, map[string]bool{}
	for _, s := range r.Stages {
		if len(s.Missing) == 0 {
			continue
		}
		if !open {
			p.head("Not answered, or not wholly, and what it takes")
			open = true
		}
		var list []string
		for _, m := range s.Missing {
			name := m.Field
			if m.Name != "" {
				name += fmt.Sprintf(" %q", m.Name)
			}
			if !said[m.Field] {
				name += " (" + m.How + ")"
			}
			said[m.Field] = true
			list = append(list, name)
		}
		p.para(" - ", fmt.Sprintf("%s. Missing: %s. It would tell %s.", upper(s.Stage), strings.Join(list, "; "), s.Buys))
	}
}

// upper begins a sentence.
func upper(s string) string {
	c, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(c)) + s[n:]
}

func (r *RunsPart) text(p *page) {
	p.head("Run by run")
	for _, x := range r.Runs {
		p.para(" - ", fmt.Sprintf("%s (%s): begins %s, all in %s, travel %s.", upper(x.Label), x.Parts, x.Start.Text, x.AllIn.Text, x.Travel.Text))
		if x.Machine {
			p.para("   ", "Read on a machine: the zero is its own, so static timing and total are not known.")
		} else {
			p.para("   ", fmt.Sprintf("Static %s, total %s.", x.Static.Text, x.Total.Text))
		}
	}
	if len(r.Changed) > 0 {
		p.para("", "Changed since the run before: "+strings.Join(r.Changed, "; ")+".")
	}
	if r.Verdict != "" {
		p.line("")
		p.para("", r.Verdict)
	}
	if len(r.Check) > 0 {
		p.para("", "Held against "+r.Against+". The windows are those within which all readings of a right build lie together.")
		p.line("")
		p.line("     rpm   light shows   passes from     to")
		for _, x := range r.Check {
			verdict := "pass"
			if !x.Passes {
				verdict = "FAIL"
			}
			p.line("   %5.0f   %11.1f   %11.1f  %5.1f   %s", x.RPM, x.Degrees, x.Low, x.High, verdict)
		}
	}
	for _, d := range r.Do {
		p.para(" > ", d)
	}
	for i := range r.HoseOn {
		p.para("", r.HoseOn[i].text())
	}
	if len(r.Learned) > 0 {
		p.line("")
		p.para("", "What the runs teach of the parts:")
		for _, l := range r.Learned {
			p.para(" - ", l)
		}
	}
}

func (s *SlotPart) text(p *page) {
	p.head("The slot")
	p.para("", fmt.Sprintf("One degree of crank advance is %.2f mm of slot. Its length is end to end. Close the end that stops full advance, not the one where the weights rest.", s.PerDegree))
	p.para("", "A bush over the pin takes as much travel by its outside diameter, and must fit the slot's width. It takes half at either end of the slot: rest moves by half of what it adds to the pin. So set the timing all in, and read static timing, start and all-in anew.")
	if len(s.Rows) == 0 {
		return
	}
	if s.Travel == 0 {
		p.para("", "How long it is was not measured. For each travel it must be, with this pin:")
		p.line("")
		p.line("   travel, deg   slot, mm")
		for _, x := range s.Rows {
			p.line("   %11.1f   %8.2f", x.Travel, x.Length)
		}
		return
	}
	p.para("", fmt.Sprintf("As it is, it allows %.1f deg crank of travel.", s.Travel))
	p.line("")
	p.line("   travel, deg   slot, mm   close, mm   bush over the pin, mm")
	for _, x := range s.Rows {
		p.line("   %11.1f   %8.2f   %9.2f   %21.2f", x.Travel, x.Length, x.Closing, x.Bush)
	}
}

func (m *mechanismPart) text(p *page) {
	p.head("What the fitted parts do, as listed")
	p.para("", fmt.Sprintf("Begins at %.0f rpm (weights fully back at %.0f), all in at %.0f rpm with %.1f deg crank.", m.Start, m.Return, m.AllIn, m.Travel))
	p.line("")
	p.line("     rpm   rising   falling   (mechanical advance, deg crank)")
	for _, x := range m.Rows {
		if x.Rising == nil || x.Falling == nil {
			continue
		}
		p.line("   %5.0f   %6.1f   %7.1f", x.RPM, *x.Rising, *x.Falling)
		if *x.Rising >= m.Travel && *x.Falling >= m.Travel {
			break
		}
	}
}

func (c *ChangePart) text(p *page) {
	p.head("What clamp and slot alone do")
	turn := fmt.Sprintf("advance the distributor by %.1f deg", c.Turn)
	switch {
	case math.Abs(c.Turn) < 0.05:
		turn = "set the timing with the light" // it stands right, or on a machine
	case c.Turn < 0:
		turn = fmt.Sprintf("retard the distributor by %.1f deg", -c.Turn)
	}
	switch {
	case c.ClampOnly:
		p.para("", fmt.Sprintf("For a total of %.1f deg crank (%s): %s, to a static timing of %.1f deg. The slot stays as it is.", c.Total, c.TotalOf, turn, c.Static))
	case c.Remove >= 0:
		p.para("", fmt.Sprintf("For a total of %.1f deg crank (%s): take %.1f deg of travel away; the static timing is then %.1f deg.", c.Total, c.TotalOf, c.Remove, c.Static))
	default:
		p.para("", fmt.Sprintf("For a total of %.1f deg crank (%s): give %.1f deg more travel; the static timing is then %.1f deg.", c.Total, c.TotalOf, -c.Remove, c.Static))
	}
	if c.Margin != nil && c.MarginRPM != nil {
		p.para("", fmt.Sprintf("Knock: %s the limit's best estimate at %.0f rpm.", belowOrPast(*c.Margin), *c.MarginRPM))
	}
	for _, n := range c.Notes {
		p.para("! ", n)
	}
}

func (r *ReadingsPart) text(p *page) {
	p.head("What the readings say")
	p.line("Curve:           %s", r.Model)
	p.line("Static timing:   %s", r.Static.Text)
	p.line("Advance begins:  %s", r.Start.Text)
	p.line("All in:          %s", r.AllIn.Text)
	p.line("Travel:          %s", r.Travel.Text)
	p.line("Total:           %s", r.Total.Text)
	for i, s := range r.Slopes {
		p.line("Slope %d:         %s", i+1, s.Text)
	}
	for _, k := range r.Knees {
		p.line("Knee:            %s", k.Text)
	}
	if r.Slot > 0 {
		used := "agrees with the readings and was used with them"
		if !r.SlotUsed {
			used = "contradicts the readings and was left out of the fit"
		}
		p.para("", fmt.Sprintf("The slot as measured allows %.1f deg crank, which %s.", r.Slot, used))
	}
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
	if len(r.Cylinders) > 0 {
		var list []string
		for _, n := range slices.Sorted(maps.Keys(r.Cylinders)) {
			list = append(list, fmt.Sprintf("cylinder %d %+.1f", n, r.Cylinders[n]))
		}
		p.para("", "Ahead of the curve in the mean, deg crank: "+strings.Join(list, ", ")+".")
	}
	for i := range r.HoseOn {
		p.para("", r.HoseOn[i].text())
	}
	for _, s := range append([]string{r.HoseAdds}, append(slices.Clone(r.Open), r.Next)...) {
		if s != "" {
			p.para("", s)
		}
	}
}

func (e *EnginePart) text(p *page) {
	p.head("What the engine wants and tolerates, full load, " + e.Fuel)
	p.line("Deg crank BTDC, with bands that hold 90 %%.")
	p.line("")
	p.line("     rpm   best torque   (band)          trace knock from   (band)")
	for _, w := range e.Want {
		limit := fmt.Sprintf("%16.1f   (%.1f to %.1f)", w.Limit, w.LimitLow, w.LimitHigh)
		switch {
		case e.Refused:
			limit = fmt.Sprintf("%16s   (%.1f to %.1f)", "not known", w.LimitLow, w.LimitHigh)
		case !w.Limited:
			limit = fmt.Sprintf("%16s   (%.1f or more)", "not met", w.LimitLow)
		}
		p.line("   %5.0f   %11.1f   %-15s %s", w.RPM, w.MBT, fmt.Sprintf("(%.1f to %.1f)", w.MBTLow, w.MBTHigh), limit)
	}
	if e.Doubt != "" {
		p.para("", e.Doubt)
	}
	if e.Calibrated {
		p.para("", fmt.Sprintf("Calibrated by the observations given. Recipes keep %.1f deg below the best estimate of the limit where the drawer allows.", e.Margin))
	} else {
		p.para("", fmt.Sprintf("Computed from the engine's plain facts alone, hence the wide bands. Two observations narrow them most, at about 1200 and 2500 rpm: trace knock, or the timing at which it was gone after backing off from it. A timing chosen without listening that does not knock says less; best torque found, and the maker's curve on the maker's fuel, help too. Recipes keep %.1f deg below the best estimate of the limit where the drawer allows.", e.Margin))
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
	if r.Refused {
		return "knock: the limit is NOT KNOWN, see what the engine tolerates"
	}
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
	for _, place := range slices.Sorted(maps.Keys(r.Springs)) {
		places = append(places, fmt.Sprintf("%s at %s", r.Springs[place], place))
	}
	p.para(fmt.Sprintf("%d. ", r.Rank), fmt.Sprintf("%s; weights %s.", strings.Join(places, ", "), r.Weights))
	p.line("   static %.1f + travel %.1f = total %.1f deg crank", r.Static, r.Travel, r.Total)
	switch {
	case r.SlotLength == 0 && math.Abs(r.Remove) < sameTravel:
		p.line("   slot as it is")
	case r.SlotLength == 0:
		p.line("   take %.1f deg of travel away at the slot", r.Remove)
	case r.SlotClosing > 0.05:
		p.line("   close %.2f mm of the slot, to %.2f mm (%.3f in)", r.SlotClosing, r.SlotLength, r.SlotLength/25.4)
	case r.SlotClosing < -0.05:
		p.line("   file %.2f mm off the slot, to %.2f mm (%.3f in)", -r.SlotClosing, r.SlotLength, r.SlotLength/25.4)
	default:
		p.line("   slot as it is, %.2f mm (%.3f in)", r.SlotLength, r.SlotLength/25.4)
	}
	p.line("   begins at %.0f rpm (weights fully back at %.0f), all in at %.0f (%.0f to %.0f)", r.Start, r.Return, r.AllIn, r.AllInLow, r.AllInHigh)
	if r.Judged {
		p.line("   idle will show %.1f; torque given up %.2f %%", r.IdleReading, r.GivenUp)
		p.line("   %s", r.room())
	} else {
		p.line("   idle will show %.1f; %.1f deg from the wanted curve (root mean square)", r.IdleReading, r.Closeness)
	}
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
