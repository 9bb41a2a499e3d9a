// Package sheet writes the last page of the job: what to set at which engine
// speed, and what the timing light must then show at idle and every 250 rpm,
// within which window; the same for a distributor bench, and the distance of
// each mark along the rim of the crankshaft damper.
//
// The rule behind the sheet: timing is set where the mechanical advance is all
// in, not at idle. At idle light springs may already have let the weights out,
// so a reading there is static timing plus an unknown part of the mechanical
// advance. Above the all-in speed the reading is static timing plus the whole
// travel, whatever the springs do (common practice, no source).
//
// All angles are crank degrees before top centre and all speeds engine rpm,
// unless a field says that it is the distributor's own.
package sheet
