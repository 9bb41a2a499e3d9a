// Package plots draws the answer to a job: curve.svg and curve.png of the command,
// and the same picture on a page ([Draw]). [Curves] hands out the plot itself, for
// a program that wants to add to it or to draw it in its own way.
package plots
