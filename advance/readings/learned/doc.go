// Package learned finds what springs, weights and stops do to the advance curve from
// runs of readings with different parts fitted: without a spring tester, a scale or
// any dimension of the mechanism.
//
// All angles are crank degrees and all speeds engine rpm.
package learned
