// Package liberationsansregular holds the font of the site's plots. Fonts: copyright
// Google and Red Hat, under the SIL Open Font License, see LICENSE-SIL.
package liberationsansregular

import _ "embed"

// TTF is the font Liberation Sans Regular.
//
//go:embed LiberationSans-Regular.ttf
var TTF []byte
