// Package motion runs a centrifugal advance mechanism in time behind a shaft
// whose speed is prescribed: how far the advance lags a snapped throttle, what
// the speed ripple within a turn does to it, how widely sparks scatter, what
// friction and stops make of it.
//
// # Model
//
// One coordinate, the swing phi of package flyweights, obeys
//
//	J phi'' + 1/2 J' phi'^2 + Spin omega' + Damping phi' = Weights omega^2 - Restore ∓ Friction
//
// with J = sum (I + m c^2) + CamInertia g'^2. The shaft's acceleration omega'
// acts through Spin: a shaft that speeds up leaves weights behind. The stops at
// both ends hold the weights while the net moment presses them on, and let go
// when it turns. Dry friction sticks while the net moment lies inside its band
// and slips against the motion outside it; static and sliding friction are
// taken as equal.
//
// # Method
//
// The embedded Runge-Kutta pair 5(4) of Dormand and Prince (J. Comput. Appl.
// Math. 6 (1980) 19) with its continuous extension of order 4 and a step size
// controller with memory (Hairer, Norsett, Wanner, Solving Ordinary Differential
// Equations I, 2nd ed., II.4 to II.6). Whatever breaks the smoothness of the
// equation ends a step exactly: stops, reversals under friction, springs taken
// up or going slack, kinks of the speed profile.
//
// # Errors
//
// Every error wraps [valid.ErrRange], or the error of the context or of the
// mechanism's own check.
//
// # Not covered
//
// Play between pin and slot, bending, gravity, and the back reaction of the
// mechanism on the shaft, whose speed is given.
package motion
