// Package mapping looks at the whole spark advance with the vacuum hose on: over
// engine speed and manifold pressure, at idle, at cruise and when the throttle is
// snapped open.
//
//   - [New] fills a map of the total over speed and pressure, rising and falling.
//   - [Advise] says which source the hose belongs on, how far to set the limiter
//     and what the light must then show at idle and at cruise.
//     It looks at every light-load speed given, at heavy load, and at the wish for idle.
//   - [OrdinarySystem] and [SnapOpen] ask the next two from an engine's plain facts.
//   - [Idle] tells whether the idle is steady with the hose on.
//   - [Map.Compare] sets the map against what the engine wants and tolerates.
//   - [TipInTransient] follows the spark while the vacuum collapses.
//
// Angles are crank degrees before top centre, speeds engine rpm, pressures Pa;
// what the vacuum pulls at the distributor shaft passes through advance.Drive.
//
// # Steady at idle
//
// On manifold vacuum the unit closes a loop: more speed, more vacuum, more
// advance, more torque, more speed. A unit that is fully pulled with a margin, or
// not pulled at all, takes no part in it. One on its ramp does.
//
// # Errors
//
// Functions return errors that wrap [valid.ErrRange] (or those of advance, vacuum, knock,
// air and airpath) and name the field, the value with its unit and the valid range.
//
// # Not covered
//
// What the law allows: a vehicle approved with one connection may have to keep
// it. Computed limits are estimates; listen under load and back off at the first
// trace of knock.
package mapping
