// Package simulated draws distributors at random and reads them as a builder would, to
// test what package learned makes of the readings. The truth is the exact balance of
// package flyweights, not the curves that learned fits.
package simulated
