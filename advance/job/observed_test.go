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
	counted := width(say("backed off", `, "backed_off_by": "3 deg crank"`))
	uncounted := width(say("backed off", ""))
	chosen := width(say("no knock", ""))
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

// A fuel that the knock model was not fitted on is told in the report.
func TestOutsideTheFit(t *testing.T) {
	ordinary := work(t, observed(t, 30, ""))
	poor := work(t, []byte(strings.Replace(string(observed(t, 30, "")), `["95 RON", "85 MON"]`, `["80 RON", "74 MON"]`, 1)))
	var text strings.Builder
	if err := poor.Text(&text); err != nil {
		t.Fatal(err)
	}
	if ordinary.Engine.Doubt != "" || !strings.Contains(poor.Engine.Doubt, "OUTSIDE THE FIT") || !strings.Contains(text.String(), "OUTSIDE THE FIT") {
		t.Errorf("ordinary fuel %q, poor fuel %q", ordinary.Engine.Doubt, poor.Engine.Doubt)
	}
}
