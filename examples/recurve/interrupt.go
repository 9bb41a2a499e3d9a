package main

import (
	"context"
	"fmt"
	"time"

	"example.org/bobweight/advance/job"
)

// grace is how long a run that is interrupted may take to hand over what it knows.
const grace = 700 * time.Millisecond

// runJob runs a job. When the context ends it comes back within the grace, with what
// is known by then, if anything, and an error that says how far the run came.
func runJob(ctx context.Context, j *job.Job, progress func(what string, done float64)) (*job.Report, error) {
	type result struct {
		report *job.Report
		err    error
	}
	type step struct {
		what string
		done float64
	}
	ended := make(chan result, 1)
	last := make(chan step, 1)
	last <- step{"the beginning", 0}
	go func() {
		report, err := j.Run(ctx, func(what string, done float64) {
			<-last
			last <- step{what, done}
			progress(what, done)
		})
		ended <- result{report, err}
	}()
	var r result
	late := false
	select {
	case r = <-ended:
	case <-ctx.Done():
		select {
		case r = <-ended:
		case <-time.After(grace):
			r.err, late = ctx.Err(), true
		}
	}
	if ctx.Err() != nil && r.err != nil {
		at := <-last
		last <- at
		known := "Nothing is known yet"
		switch {
		case r.report != nil:
			known = "What is known so far is printed"
		case late: // on a machine that has no time for it
			known = "What is known was not handed over in time"
		}
		r.err = fmt.Errorf("interrupted at %s, %.0f %% of the whole. %s, nothing is written: %w", at.what, 100*at.done, known, r.err)
	}
	return r.report, r.err
}
