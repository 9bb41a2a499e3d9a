package job

import (
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
)

// Present is the curve of the parts now fitted, for the tests.
func (j *Job) Present() (*flyweights.Curve, error) { return j.present() }

// Joined is a spring with a learned rate and pull at rest, for the tests.
func (j *Job) Joined(rate, preload readings.Estimate) recipes.SpringPart {
	s := j.Drawer.Springs[0]
	j.join(&s, &rate, &preload)
	return s
}
