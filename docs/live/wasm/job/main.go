//go:build js && wasm

// Job is the library for the page on which a job is dropped, see package drop.
package main

import (
	"example.org/bobweight/docs/live/drop"
	"example.org/bobweight/docs/live/port"
)

func main() { port.Serve(drop.Call) }
