// Package problems holds the models of fitting problems with known answers.
//
// They are the nonlinear models of the Statistical Reference Datasets of the National
// Institute of Standards and Technology, www.itl.nist.gov/div898/strd/nls/nls_main.shtml,
// whose certified parameters have eleven digits. A [Problem] is such a model with
// data: what package leastsquares minimises.
//
// # Errors
//
// [New] returns errors that wrap the ErrRange of package leastsquares.
package problems
