//go:build js && wasm

// Job is the library that draws the pictures of a job, see package drop.
package main

import (
	"example.org/bobweight/docs/live/drop"
	"example.org/bobweight/docs/live/port"
)

func main() { port.Serve(drop.Call) }
