// Package drop works a whole job for a page on which its file was dropped. What it
// answers are the files that the command writes, made by the same packages. It
// stands apart from package live because the plotting library and its fonts weigh
// more than all the rest; only a page with a job on it loads them.
package drop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/live"
	"example.org/bobweight/examples/recurve/drawing"
	"example.org/bobweight/examples/recurve/plots"
	"example.org/bobweight/examples/recurve/results"
)

// ErrJob is wrapped by every error of this package.
var ErrJob = errors.New("dropped job")

// Drop is a job file with the files that came with it.
type Drop struct {
	Job   string            `json:"job"`
	Files map[string]string `json:"files"`
}

// Answer is what the command writes and prints for the same job.
type Answer struct {
	Result string `json:"result"` // text of result.json
	Sheet  string `json:"sheet"`  // text of sheet.txt
	Table  string `json:"table"`  // text of curves.csv
	Curve  string `json:"curve"`  // text of curve.svg
	// Drawing is the text of distributor.svg, empty where the job does not describe its
	// mechanism.
	Drawing string `json:"drawing"`
	Report  string `json:"report"` // what the command prints
}

// Call answers the one request of the page, "job", JSON for JSON: a [Drop] with an
// [Answer]. Errors wrap [ErrJob] and are for people to read.
func Call(ctx context.Context, name string, in []byte, progress live.Progress) ([]byte, error) {
	if name != "job" {
		return nil, fmt.Errorf("%w: %q cannot be asked for", ErrJob, name)
	}
	var d Drop
	if err := json.Unmarshal(in, &d); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrJob, err)
	}
	a, err := d.run(ctx, progress)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrJob, err)
	}
	return json.Marshal(a)
}

// run works the job through.
func (d *Drop) run(ctx context.Context, progress live.Progress) (*Answer, error) {
	j, err := job.Read([]byte(d.Job), func(name string) ([]byte, error) {
		text, ok := d.Files[name]
		if !ok {
			return nil, fmt.Errorf("drop %q together with the job file", name)
		}
		return []byte(text), nil
	})
	if err != nil {
		return nil, err
	}
	r, err := j.Run(ctx, progress)
	if err != nil {
		return nil, err
	}
	results.Stamp(r)
	a := new(Answer)
	for _, f := range []struct {
		into *string
		make func(*job.Report) ([]byte, error)
	}{
		{&a.Result, results.JSON},
		{&a.Sheet, results.Sheet},
		{&a.Table, results.Table},
		{&a.Curve, func(r *job.Report) ([]byte, error) { return plots.Draw(r, "svg") }},
		{&a.Drawing, func(*job.Report) ([]byte, error) {
			if !drawing.Describes(j) {
				return nil, nil
			}
			return drawing.Distributor(j, "svg")
		}},
	} {
		text, err := f.make(r)
		if err != nil {
			return nil, err
		}
		*f.into = string(text)
	}
	var text strings.Builder
	if err := r.Text(&text); err != nil {
		return nil, err
	}
	a.Report = text.String()
	return a, nil
}
