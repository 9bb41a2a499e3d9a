// Package sheet writes the last page of the job, one side of paper: which parts
// stand where, what to set at which engine speed, and what the timing light must
// then show at idle and every 250 rpm, within which window. Beside each check there
// is room for what was found and what was left. The same rows serve a distributor
// alone on a bench machine. The page also gives the place of each mark on the rim
// of the crankshaft damper ([RimDistance]) and how far vacuum advance moves the
// rotor under the cap ([Sheet.Phase]).
//
// The rule behind the sheet: timing is set where the mechanical advance is all
// in, not at idle. At idle light springs may already have let the weights out,
// so a reading there is static timing plus an unknown part of the mechanical
// advance. Above the all-in speed the reading is static timing plus the whole
// travel, whatever the springs do (common practice, no source).
//
// No speed on the sheet lies above the engine's own limit. An engine whose limit
// lies below the all-in speed is set at the limit, to what the curve gives there.
//
// All angles are crank degrees before top centre and all speeds engine rpm,
// unless a field says that it is the distributor's own.
package sheet
