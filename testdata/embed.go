// Package testdata carries the worked-example corpus: one file per published
// source in corpus, each with its full citation and the cases taken from it.
// Package example.org/bobweight/examples/checks/corpus reads and runs them, and
// its documentation describes the form.
package testdata

import "embed"

// Corpus holds the files corpus/*.json.
//
//go:embed corpus/*.json
var Corpus embed.FS
