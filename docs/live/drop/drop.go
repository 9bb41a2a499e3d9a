// Package drop draws the pictures of a job that was worked on the bench page. What it
// answers are the files that the command writes, made by the same packages. It stands
// apart from package answer because the plotting library and its fonts weigh more than
// all the rest; a page loads them when a picture is asked for.
package drop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/live"
	"example.org/bobweight/examples/recurve/drawing"
	"example.org/bobweight/examples/recurve/plots"
)

// ErrDrop is wrapped by every error of this package.
var ErrDrop = errors.New("pictures of a job")

// Drop is a job file with the files that came with it, and the text of its result.json.
type Drop struct {
	Job    string            `json:"job"`
	Files  map[string]string `json:"files"`
	Result string            `json:"result"`
}

// Pictures are what the command draws for the same job.
type Pictures struct {
	Curve   string `json:"curve"`   // text of curve.svg
	Drawing string `json:"drawing"` // text of distributor.svg, empty where the job does not describe its mechanism
	Form    string `json:"form"`    // text of measuring-form.svg
}

// Call answers the one request of the page, "pictures", JSON for JSON: a [Drop] with
// [Pictures]. Errors wrap [ErrDrop] and are for people to read.
func Call(_ context.Context, name string, in []byte, _ live.Progress) ([]byte, error) {
	if name != "pictures" {
		return nil, fmt.Errorf("%w: %q cannot be asked for", ErrDrop, name)
	}
	var d Drop
	if err := json.Unmarshal(in, &d); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDrop, err)
	}
	p, err := d.draw()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDrop, err)
	}
	return json.Marshal(p)
}

// draw makes every picture.
func (d *Drop) draw() (*Pictures, error) {
	j, err := job.Read([]byte(d.Job), func(name string) ([]byte, error) {
		text, ok := d.Files[name]
		if !ok {
			return nil, fmt.Errorf("open %q together with the job file", name)
		}
		return []byte(text), nil
	})
	if err != nil {
		return nil, err
	}
	var r job.Report
	if err := json.Unmarshal([]byte(d.Result), &r); err != nil {
		return nil, err
	}
	curve, err := plots.Draw(&r, "svg")
	if err != nil {
		return nil, err
	}
	form, err := drawing.Form("svg")
	if err != nil {
		return nil, err
	}
	p := &Pictures{Curve: string(curve), Form: string(form)}
	if drawing.Describes(j) {
		text, err := drawing.Distributor(j, "svg")
		if err != nil {
			return nil, err
		}
		p.Drawing = string(text)
	}
	return p, nil
}
