package knock

import (
	"math"
	"slices"
	"testing"
)

// The numbers that stand behind an engine of which little is told, typed a second time
// from the limits page and the comments that give their sources: one that is altered is
// noticed here, whatever follows from it.
func TestDefaultsTypedAgain(t *testing.T) {
	e := NewEngine(4, 0.080, 0.080, 0.140, 8.5, Fuel{RON: 95, MON: 85}).WithDefaults()
	filling := []Filling{{800, 0.74}, {1600, 0.80}, {2800, 0.83}, {4000, 0.80}, {5500, 0.68}}
	if !slices.Equal(e.Filling, filling) {
		t.Errorf("filling %v, want %v", e.Filling, filling)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"weight of sensitivity", e.K, 0.35}, {"closing of the inlet, deg before top centre", e.InletClose, 125},
		{"opening of the exhaust, deg after top centre", e.ExhaustOpen, 130}, {"overlap, deg", e.Overlap, 20},
		{"valve over bore", e.ValveDiameter / e.Bore, 0.42}, {"lift over valve", e.Lift / e.ValveDiameter, 0.25},
		{"mixture", e.Mixture, 1.10}, {"wall heat", e.WallHeat, 1}, {"friction", e.Friction, 1},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-12) {
			t.Errorf("%s is %v, want %v", c.name, c.got, c.want)
		}
	}
	for class, want := range map[Chamber][2]float64{Wedge: {21, 34}, Hemispherical: {20, 31}, SideValve: {24, 39}, Compact: {18, 28}} {
		if develop, rapid, ok := class.Angles(); !ok || develop != want[0] || rapid != want[1] {
			t.Errorf("%v burns in %g and %g deg, want %v", class, develop, rapid, want)
		}
	}
}

// The stand-in for gasoline is iso-octane and toluene, 0.65 and 0.35 by mass.
func TestGasolineTypedAgain(t *testing.T) {
	parts := Fuel{RON: 95, MON: 85}.parts()
	var mass [3]float64
	for i, p := range parts {
		mass[i] = p.Moles * p.Species.MolarMass()
	}
	if share := mass[0] / (mass[0] + mass[1]); !(math.Abs(share-0.65) <= 1e-12) || mass[2] != 0 {
		t.Errorf("iso-octane is %v of the mass, with %v of ethanol", share, mass[2])
	}
}

// Research octane by compression ratio, as public gasoline references print it (common
// practice).
func TestOctaneByRatioTypedAgain(t *testing.T) {
	for ratio, want := range map[float64]float64{6: 81, 7: 87, 8: 92, 9: 96, 10: 100, 11: 104, 8.5: 94} {
		o, err := newModel(t, NewEngine(4, 0.080, 0.080, 0.140, ratio, Fuel{RON: 95, MON: 85})).OctaneByRatio()
		if err != nil {
			t.Fatal(err)
		}
		if o.Fuel.RON != want || o.Fuel.MON != want-9 || o.Spark != 8 || o.Condition.RPM != 2000 {
			t.Errorf("at %g to 1: %+v of %+v, want %g", ratio, o, o.Fuel, want)
		}
	}
}

// How far an engine may lie from the model before anything was heard on it.
func TestDeviationsTypedAgain(t *testing.T) {
	p := priorDeviations{}.sigma(false, false)
	for k, want := range map[int]float64{
		heat: 10, fill: 0.03, burnBoth: 0.13, burnDev: 0.08, burnRapid: 0.08, octane: 2, wall: 0.25, delay: 0.20, pressure: 0.3,
		arrhenius: 700, delaySpeed: 0.15, burnSpeed: 0.08, residue: 0.25, octanePow: 0.8, flame: 0.2, burnLoad: 0.08,
		heatSpeed: 7, fillSpeed: 0.06, phasing: 1.5, beyondFit: 0.4, drift: 0.25 * math.Sqrt(driftStep),
	} {
		if p[k] != want {
			t.Errorf("deviation %d is %v, want %v", k, p[k], want)
		}
	}
	known := priorDeviations{}.sigma(true, true)
	if known[burnBoth] != 0.07 || known[fillSpeed] != 0.01 {
		t.Errorf("with burn and filling known %v and %v", known[burnBoth], known[fillSpeed])
	}
}
