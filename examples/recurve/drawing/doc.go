// Package drawing draws a distributor's mechanism to scale from a job's own figures,
// at rest and all in: plate, weights, springs, posts, cam and slot, with each
// dimension named as the job file names it ([Distributor]). A wrong entry is seen
// there before anything is built. [Form] is the same page for a mechanism that is not
// measured yet, with lines to fill in.
//
// What the job does not say is drawn by its purpose only and not to scale: the outline
// of a weight, the circle of the cam, where round the shaft the slot lies.
package drawing
