// Package liberationserifitalic stands in for a font that no plot of the site uses.
package liberationserifitalic

import "codeberg.org/go-fonts/liberation/liberationsansregular"

// TTF is Liberation Sans Regular.
var TTF = liberationsansregular.TTF
