package job

import "example.org/bobweight/flyweights"

// Present is the curve of the parts now fitted, for the tests.
func (j *Job) Present() (*flyweights.Curve, error) { return j.present() }
