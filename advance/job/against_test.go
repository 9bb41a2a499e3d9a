package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// pulled is a drawer with a spring of 2 N/mm and one of 3 N/mm with 0.3 N of initial
// tension, which was pulled against the first with 2, 4, 6 and 8 N. It stands before it.
func pulled(against string) []byte {
	var rows []string
	for _, force := range []float64{2, 4, 6, 8} {
		rows = append(rows, fmt.Sprintf(`{"against": %q, "against_length": "%.4f mm", "length": "%.4f mm"}`, against, 25+force/2, 24+(force-0.3)/3))
	}
	return []byte(`{"title": "one against the other", "drawer": {"springs": [
		{"name": "unknown", "free_length": "24 mm", "hung": [` + strings.Join(rows, ", ") + `]},
		{"name": "known", "rate": "2 N/mm", "free_length": "25 mm"}]}}`)
}

// Two springs that are pulled together carry one force (statics): the known one tells
// what the other is.
func TestAgainstAKnownSpring(t *testing.T) {
	t.Parallel()
	j, err := job.Read(pulled("known"), nil)
	if err != nil {
		t.Fatal(err)
	}
	part := j.Drawer.Springs[0]
	if part.Name != "unknown" || !(math.Abs(part.Spring.Rate-3000) <= 1) || !(math.Abs(part.Spring.InitialTension-0.3) <= 1e-3) {
		t.Errorf("found %+v, want 3 N/mm and 0.3 N", part)
	}
	// The known rate is good to 5 %: the unknown one is no better.
	if !(part.RateSigma >= 0.05 && part.RateSigma < 0.15) {
		t.Errorf("rate within %.3f", part.RateSigma)
	}
	if _, err := job.Read(pulled("another"), nil); err == nil || !strings.Contains(err.Error(), "valid is a spring of the drawer") {
		t.Errorf("against a spring that is not there: %v", err)
	}
}
