package gas

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/valid"
)

// Burn returns the products of an adiabatic flame at constant pressure: the
// equilibrium with enthalpy h in J/kg at pressure in Pa. Newton on temperature
// with the equilibrium's own heat capacity.
func (m Mixture) Burn(h, pascal float64) (State, error) {
	return m.settle(func(s State) (float64, float64) { return h - s.H, s.Cp }, "enthalpy", h, func(float64, State) float64 { return pascal })
}

// BurnClosed returns the products of an adiabatic flame in a closed vessel: the
// equilibrium with internal energy u in J/kg and specific volume v in m3/kg.
func (m Mixture) BurnClosed(u, v float64) (State, error) {
	if !(v > 0) || math.IsInf(v, 0) {
		return State{}, outOfRange("specific volume", v, "m3/kg", "more than 0")
	}
	return m.settle(func(s State) (float64, float64) { return u - s.U(), s.Cv() }, "internal energy", u, atVolume(v))
}

// Expand returns the equilibrium to which the state comes when its volume
// changes to v m3/kg at constant entropy.
func (m Mixture) Expand(from State, v float64) (State, error) {
	if !(v > 0) || math.IsInf(v, 0) {
		return State{}, outOfRange("specific volume", v, "m3/kg", "more than 0")
	}
	return m.settle(func(s State) (float64, float64) { return from.S - s.S, s.Cv() / s.T }, "entropy", from.S, atVolume(v))
}

// atVolume is the pressure that brings a state to volume v, to first order in the
// shift of the equilibrium.
func atVolume(v float64) func(float64, State) float64 {
	return func(t float64, s State) float64 {
		if s.P == 0 {
			return R / 0.029 * t / v
		}
		return s.R * t / v
	}
}

// settle moves T until the wanted quantity is met; miss returns what lacks and its
// slope against T.
func (m Mixture) settle(miss func(State) (lack, slope float64), name string, want float64, pressure func(float64, State) float64) (State, error) {
	if math.IsNaN(want) || math.IsInf(want, 0) {
		return State{}, outOfRange(name, want, "SI per kg", "a finite number")
	}
	solve, err := newSolver(m)
	if err != nil {
		return State{}, err
	}
	t := 2400.0
	var s State
	for i := 0; i < 100; i++ {
		p := pressure(t, s)
		if err := checkState(t, p); err != nil {
			return State{}, fmt.Errorf("%w: no equilibrium with %s %.6g", err, name, want)
		}
		if s, err = solve.solve(t, p); err != nil {
			return State{}, err
		}
		off := math.Abs(pressure(t, s)-p) / p
		lack, slope := miss(s)
		if !valid.Finite(lack, slope) { // a step of nothing would look like the end
			return State{}, fmt.Errorf("%w: %s %.6g", errConvergence, name, want)
		}
		step := math.Max(-600, math.Min(600, lack/slope))
		if math.Abs(step) < 1e-9*t && off < 1e-11 {
			return s, nil
		}
		t = math.Max(lowestState, math.Min(highestState, t+step))
	}
	return State{}, fmt.Errorf("%w: %s %.6g", errConvergence, name, want)
}
