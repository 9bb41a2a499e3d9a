//go:build js && wasm

package port

import (
	"context"
	"syscall/js"

	"example.org/bobweight/docs/live"
)

// Serve answers with call for as long as the page is open.
func Serve(call func(ctx context.Context, name string, in []byte, progress live.Progress) ([]byte, error)) {
	js.Global().Set("bobweightCall", js.FuncOf(func(_ js.Value, args []js.Value) any {
		var progress live.Progress
		if len(args) > 2 && args[2].Type() == js.TypeFunction {
			progress = func(what string, done float64, answered []byte) {
				if answered != nil {
					args[2].Invoke(what, done, string(answered))
					return
				}
				args[2].Invoke(what, done)
			}
		}
		out, err := call(context.Background(), args[0].String(), []byte(args[1].String()), progress)
		if err != nil {
			return map[string]any{"error": err.Error()}
		}
		return map[string]any{"answer": string(out)}
	}))
	select {}
}
