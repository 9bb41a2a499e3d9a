// Package live is what the pages on which a curve moves ask for: the mechanism
// under the reader's hands, the engine, and the fit of readings. It only joins
// packages of the library; the same code runs in the browser and in the tests
// beside it. A whole job is package drop.
//
// Values on a screen carry the units of a workshop, so the names of the JSON
// fields end in the unit. Angles are crank degrees before top centre, speeds
// engine rpm.
package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"example.org/bobweight/advance/job"
)

// ErrCall is wrapped by every error of this package.
var ErrCall = errors.New("live study")

// Session is one open page. The zero value waits for [Session.Call] with "open".
type Session struct {
	job    *job.Job
	engine *Engine
	work   work
}

// Progress is told what is being done and how much of it is, 0 to 1. As soon as a job has
// an answer it is told, once and without the others, the text of a result.json that holds
// the answer and what was needed for it; the rest is worked after that.
type Progress func(what string, done float64, answered []byte)

// Call answers one request of a page, JSON for JSON:
//
//	open       a job file     → [Start]
//	begin      an [Opening]   → the same
//	mechanism  [Knobs]        → [Mechanism]
//	engine     [Pump]         → [Engine]
//	wants      [Engine]       → the same, as what this session knows of the engine
//	readings   [Light]        → [Fit]
//
// Every answer comes at once, so nothing is told of progress. Errors wrap
// [ErrCall] and are for people to read.
func (s *Session) Call(ctx context.Context, name string, in []byte, _ Progress) ([]byte, error) {
	out, err := s.answer(ctx, name, in)
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(out)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrCall, name, err)
	}
	return data, nil
}

func (s *Session) answer(ctx context.Context, name string, in []byte) (any, error) {
	switch name {
	case "open":
		return s.open(in, nil)
	case "begin":
		return ask(in, func(o *Opening) (any, error) { return s.begin(o) })
	}
	if s.job == nil {
		return nil, fmt.Errorf("%w: no job is open", ErrCall)
	}
	switch name {
	case "mechanism":
		return ask(in, func(k *Knobs) (any, error) { return s.mechanism(k) })
	case "engine":
		return ask(in, func(p *Pump) (any, error) { return s.ask(ctx, p) })
	case "wants":
		return ask(in, func(e *Engine) (any, error) { s.engine = e; return e, nil })
	case "readings":
		return ask(in, func(l *Light) (any, error) { return s.fit(ctx, l) })
	}
	return nil, fmt.Errorf("%w: %q cannot be asked for", ErrCall, name)
}

// ask decodes a request and hands it on.
func ask[T any](in []byte, with func(*T) (any, error)) (any, error) {
	var request T
	if err := json.Unmarshal(in, &request); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	return with(&request)
}
