// Package port is how a page asks a compiled library: one function for the script
// that loads it,
//
//	bobweightCall(name, request, progress) → {answer} or {error}
//
// with request and answer as JSON texts, and progress as a function of a text and a
// share of the work, or undefined. It runs in a browser only.
package port
