package build

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"example.org/bobweight/advance/job"
)

// story is what the demo job says of the trap and of the way out of it.
type story struct {
	oldWay, wanted, after float64 // totals, crank degrees
	idle, set             float64 // rpm, crank degrees: what somebody sets who trusts the idle
}

// won reads the story from the demo's report.
func (b *builder) won() (s story, err error) {
	for _, f := range b.report.Findings {
		if f.Code == "set-at-idle" {
			s.oldWay = f.Size
			if _, err := fmt.Sscanf(f.Text, "If %f deg crank is set at an idle of %f rpm", &s.set, &s.idle); err != nil {
				return s, fmt.Errorf("the finding %q: %w", f.Text, err)
			}
		}
	}
	if s.oldWay == 0 || b.report.Sheet == nil || len(b.report.Recipes) == 0 {
		return s, fmt.Errorf("the demo job tells no story: it has no sheet, or no total from setting at idle")
	}
	for _, c := range b.report.Curves {
		if c.Rising != nil {
			s.after = max(s.after, *c.Rising)
		}
	}
	s.wanted = b.wish.Total
	return s, nil
}

// wonText tells the story in words.
func (b *builder) wonText() (string, error) {
	s, err := b.won()
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("Light springs have begun to advance at idle. So **%.0f degrees set at an idle of %.0f rpm become a total of %.1f**, where %.1f are wanted. "+
		"With the parts and the setting that the job prints, the light shows **%.1f**.", s.set, s.idle, s.oldWay, s.wanted, s.after), nil
}

// wonPicture draws the story: the present curve as it comes out when it is set at idle,
// the total wanted, and the new curve. It is drawn for a phone; larger screens enlarge it.
func (b *builder) wonPicture() (template.HTML, error) {
	s, err := b.won()
	if err != nil {
		return "", err
	}
	const width, height, left, right, top, foot = 400, 270, 34, 8, 20, 34
	last, present := 0.0, 0.0
	for _, c := range b.report.Curves {
		last = max(last, c.RPM)
		if c.Present != nil {
			present = max(present, *c.Present)
		}
	}
	most := math.Ceil((s.oldWay+4)/10) * 10
	x := func(rpm float64) float64 { return left + (width-left-right)*rpm/last }
	y := func(deg float64) float64 { return top + (height-top-foot)*(1-deg/most) }
	line := func(class string, of func(job.CurveRow) *float64, up float64) string {
		var d strings.Builder
		for _, c := range b.report.Curves {
			if v := of(c); v != nil {
				fmt.Fprintf(&d, "%.1f,%.1f ", x(c.RPM), y(*v+up))
			}
		}
		return fmt.Sprintf("<polyline class=\"line %s\" points=\"%s\"/>\n", class, strings.TrimSpace(d.String()))
	}
	var out strings.Builder
	fmt.Fprintf(&out, "<svg class=\"chart won\" viewBox=\"0 0 %d %d\" role=\"img\" aria-labelledby=\"won-title\">\n<title id=\"won-title\">Advance over engine speed: set at idle the total is %.1f degrees, wanted are %.1f, the new curve gives %.1f.</title>\n", width, height, s.oldWay, s.wanted, s.after)
	for deg := 0.0; deg <= most; deg += 10 {
		fmt.Fprintf(&out, "<line class=\"grid\" x1=\"%d\" x2=\"%d\" y1=\"%.1f\" y2=\"%.1f\"/><text x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%.0f°</text>\n", left, width-right, y(deg), y(deg), left-4, y(deg)+4, deg)
	}
	for rpm := 1000.0; rpm <= last; rpm += 1000 {
		fmt.Fprintf(&out, "<text x=\"%.1f\" y=\"%d\" text-anchor=\"middle\">%.0f</text>\n", x(rpm), height-foot+15, rpm)
	}
	fmt.Fprintf(&out, "<text x=\"%d\" y=\"%d\" text-anchor=\"middle\">engine rpm</text>\n", (left+width)/2, height-4)
	out.WriteString(line("present", func(c job.CurveRow) *float64 { return c.Present }, s.oldWay-present))
	out.WriteString(line("rising", func(c job.CurveRow) *float64 { return c.Rising }, 0))
	fmt.Fprintf(&out, "<line class=\"line wanted\" x1=\"%.1f\" x2=\"%d\" y1=\"%.1f\" y2=\"%.1f\"/>\n", x(0), width-right, y(s.wanted), y(s.wanted))
	say := func(class string, rpm, deg float64, text string) {
		fmt.Fprintf(&out, "<text class=\"say %s\" x=\"%.1f\" y=\"%.1f\">%s</text>\n", class, x(rpm), y(deg), text)
	}
	fmt.Fprintf(&out, "<text class=\"say present\" x=\"%d\" y=\"%.1f\" text-anchor=\"end\">set at idle: %.1f°</text>\n", width-right, y(s.oldWay)-7, s.oldWay)
	say("wanted", 30, s.wanted+1.2, fmt.Sprintf("wanted: %.1f°", s.wanted))
	fmt.Fprintf(&out, "<text class=\"say rising\" x=\"%d\" y=\"%.1f\" text-anchor=\"end\">after the job: %.1f°</text>\n", width-right, y(s.after)+18, s.after)
	fmt.Fprintf(&out, "<line class=\"idle\" x1=\"%.1f\" x2=\"%[1]f\" y1=\"%d\" y2=\"%d\"/>", x(s.idle), top, height-foot)
	fmt.Fprintf(&out, "<text x=\"%.1f\" y=\"%d\">idle</text>\n</svg>\n", x(s.idle)+3, height-foot-5)
	return template.HTML(out.String()), nil
}
