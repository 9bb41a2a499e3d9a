// Package leastsquares minimises a sum of squared residuals over a box.
//
// It is the fitting core of the packages that fit curves: the method of Levenberg and
// Marquardt with the scaling of Moré, The Levenberg-Marquardt algorithm:
// implementation and theory, Lecture Notes in Mathematics 630, 1978, pp.
// 105-116, and the damping rule of Nielsen, Damping parameter in Marquardt's
// method, Technical University of Denmark, report IMM-REP-1999-05. Each step is
// the solution of the stacked linear problem
//
//	minimise |J d + r|^2 + lambda |D d|^2
//
// with steps no longer than the parameters themselves, measured by D, and solved
// by an orthogonal factorisation, never by the normal equations, so that no
// digits are lost by squaring the condition of J.
//
// # Errors
//
// [Minimize] returns errors that wrap [valid.ErrRange] for a start or box that cannot
// be used and for residuals that are not finite at the start.
package leastsquares
