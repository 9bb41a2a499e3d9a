// Package answer works a whole job for the bench page: the report, its sheets and
// tables as the command writes them, the shape of the mechanism for a drawing, and,
// where the job is refused, every fault with its field. Pictures are package drop's,
// which weighs more than all the rest and is asked only for a file to save.
package answer

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/live"
	"example.org/bobweight/examples/recurve/results"
)

// ErrAnswer is wrapped by every error of this package.
var ErrAnswer = errors.New("bench")

// Request is a job file with the files that came with it.
type Request struct {
	Job   string            `json:"job"`
	Files map[string]string `json:"files"`
}

// Answer is what the command writes and prints for the same job, or why it does not.
type Answer struct {
	Faults []Fault     `json:"faults,omitempty"` // the job is refused, and nothing else is there
	Result string      `json:"result,omitempty"` // text of result.json
	Sheet  string      `json:"sheet,omitempty"`  // text of sheet.txt
	Table  string      `json:"table,omitempty"`  // text of curves.csv
	Report string      `json:"report,omitempty"` // what the command prints
	Shape  *live.Shape `json:"shape,omitempty"`  // nil where the job does not describe its mechanism
}

// Fault is one thing that is wrong with a job, in the library's words.
type Fault struct {
	Line  int    `json:"line,omitempty"`
	Field string `json:"field,omitempty"` // such as "readings[2].at"; empty for the file as a whole
	Text  string `json:"text"`
}

// Call answers one request, a [Request] with an [Answer]. Errors wrap [ErrAnswer].
func Call(ctx context.Context, in []byte, progress live.Progress) ([]byte, error) {
	var q Request
	if err := json.Unmarshal(in, &q); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrAnswer, err)
	}
	a, err := q.run(ctx, progress)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrAnswer, err)
	}
	return json.Marshal(a)
}

// run works the job through.
func (q *Request) run(ctx context.Context, progress live.Progress) (*Answer, error) {
	j, err := job.Read([]byte(q.Job), func(name string) ([]byte, error) {
		text, ok := q.Files[name]
		if !ok {
			return nil, fmt.Errorf("open %q together with the job file", name)
		}
		return []byte(text), nil
	})
	if err != nil {
		return &Answer{Faults: Faults(err)}, nil
	}
	r, err := follow(ctx, j, progress)
	if errors.Is(err, job.ErrJob) {
		return &Answer{Faults: Faults(err)}, nil
	}
	if err != nil {
		return nil, err
	}
	results.Stamp(r)
	a := &Answer{Shape: live.ShapeOf(j)}
	for _, f := range []struct {
		into *string
		make func(*job.Report) ([]byte, error)
	}{{&a.Result, results.JSON}, {&a.Sheet, results.Sheet}, {&a.Table, results.Table}} {
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

// follow runs the job and hands its answer over as soon as it stands.
func follow(ctx context.Context, j *job.Job, progress live.Progress) (*job.Report, error) {
	if progress == nil {
		return j.Run(ctx, nil)
	}
	var failed error
	j.Answered = func(r *job.Report) {
		results.Stamp(r)
		text, err := results.JSON(r)
		if err != nil {
			failed = err
			return
		}
		progress("", 0, text)
	}
	r, err := j.Run(ctx, func(what string, done float64) { progress(what, done, nil) })
	return r, errors.Join(err, failed)
}

// place takes off an error of the library where the fault stands: the file beside the
// job, with its colon, if it is in one; the line; and the field, if it names one.
func place(fault string) (file string, line int, field, text string, ok bool) {
	fault = strings.TrimPrefix(fault, "job: ")
	if before, rest, found := strings.Cut(fault, ": "); found && !strings.HasPrefix(fault, "line ") && !strings.ContainsAny(before, " :") {
		file, fault = before+": ", rest
	}
	at, text, ok := strings.Cut(fault, ": ")
	at, numbered := strings.CutPrefix(at, "line ")
	at, _, _ = strings.Cut(at, ", column ")
	line, err := strconv.Atoi(at)
	if !ok || !numbered || err != nil {
		return "", 0, "", "", false
	}
	if name, rest, found := strings.Cut(text, ": "); found && name != "" && strings.Trim(name, "abcdefghijklmnopqrstuvwxyz_.[]0123456789") == "" {
		field, text = name, rest
	}
	return file, line, field, text, true
}

// Faults are the lines of an error of a job file, each with the field that it names.
func Faults(err error) []Fault {
	var out []Fault
	for _, line := range strings.Split(err.Error(), "\n") {
		f := Fault{Text: strings.TrimPrefix(line, "job: ")}
		if file, number, field, text, ok := place(line); ok {
			f.Line, f.Field, f.Text = number, field, strings.TrimPrefix(text, "quantity: ")
			if file != "" { // a file beside the job
				f.Text = fmt.Sprintf("%sline %d: %s", file, number, f.Text)
			}
		}
		out = append(out, f)
	}
	return out
}
