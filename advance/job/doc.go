// Package job reads a whole job from a file, works it through and reports: from
// timing-light readings, parts and wishes to the setting sheet.
//
// A job is JSON ([File]); every quantity is a text with its unit, angles and
// speeds also name their shaft, and whatever is not understood is refused with
// line and field. [Read] checks what the fields mean and turns them into the
// types of the packages that calculate; [Job.Run] does the work and returns a
// [Report], which is what result.json holds; [Report.Text] prints it.
//
// Errors wrap [ErrJob], are one sentence, and name the line and the field.
package job
