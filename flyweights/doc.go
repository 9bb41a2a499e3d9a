// Package flyweights is the centrifugal spark-advance mechanism: weights that
// swing on a rotating plate against springs and turn a cam ahead of it.
//
// # Model
//
// The frame turns with the drive plate at omega rad/s, its origin on the shaft
// axis. Every weight swings about a pivot on the plate (or slides on it), and
// all weights share one coordinate, the swing phi, from 0 at rest to Stop at
// the end of the slot: the cam ties them together, so unequal weights and
// unequal springs in one mechanism are one equation, never several. The cam
// turns by theta = g(phi) ahead of the plate; theta is the advance at the
// distributor shaft.
//
// A rigid plane body in the rotating frame has the potential
//
//	-1/2 m omega^2 R^2, R the distance of its centre of mass from the axis
//
// (its inertia adds a constant), a spring has its elastic energy, and a drag on
// the cam against rotation does work D theta. Virtual work gives
//
//	omega^2 W(phi) = S(phi) + D g'(phi) ± F
//	W = sum 1/2 m dR^2/dphi,  S = sum T dL/dphi,  F = dry friction
//
// so the speed is an explicit function of position and the advance curve is its
// inverse: [Mechanism.SpeedSquared], [Mechanism.Curve].
//
// # Layouts
//
// How the layouts that are built are stated:
//
//   - Springs between plate and weight, weight and cam plate, plate and cam plate,
//     or two weights: the [Anchor] of each end names its body, [Plate], [Cam] or
//     [OnWeight], and its point at rest.
//   - One spring shared by two weights: one [Spring] with an anchor on each. It is
//     counted once.
//   - Unequal weights or springs: each [Weight] and [Spring] has its own numbers.
//   - Three weights, or one: as many as there are, each with its own pivot and
//     sense. [Weight.Slide] makes a weight slide instead of swing.
//   - Teeth of constant ratio: [Ratio]. A pin of the weight in a straight slot of
//     the cam plate, radial or not: [PinInSlot].
//   - Weights that slide or roll on a cam profile of which a table was measured,
//     in flyweights/linkages: NewTabulated for pairs of swing and turn, by two
//     degree wheels; NewProfiled for the path of a roller or pin on the cam, in polar coordinates.
//   - A link between weight and cam plate, a rod from a radial slider, round
//     cheeks: FourBar, SliderCrank and RollingCams there.
//
// Pivot and sense stand in the weights. A linkage that states them too must agree
// with one of the weights; a table cannot, and is taken as it is.
//
// # Sweeps
//
// A rising sweep follows the running maximum of the speed (friction against
// the swing outwards), a falling sweep the running minimum seen from the stop
// (friction against the swing back). Where the speed falls as the weights swing
// out, they snap; where a slack spring with initial tension is taken up, they
// hold while the speed runs through a range. Sweeps are quasi-static: the
// kinetic energy of a snap is taken to be lost. [Curve.Events] names each
// start, knee, hold, snap, stop and return. Package flyweights/motion has the
// same mechanism in time, flyweights/linkages further ways to turn the cam,
// flyweights/sensitivity how the advance answers to each number,
// flyweights/governors the textbooks' governors on the same balance,
// flyweights/bodies the weights from their outline.
//
// # Units and signs
//
// SI at the distributor shaft: rad, rad/s, kg, m, N, N m. Points are given in
// the plate frame at rest. Positive theta is ahead of the plate in the
// direction of rotation, drawn counter-clockwise unless CamClockwise is set.
//
// # Errors
//
// Data that a caller can pass never panics. Functions that can fail return an
// error that wraps [valid.ErrRange] and names the field, the value with its unit and
// the valid range. Methods without an error, such as [Mechanism.WeightMoment],
// answer 0 for a part the mechanism does not have; [Mechanism.Check] says what
// is wrong with it.
//
// # Not covered
//
// Weights that swing independently (unequal pairs without a common cam), play
// in pivots and pins, bending of parts, and gravity in the plane of the plate,
// which is absent on an upright shaft and averages out over a turn on others.
package flyweights
