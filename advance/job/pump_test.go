package job_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// pumped is a job of hand-pump readings alone.
func pumped(readings string) []byte {
	return []byte(`{"title": "a vacuum unit", "vacuum": {"pump": [` + readings + `]}}`)
}

// startsAndStops is pumped up slowly, twice.
const startsAndStops = `{"at": "6 inHg", "arm": "starts"}, {"at": "12 inHg", "arm": "stops"},
	{"at": "6.4 inHg", "arm": "starts"}, {"at": "12.4 inHg", "arm": "stops"}`

// Where the arm starts and where it stops, each twice, give onset and full pull as
// their means, which the prior moves by less than 0.1 inHg. How far the unit turns is
// asked for; one reading of degrees answers it.
func TestArmStartsAndStops(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		readings string
		most     float64 // crank degrees
		asked    bool
		says     string
	}{
		{startsAndStops, 0, true, "how many degrees it gives was not read"},
		{startsAndStops + `, {"at": "18 inHg", "shows": "7.5 deg dist"}`, 15, false, "and then gives"},
	} {
		r := work(t, pumped(c.readings))
		v := r.Vacuum
		if v == nil || !(math.Abs(v.Onset-6.2) <= 0.1) || !(math.Abs(v.Full-12.2) <= 0.1) || !(math.Abs(v.Most-c.most) <= 0.3) {
			t.Fatalf("%s: %+v", c.readings, v)
		}
		if !strings.Contains(strings.Join(v.Advice, " "), c.says) {
			t.Errorf("%q is not in %q", c.says, v.Advice)
		}
		asked := slices.ContainsFunc(r.Stages, func(s job.StagePart) bool {
			return slices.ContainsFunc(s.Missing, func(m job.Missing) bool { return m.Field == "vacuum.pump[].shows" && m.How != "" })
		})
		if asked != c.asked {
			t.Errorf("%s: degrees asked for: %v", c.readings, asked)
		}
	}
}

// What the arm does is said in one of two words, and stands for itself.
func TestArmRefused(t *testing.T) {
	t.Parallel()
	for reading, want := range map[string]string{
		`{"at": "6 inHg", "arm": "moves"}`:                            `vacuum.pump[0].arm: is "moves", valid is "starts" or "stops"`,
		`{"at": "6 inHg", "arm": "stops", "shows": "7.5 deg dist"}`:   "vacuum.pump[0].arm: stands beside shows",
		`{"at": "6 inHg", "arm": "starts", "shows": "0.5 deg crank"}`: "vacuum.pump[0].arm: stands beside shows",
	} {
		if _, err := job.Read(pumped(reading+", "+startsAndStops), nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", reading, err, want)
		}
	}
}
