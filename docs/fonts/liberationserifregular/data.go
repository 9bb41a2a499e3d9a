// Package liberationserifregular stands in for a font that no plot of the site uses.
package liberationserifregular

import "codeberg.org/go-fonts/liberation/liberationsansregular"

// TTF is Liberation Sans Regular.
var TTF = liberationsansregular.TTF
