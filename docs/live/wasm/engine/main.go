//go:build js && wasm

// Engine is the library for the pages that compute: mechanism, engine and readings,
// see package live, and the whole job of the bench, see package answer.
package main

import (
	"context"
	"runtime/debug"

	"example.org/bobweight/docs/live"
	"example.org/bobweight/docs/live/answer"
	"example.org/bobweight/docs/live/port"
)

func main() {
	// The heap is small and a collection stops the page: at the default, one turn
	// of a knob in twenty waits for it.
	debug.SetGCPercent(800)
	var session live.Session
	port.Serve(func(ctx context.Context, name string, in []byte, progress live.Progress) ([]byte, error) {
		if name == "answer" {
			return answer.Call(ctx, in, progress)
		}
		return session.Call(ctx, name, in, progress)
	})
}
