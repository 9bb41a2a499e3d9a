// Package trials checks the intervals of the readings package by simulation:
// distributors drawn at random from the physics of flyweights, timing light
// readings of them with realistic errors, and a count of how often the 95 %
// intervals hold the truth.
//
// The simulated curves come from weights, springs and linkages in the rotating
// frame, not from the curve family that is fitted, so that the count also pays
// for what that family cannot follow. Half of them have a second spring that is
// taken up on the way. The count is made by classes of engines and of readings:
// whoever has two stages and six readings wants to know what holds for him.
package trials
