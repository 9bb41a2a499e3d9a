// Package vacuum is the part of the spark advance that the engine's inlet
// vacuum pulls: the diaphragm unit, the hose that feeds it, and where it is
// connected.
//
// A sealed chamber behind a diaphragm is joined by a hose to the inlet. The
// pressure difference pulls the diaphragm against a spring; a rod turns the
// plate that carries the points or the pickup against the shaft's rotation, so
// the spark comes earlier. At light load the mixture burns slowly and wants the
// extra advance; with the throttle open the vacuum is gone, and so is the
// advance.
//
// # The unit
//
// [Unit] is the force balance of the rod. With x the rod's travel, p the vacuum
// at the port, A the effective area, k and F0 the spring's rate and preload and
// F the dry friction of the plate referred to the rod,
//
//	p A = F0 + k x + F   (vacuum rising)
//	p A = F0 + k x - F   (vacuum falling)
//
// so that the vacuum is an explicit function of the position. The limiter ends
// the travel. The arm's geometry, [Unit.ArmRadius] and the fields beside it,
// turns x into the angle exactly, not only for small angles.
//
// # The unit from a hand pump
//
// [Identify] finds what a unit does from readings with a hand pump: at which vacuum
// the plate starts and stops, and how far it turns. Diaphragm, spring and arm need
// not be known: [Identification.Unit] behaves by the result wherever a Unit is asked for.
//
// # The unit on an engine
//
// [System] joins engine, throttle, [Hose], [Port] and unit: steady, and while throttle
// and speed change. The engine's air path is that of knock/airpath.
//
// # Units
//
// SI at the distributor shaft: rad, m, N, N/m, kg, s, K, and Pa absolute unless
// the name says Vacuum (Pa below the surrounding air). Shaft angles become crank
// degrees only in package advance. Speeds of the engine's air are rpm of the crank.
//
// # Errors
//
// Functions return errors that wrap [valid.ErrRange] and name the field, the value
// with its unit and the valid range. NaN and infinite input is refused, and no
// NaN or Inf is returned without an error. Methods without an error result
// ([Unit.Onset], [Unit.Full] and the like) ask for a unit that [Unit.Check]
// accepts and return 0 for one that it refuses.
//
// # Not covered
//
// The mass of diaphragm, rod and plate is left out: the air takes tenths of a
// second, the masses milliseconds. Units with two chambers, advance and retard,
// are two Units that share a plate and are not modelled here.
package vacuum
