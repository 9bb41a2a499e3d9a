// Command leftout leaves every field out of a job in turn, or every two, works each of the
// jobs that are left to its report, and counts what the report says: each question is
// answered, or asks for what it lacks with how to get it and what it would tell.
//
//	go run ./examples/leftout
//	go run ./examples/leftout -pairs
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/springs/workers"
)

func main() {
	name := flag.String("job", "examples/recurve/demo.json", "the job that fields are left out of")
	two := flag.Bool("pairs", false, "every two fields, of each kind the first")
	every := flag.Int("every", 1, "work every so manieth of the jobs only")
	first := flag.Int("first", 0, "number of the first of them, from 0")
	flag.Parse()
	if err := run(context.Background(), os.Stdout, *name, *two, *first, *every); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, w io.Writer, name string, two bool, first, every int) error {
	text, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	cases, err := leftOut(text, two)
	if err != nil {
		return err
	}
	if first < 0 || first >= len(cases) {
		return fmt.Errorf("first is %d, valid is 0 to %d", first, len(cases)-1)
	}
	s, err := study(ctx, text, cases[first:], every)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%d jobs worked to their report; %d of them with something to set\n", s.Jobs, s.Set)
	fmt.Fprintf(w, "questions answered in whole %d, in part %d, asked for %d, passed over %d\n", s.Whole, s.Part, s.Asked, s.Over)
	for _, f := range s.Faults {
		fmt.Fprintln(w, f)
	}
	return nil
}

// leftOut lists what is left out of each of the jobs.
func leftOut(text []byte, two bool) ([][]field, error) {
	all, err := fields(text)
	if err != nil {
		return nil, err
	}
	if two {
		return pairs(kinds(all)), nil
	}
	var out [][]field
	for _, f := range all {
		out = append(out, []field{f})
	}
	return out, nil
}

// score is what became of the jobs.
type score struct {
	Jobs, Set                int
	Whole, Part, Asked, Over int // questions
	Faults                   []string
}

// study works every so manieth of the jobs.
func study(ctx context.Context, text []byte, cases [][]field, every int) (score, error) {
	if every < 1 {
		return score{}, fmt.Errorf("every is %d, valid is 1 or more", every)
	}
	n := (len(cases) + every - 1) / every
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (score, error) { return one(ctx, text, cases[i*every]) })
	if err != nil {
		return score{}, err
	}
	var sum score
	for _, s := range all {
		sum.Jobs, sum.Set = sum.Jobs+s.Jobs, sum.Set+s.Set
		sum.Whole, sum.Part, sum.Asked, sum.Over = sum.Whole+s.Whole, sum.Part+s.Part, sum.Asked+s.Asked, sum.Over+s.Over
		sum.Faults = append(sum.Faults, s.Faults...)
	}
	return sum, nil
}

// one works one job and reads its report.
func one(ctx context.Context, text []byte, left []field) (score, error) {
	s := score{Jobs: 1}
	var names []string
	for _, f := range left {
		names = append(names, f.path)
	}
	fault := func(format string, a ...any) {
		s.Faults = append(s.Faults, "without "+strings.Join(names, " and ")+": "+fmt.Sprintf(format, a...))
	}
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		return s, err
	}
	rest, err := without(text, left)
	if err != nil {
		return s, err
	}
	j, err := job.Read(rest, nil)
	if err != nil {
		fault("refused: %v", err)
		return s, nil
	}
	r, err := j.Run(ctx, nil)
	if ctx.Err() != nil {
		return s, ctx.Err()
	}
	if err != nil {
		fault("not worked: %v", err)
		return s, nil
	}
	for _, x := range r.Stages {
		switch {
		case len(x.Missing) > 0 && (x.Buys == "" || slices.ContainsFunc(x.Missing, func(m job.Missing) bool { return m.How == "" })):
			fault("%q does not say how to get what it lacks, or what for", x.Stage)
		case x.Answered && len(x.Missing) == 0:
			s.Whole++
		case x.Answered:
			s.Part++
		case len(x.Missing) > 0:
			s.Asked++
		default:
			s.Over++
			fault("%q is passed over", x.Stage)
		}
	}
	for _, f := range left {
		asked := asks(r.Stages, f.path)
		if can := slices.Contains(optional, numbered(f.path)) || free(root, f.path); !can && !asked || can && asked && len(left) == 1 {
			fault("%s is asked for: %t", f.path, asked)
		}
	}
	if len(r.Answer.Set) > 0 {
		s.Set++
	} else if r.Answer.Forbids == "" {
		fault("nothing is set, and nothing says why")
	}
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		fault("not printed: %v", err)
	}
	return s, nil
}
