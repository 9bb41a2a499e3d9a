package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/strict"
)

// source is where a job comes from.
type source struct {
	ctx  context.Context
	file string   // of the job; empty for one that is built in
	demo string   // name of that one
	read []string // every file that was opened
}

// open reads the job file, or the demo.
func (s *source) open() (*job.Job, error) {
	if s.file == "" {
		text, err := builtIn(s.demo)
		if err != nil {
			return nil, err
		}
		return job.Read(text, nil)
	}
	data, err := s.readSmall(s.file)
	if err != nil {
		return nil, err
	}
	j, err := job.Read(data, func(csv string) ([]byte, error) {
		if !filepath.IsLocal(csv) {
			return nil, fmt.Errorf("%q is not a file beside the job", csv)
		}
		return s.readSmall(filepath.Join(filepath.Dir(s.file), csv))
	})
	return j, s.of(err)
}

// of puts the name of the job file before an error.
func (s source) of(err error) error {
	if err == nil || s.file == "" {
		return err
	}
	return fmt.Errorf("%s: %w", s.file, err)
}

// name is the path of the job without its extension, beside which the results go. What
// does not print in the job's name is not carried on.
func (s *source) name() string {
	if s.file == "" {
		return s.demo
	}
	folder, name := filepath.Split(bare(s.file))
	return folder + strings.Map(func(c rune) rune {
		if strconv.IsPrint(c) {
			return c
		}
		return '_'
	}, name)
}

// bare is a path without its extension; a name that is nothing else, such as
// .json, stays whole.
func bare(file string) string {
	if ext := filepath.Ext(file); ext != filepath.Base(file) {
		return strings.TrimSuffix(file, ext)
	}
	return file
}

// readSmall reads a file of at most the size that a job can have. What never opens
// or never ends, such as a pipe that nobody writes to, is left when the context ends.
func (s *source) readSmall(name string) ([]byte, error) {
	type result struct {
		data []byte
		err  error
	}
	done := make(chan result, 1)
	go func() {
		data, err := readAll(name)
		done <- result{data, err}
	}()
	select {
	case r := <-done:
		s.read = append(s.read, name)
		return r.data, r.err
	case <-s.ctx.Done():
		return nil, fmt.Errorf("%s: interrupted while it was read: %w", name, s.ctx.Err())
	}
}

func readAll(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, strict.MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > strict.MaxBytes {
		return nil, fmt.Errorf("%s: the file holds more than %d bytes, too long for a job", name, strict.MaxBytes)
	}
	return data, nil
}
