// Package assets carries the style sheet and the scripts of the site.
package assets

import "embed"

// Files holds them as they are served, under assets/ of the site; the script of
// the worker is put into begin.js, with which a page can start a compiled library.
//
//go:embed *.css *.js
var Files embed.FS
