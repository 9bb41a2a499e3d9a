//go:build js && wasm

// Wasm is the library for the pages that compute: it offers one function to the
// script that loads it,
//
//	bobweightCall(name, request, progress) → {answer} or {error}
//
// with request and answer as JSON texts, see package live.
package main

import (
	"context"
	"syscall/js"

	"example.org/bobweight/docs/live"
)

func main() {
	var session live.Session
	call := js.FuncOf(func(_ js.Value, args []js.Value) any {
		var progress live.Progress
		if len(args) > 2 && args[2].Type() == js.TypeFunction {
			progress = func(what string, done float64) { args[2].Invoke(what, done) }
		}
		out, err := session.Call(context.Background(), args[0].String(), []byte(args[1].String()), progress)
		if err != nil {
			return map[string]any{"error": err.Error()}
		}
		return map[string]any{"answer": string(out)}
	})
	js.Global().Set("bobweightCall", call)
	select {}
}
