// Package content carries the text of the site: Markdown with a head of
// "name: value" lines, and template actions for what the build computes.
package content

import "embed"

// Files holds every page in the folder of its chapter.
//
//go:embed *.md */*.md
var Files embed.FS
