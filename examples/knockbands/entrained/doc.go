// Package entrained draws spark-ignition engines of a third physics, neither package
// knock's nor that of the rivals beside it. It was written, with all of its ranges, before
// any band had been held against it, and is not used to set anything.
//
// An engine here burns by entrainment: a flame of given geometry takes in gas at the
// turbulent speed, which burns behind it in a time of its own, so the burn's angle and
// shape follow speed, spark and charge by themselves. There are two zones with one energy
// balance. Walls follow a power law with drawn exponents. Filling has the waves of a tuned
// port or the choking of a small valve. Autoignition goes in two stages, or by a power of
// temperature, or by an activation that pressure moves. The loudest of four unlike
// cylinders is heard, and less is heard of knock as the engine gets noisier with speed.
// The owner is a little wrong about the ratio and the cam.
//
// Levels are real ones, as with the rivals, but each engine is set six to ten degrees
// late of its best torque for the octane of its ratio. A range with no source beside it is
// a choice of this package.
package entrained
