package flyweights

import "example.org/bobweight/flyweights/internal/plane"

// errRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var errRange = plane.ErrRange
