//go:build js && wasm

// Engine is the library for the pages on which a curve moves: mechanism, engine and
// readings, see package live.
package main

import (
	"runtime/debug"

	"example.org/bobweight/docs/live"
	"example.org/bobweight/docs/live/port"
)

func main() {
	// The heap is small and a collection stops the page: at the default, one turn
	// of a knob in twenty waits for it.
	debug.SetGCPercent(800)
	var session live.Session
	port.Serve(session.Call)
}
