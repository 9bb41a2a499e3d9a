package job_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// A timing without knock says as much as the way in which it was found: backed off from
// knock, counted or not, it narrows the limit about as far as the knock itself; chosen
// without listening it cuts off what lies below.
func TestHowNoKnockWasFound(t *testing.T) {
	t.Parallel()
	width := func(one string) float64 {
		r := work(t, observed(t, 30, one))
		w := at(t, r, 2500)
		t.Logf("%s: limit %.1f (%.1f to %.1f)", one, w.Limit, w.LimitLow, w.LimitHigh)
		return w.LimitHigh - w.LimitLow
	}
	say := func(what, more string) string {
		return fmt.Sprintf(`{"what": %q, "at": "2500 rpm crank", "spark": "22 deg crank"%s}`, what, more)
	}
	trace := width(say("trace knock", ""))
	chosen := width(say("no knock", ""))
	if !(trace < chosen) {
		t.Errorf("%.1f deg wide after trace knock, %.1f after a silence", trace, chosen)
	}
	if testing.Short() {
		return
	}
	counted := width(say("backed off", `, "backed_off_by": "3 deg crank"`))
	uncounted := width(say("backed off", ""))
	maker := width(say("maker's curve", `, "fuel": ["95 RON", "85 MON"]`))
	ratio := at(t, work(t, observed(t, 30, `{"what": "octane by ratio"}`)), 2500)
	plain := at(t, work(t, observed(t, 30, "")), 2500)
	if !(ratio.LimitHigh-ratio.LimitLow < plain.LimitHigh-plain.LimitLow) {
		t.Errorf("octane by ratio: limit %g to %g after %g to %g", ratio.LimitLow, ratio.LimitHigh, plain.LimitLow, plain.LimitHigh)
	}
	if !(trace < counted && counted < uncounted && uncounted < maker && maker < chosen) {
		t.Errorf("widths %.1f, %.1f, %.1f, %.1f, %.1f deg, want them to rise", trace, counted, uncounted, maker, chosen)
	}
}

// What does not belong to an observation is refused, and the maker's fuel is asked for.
func TestObservationRefused(t *testing.T) {
	t.Parallel()
	for want, one := range map[string]string{
		"backed_off_by: goes with": `{"what": "trace knock", "at": "2500 rpm crank", "spark": "22 deg crank", "backed_off_by": "3 deg crank"}`,
		"spark: does not go with":  `{"what": "octane by ratio", "spark": "22 deg crank"}`,
		"fuel: goes with":          `{"what": "no knock", "at": "2500 rpm crank", "spark": "22 deg crank", "fuel": ["95 RON"]}`,
		"fuel: needs a research":   `{"what": "maker's curve", "at": "2500 rpm crank", "spark": "22 deg crank", "fuel": ["95 RON", "97 RON"]}`,
	} {
		_, err := job.Read(observed(t, 30, one), nil)
		if !errors.Is(err, job.ErrJob) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", one, err, want)
		}
	}
}

// On a fuel that the knock model was not fitted on no limit is stated, until something was
// heard on the engine.
func TestOutsideTheFit(t *testing.T) {
	t.Parallel()
	poorly := func(one string) (*job.Report, string) {
		r := work(t, []byte(strings.Replace(string(observed(t, 30, one)), `["95 RON", "85 MON"]`, `["80 RON", "74 MON"]`, 1)))
		var text strings.Builder
		if err := r.Text(&text); err != nil {
			t.Fatal(err)
		}
		return r, text.String()
	}
	ordinary := work(t, observed(t, 30, ""))
	poor, text := poorly("")
	if ordinary.Engine.Doubt != "" || ordinary.Engine.Refused || !poor.Engine.Refused || !strings.Contains(poor.Engine.Doubt, "OUTSIDE THE FIT") {
		t.Errorf("ordinary fuel %q, poor fuel %q", ordinary.Engine.Doubt, poor.Engine.Doubt)
	}
	for _, want := range []string{"OUTSIDE THE FIT", "The knock limit is NOT KNOWN", "        not known   ("} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in the report of a poor fuel", want)
		}
	}
	for _, not := range []string{"hance of trace knock", "BEYOND the limit", "below the limit's best estimate"} {
		if strings.Contains(text, not) {
			t.Errorf("%q in the report of a poor fuel", not)
		}
	}
	heard, text := poorly(`{"what": "trace knock", "at": "2000 rpm crank", "spark": "16 deg crank"}`)
	if heard.Engine.Refused || !strings.Contains(heard.Engine.Doubt, "OUTSIDE THE FIT") || strings.Contains(text, "The knock limit is NOT KNOWN") {
		t.Errorf("after trace knock: %q", heard.Engine.Doubt)
	}
}
