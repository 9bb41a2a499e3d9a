package corpus

import (
	"errors"
	"strings"
	"testing"
)

// measuredCase is the sound file with a measured value for its first case.
var measuredCase = strings.NewReplacer(
	`"kind": "published"`, `"kind": "measured"`,
	`"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175 N/m"}, "plausible": {"SI": {"from": "100 N/m", "to": "300 N/m"}}`,
).Replace(sound)

// TestSpoiledMeasured spoils a measured case in what the other kinds do not have.
func TestSpoiledMeasured(t *testing.T) {
	if _, err := load(measuredCase); err != nil {
		t.Fatalf("the sound measured case is refused: %v", err)
	}
	for _, c := range []struct{ name, from, to, says string }{
		{"no plausible range", `"plausible": {"SI": {"from": "100 N/m", "to": "300 N/m"}}`, `"note": "x"`, "states its plausible range"},
		{"plausible range of a published value", `"kind": "measured"`, `"kind": "published"`, "no other kind has one"},
		{"plausible range that falls", `"from": "100 N/m"`, `"from": "400 N/m"`, "does not rise"},
		{"plausible range of another dimension", `"from": "100 N/m", "to": "300 N/m"`, `"from": "100 N", "to": "300 N"`, "same kind"},
		{"plausible range of no find", `"plausible": {"SI"`, `"plausible": {"IS": {"from": "1 N", "to": "2 N"}, "SI"`, "of no find"},
		{"reason of no find", `"plausible": {`, `"outside": {"IS": "x"}, "plausible": {`, "of no find"},
		{"reason without words", `"plausible": {`, `"outside": {"SI": " "}, "plausible": {`, "says in words"},
		{"reason beside a published value", `"plausible": {"SI": {"from": "100 N/m", "to": "300 N/m"}}`, `"outside": {"SI": "x"}`, "says in words"},
		{"measured by ourselves", `"provenance": "read"`, `"provenance": "own"`, "does not go with"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := measuredCase
			if strings.HasPrefix(c.name, "reason beside") {
				text = strings.Replace(text, `"kind": "measured"`, `"kind": "published"`, 1)
			}
			if !strings.Contains(text, c.from) {
				t.Fatalf("the sound case does not hold %q", c.from)
			}
			_, err := load(strings.Replace(text, c.from, c.to, 1))
			if !errors.Is(err, ErrCorpus) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got error %v, want one that wraps %q and says %q", err, ErrCorpus, c.says)
			}
		})
	}
}

// TestMeasuredBand holds the measured 175 N/m against bands that contain it, miss it
// and are too wide to be a check.
func TestMeasuredBand(t *testing.T) {
	const because = `"outside": {"SI": "the spring had sagged"}, "plausible": {`
	for _, c := range []struct {
		name      string
		low, high float64 // N/m
		reason    bool
		want      Outcome
		count     MeasuredCount
	}{
		{"inside", 150, 200, false, Inside, MeasuredCount{Checked: 1, Inside: 1, MedianWidth: 0.25}},
		{"in the last digit of the measurement", 175.4, 200, false, Inside, MeasuredCount{Checked: 1, Inside: 1, MedianWidth: 0.123}},
		{"below its band", 176, 200, false, Strays, MeasuredCount{Checked: 1, MedianWidth: 0.12}},
		{"above its band", 150, 174, false, Strays, MeasuredCount{Checked: 1, MedianWidth: 0.12}},
		{"outside with a reason", 180, 200, true, KnownOutside, MeasuredCount{Checked: 1, MedianWidth: 0.1}},
		{"inside in spite of the reason", 150, 200, true, Returned, MeasuredCount{Checked: 1, Inside: 1, MedianWidth: 0.25}},
		{"too wide", 110, 250, false, TooWide, MeasuredCount{TooWide: 1}},
		{"no width", 175, 175, false, Broken, MeasuredCount{}},
		{"upside down", 200, 150, false, Broken, MeasuredCount{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := measuredCase
			if c.reason {
				text = strings.Replace(text, `"plausible": {`, because, 1)
			}
			files, err := load(text)
			if err != nil {
				t.Fatal(err)
			}
			known := map[string]calculation{"unit factor": {"unit factor", "springs.Spring", func(g *Given) (Found, error) {
				found := Found{"SI": g.Any("value")}
				if found["SI"].Dim == dimStiffness {
					found.Band("SI", found["SI"], SI(c.low, dimStiffness), SI(c.high, dimStiffness))
				}
				return found, nil
			}}}
			r := runWith(known, nil, files, Settings{})
			if got := r.Rows[0].Outcome; got != c.want {
				t.Errorf("the outcome is %q (%s), want %q", got, r.Rows[0].Why, c.want)
			}
			got := r.MeasuredCounts()
			if !(got.MedianWidth-c.count.MedianWidth < 1e-12 && c.count.MedianWidth-got.MedianWidth < 1e-12) {
				t.Errorf("the median width is %g, want %g", got.MedianWidth, c.count.MedianWidth)
			}
			got.MedianWidth = c.count.MedianWidth
			if got != c.count {
				t.Errorf("the counts are %+v, want %+v", got, c.count)
			}
		})
	}
	files, err := load(measuredCase)
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]calculation{"unit factor": {"unit factor", "springs.Spring", func(g *Given) (Found, error) {
		return Found{"SI": g.Any("value")}, nil
	}}}
	if bad := strings.Join(runWith(known, nil, files, Settings{}).Bad(), "\n"); !strings.Contains(bad, "finds no band") {
		t.Errorf("without a band the run reports %q", bad)
	}
}
