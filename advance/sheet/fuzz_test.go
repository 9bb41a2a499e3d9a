package sheet_test

import (
	"math"
	"strings"
	"testing"
	"unicode"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever two fields hold, and whatever the curve says: a sheet of finite numbers
// that can be printed, or an error.
func FuzzSheet(tf *testing.F) {
	f := fuzzing.New(tf)
	type world struct {
		In                                   sheet.Input
		Rising, Falling, Low, High, Diameter float64
	}
	ordinary := func(text string) *world {
		w := &world{In: rampInput(), Falling: 0.5, Low: -1.5, High: 1.5, Diameter: 180}
		w.In.Title, w.In.Recipe, w.In.Hose, w.In.Warnings, w.In.Verify = text, text, []string{text}, []string{text}, []string{text}
		w.In.Parts = []sheet.Part{{Place: text, Name: text}}
		w.In.Slot, w.In.Vacuum, w.In.Rotor = &sheet.Slot{Length: 9, Closing: 1, Bush: 7}, 12, sheet.Rotor{Radius: 25, Tip: 5, Terminal: 4}
		return w
	}
	n := len(fuzzing.Floats(ordinary("")))
	for i := range n {
		f.Add(uint16(i), 1e300, uint16(i+1), -1e-300, "north")
		f.Add(uint16(i), 0.0, uint16(i+3), 1e9, "a long word \x1b[2J\u202e and more")
	}
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64, words string) {
		w := ordinary(words)
		all := fuzzing.Floats(w)
		all[int(i)%n].SetFloat(x)
		all[int(j)%n].SetFloat(y)
		w.In.At = func(rpm float64) (rising, falling, low, high float64, err error) {
			at, _, _, _, err := ramp(rpm)
			return at + w.Rising, at + w.Falling, at + w.Low, at + w.High, err
		}
		s, err := sheet.New(w.In)
		fuzzing.Finite(t, "sheet", err, s)
		if err == nil && strings.ContainsFunc(strings.ReplaceAll(s.Text(), "\n", ""), func(c rune) bool { return !unicode.IsGraphic(c) }) {
			t.Errorf("the sheet holds what cannot be printed, of %q", words)
		}
		if r := text.Round(x); !(math.Abs(r-x) <= 0.005+math.Abs(x)*0x1p-50) && math.Abs(r-x) < math.Inf(1) {
			t.Errorf("%g is rounded to %g", x, r)
		}
		along, err := sheet.RimDistance(x, y)
		fuzzing.Finite(t, "rim distance", err, along)
		for _, line := range text.Wrap(words, int(i)) {
			if line == "" && words != "" {
				t.Errorf("an empty line of %q", words)
			}
		}
	})
}
