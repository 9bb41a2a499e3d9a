//go:build !(js && wasm)

// Wasm is the library for the pages that compute. It runs in a browser only.
package main

import "fmt"

func main() { fmt.Println("Build this program with GOOS=js GOARCH=wasm; go run -C docs . does.") }
