package live

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"example.org/bobweight/advance/job"
)

// Drop is a job file with the files that came with it.
type Drop struct {
	Job   string            `json:"job"`
	Files map[string]string `json:"files"`
}

// Answer is what the command writes for the same job.
type Answer struct {
	Result string `json:"result"` // text of result.json
	Report string `json:"report"` // what the command prints
	Sheet  string `json:"sheet"`  // text of sheet.txt; empty where nothing fits
}

// run works the job through.
func (d *Drop) run(ctx context.Context, progress Progress) (*Answer, error) {
	j, err := job.Read([]byte(d.Job), func(name string) ([]byte, error) {
		text, ok := d.Files[name]
		if !ok {
			return nil, fmt.Errorf("drop %q together with the job file", name)
		}
		return []byte(text), nil
	})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	report, err := j.Run(ctx, progress)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	result, err := json.MarshalIndent(report, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	a := &Answer{Result: string(result) + "\n"}
	if report.Sheet != nil {
		a.Sheet = report.Sheet.Text()
	}
	var text strings.Builder
	err = report.Text(&text)
	a.Report = text.String()
	return a, err
}
