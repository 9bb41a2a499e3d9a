package quantity

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestSciPy holds the units against those of scipy.constants, an independent
// table. It multiplies rounded numbers, hence some units in the last place.
func TestSciPy(t *testing.T) {
	data, err := os.ReadFile("testdata/scipy_units.txt")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	for _, line := range lines[1:] {
		text, number, _ := strings.Cut(line, ", ")
		want, err := strconv.ParseFloat(number, 64)
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		q, err := Parse(text)
		if err != nil || !(math.Abs(q.SI-want) <= 1e-15*math.Abs(want)) {
			t.Errorf("%s = %v, %v; SciPy has %v", text, q.SI, err, want)
		}
	}
	if len(lines) < 30 {
		t.Errorf("only %d lines were compared", len(lines))
	}
}
