package job_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// largeDrawer is the demo with so many kinds of springs that a search can be
// interrupted in the middle.
func largeDrawer(t *testing.T) []byte {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(demo(t), &root); err != nil {
		t.Fatal(err)
	}
	drawer := root["drawer"].(map[string]any)
	list := drawer["springs"].([]any)
	for i := range 150 {
		list = append(list, map[string]any{
			"name": fmt.Sprintf("coil %d", i), "count": 2, "free_length": "18.4 mm", "initial_tension": "0.2 N",
			"rate": fmt.Sprintf("%.3f N/mm", 0.7+0.01*float64(i)),
		})
	}
	drawer["springs"] = list
	text, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// Interrupted inside the search, a job hands over the fit and the best recipe so far,
// says so, and writes no sheet.
func TestInterruptedSearch(t *testing.T) {
	t.Parallel()
	j, err := job.Read(largeDrawer(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	told := 0
	r, err := j.Run(ctx, func(what string, _ float64) {
		if strings.HasPrefix(what, "trying") {
			if told++; told == 60 {
				cancel()
			}
		}
	})
	if !errors.Is(err, context.Canceled) || r == nil {
		t.Fatalf("report %v, error %v", r, err)
	}
	if r.Readings == nil || r.Engine == nil || len(r.Recipes) != 1 || r.Sheet != nil {
		t.Fatalf("readings %v, engine %v, %d recipes, sheet %v", r.Readings, r.Engine, len(r.Recipes), r.Sheet)
	}
	if best := r.Recipes[0]; !(best.Total > best.Static && best.Static > 0) || len(best.Springs) == 0 {
		t.Errorf("best so far: %+v", best)
	}
	var text bytes.Buffer
	if testing.Verbose() {
		defer func() { t.Log(text.String()) }()
	}
	if err := r.Text(&text); err != nil || !strings.Contains(text.String(), "INTERRUPTED when") {
		t.Errorf("error %v, printed:\n%s", err, text.String())
	}
}
