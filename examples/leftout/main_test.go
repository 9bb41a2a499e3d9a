package main

import (
	"context"
	"os"
	"slices"
	"testing"

	"example.org/bobweight/advance/job"
)

func demo(t *testing.T) []byte {
	t.Helper()
	text, err := os.ReadFile("../recurve/demo.json")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The demo without any one of its fields, or any two, is a job still: each is asked for
// with how to get it and what it would tell, or has a default.
func TestEveryFieldMayBeLeftOut(t *testing.T) {
	t.Parallel()
	text := demo(t)
	for _, two := range []bool{false, true} {
		cases, err := leftOut(text, two)
		if err != nil {
			t.Fatal(err)
		}
		for i, left := range cases {
			if two && testing.Short() && i%8 != 0 {
				continue
			}
			rest, err := without(text, left)
			if err != nil {
				t.Fatal(err)
			}
			j, err := job.Read(rest, nil)
			if err != nil {
				t.Errorf("without %v: %v", left, err)
				continue
			}
			list := j.Asks()
			for _, f := range left {
				asked, can := asks(list, f.path), slices.Contains(optional, numbered(f.path))
				if !asked && !can || asked && can && !two {
					t.Errorf("without %v: %s is asked for: %t", left, f.path, asked)
				}
			}
		}
	}
}

// Some of the jobs worked to their report; the command works all.
func TestReports(t *testing.T) {
	t.Parallel()
	text := demo(t)
	for _, two := range []bool{false, true} {
		cases, err := leftOut(text, two)
		if err != nil {
			t.Fatal(err)
		}
		jobs := 8
		if testing.Short() {
			jobs = 3
		}
		s, err := study(context.Background(), text, cases, len(cases)/jobs)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range s.Faults {
			t.Error(f)
		}
		if s.Jobs < jobs || s.Whole == 0 || s.Asked == 0 || s.Over > 0 {
			t.Errorf("%+v", s)
		}
	}
}
