//go:build !(js && wasm)

package main

import "fmt"

func main() { fmt.Println("Build this program with GOOS=js GOARCH=wasm; go run -C docs . does.") }
