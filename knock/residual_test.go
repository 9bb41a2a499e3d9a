package knock

import (
	"math"
	"testing"

	"example.org/bobweight/knock/correlations"
)

// The gas kept in the clearance volume and the published flow back through the overlap,
// against the published correlation for both, J. W. Fox et al., SAE 931025 (from memory):
// at light and middle load, where it was fitted, the cycle keeps an eighth to over a third less,
// for its clearance gas is hotter than the correlation implies. That must stay within two
// deviations of the deviation the model carries for it. A long cam keeps more.
func TestResidualGas(t *testing.T) {
	e := example()
	m := newModel(t, e)
	factor, err := correlations.OverlapFactor(m.engine.Overlap, m.engine.Bore, m.engine.Lift, m.engine.ValveDiameter)
	if err != nil {
		t.Fatal(err)
	}
	for _, kPa := range []float64{40, 55, 70} {
		for _, rpm := range []float64{1000, 2000, 3000} {
			_, c := running(t, m, Condition{RPM: rpm, InletPressure: kPa * 1e3, Mixture: 1})
			want, err := correlations.ResidualFraction(rpm, factor, c.inlet, c.exhaust, 1, e.CompressionRatio)
			if err != nil {
				t.Fatal(err)
			}
			within(t, "residual gas over the correlation", 1, c.residual/want, math.Exp(-2*m.prior[residue]), math.Exp(2*m.prior[residue]), "two deviations of the model's own deviation")
			if got := c.p0 * c.v0 / (c.mass * c.r * c.t0); !(math.Abs(got-1) <= 1e-12) {
				t.Errorf("gas law at inlet closing: %g", got)
			}
		}
	}
	long := e
	long.Overlap = 45
	_, short := running(t, m, Condition{RPM: 1000, InletPressure: 50e3})
	_, cam := running(t, newModel(t, long), Condition{RPM: 1000, InletPressure: 50e3})
	if !(cam.residual > 1.3*short.residual) || !(cam.burn(20).Rapid > short.burn(20).Rapid) {
		t.Errorf("a long cam at idle keeps %g burned gas against %g", cam.residual, short.residual)
	}
}

// At full load the cylinder takes what the volumetric efficiency says, and fuel that
// evaporates in it leaves it cooler: ethanol more than gasoline.
func TestFilling(t *testing.T) {
	e := example()
	e.Filling = []Filling{{2000, 0.80}}
	m := newModel(t, e)
	_, c := running(t, m, Condition{RPM: 2000})
	fresh := c.mass * (1 - c.residual)
	want := 0.80 * fullLoadInlet * atmosphere * c.crank.swept / (c.mix.fresh.GasConstant() * 298)
	report(t, "fresh charge over the volumetric efficiency's", 1, fresh/want, 1e-9)
	e.Fuel.Ethanol = 0.85
	_, cool := running(t, newModel(t, e), Condition{RPM: 2000})
	if !(cool.t0 < c.t0-15) {
		t.Errorf("inlet closing at %g K with ethanol, %g K without", cool.t0, c.t0)
	}
}

// The warming of the charge on its way in, against the two formulas it is made of:
// Nu = 0.0694 Re^0.75 in the port (C. Depcik, D. Assanis, SAE 2002-01-0372, from memory)
// and Woschni's coefficient at the gas speed 6.18 Sp of gas exchange in the cylinder (G.
// Woschni, SAE 670931, from memory). Units of transfer are conductance over heat
// capacity of the flow; what they leave of the constant is a manifold's.
func TestWarmingOfTheCharge(t *testing.T) {
	e := example()
	const (
		rpm, pressure, kelvin, cp = 2000.0, fullLoadInlet * atmosphere, 298.0, 1010.0
		conductivity, r           = 0.026, 287.0
		port, length, valve       = 0.035, 0.1, 235.0 // m, m, crank degrees that the inlet is open
	)
	swept, err := e.Displacement()
	if err != nil {
		t.Fatal(err)
	}
	mass := 0.8 * pressure / (r * kelvin) * swept
	flow := mass * rpm / 120
	re := 4 * flow / (math.Pi * port * airViscosity)
	inPort := 0.0694 * math.Pow(re, 0.75) * conductivity / port * math.Pi * port * length / (flow * cp)
	h, err := correlations.WallCoefficient(e.Bore, pressure, 330, 6.18*2*e.Stroke*rpm/60)
	if err != nil {
		t.Fatal(err)
	}
	area := math.Pi/2*e.Bore*e.Bore + math.Pi*e.Bore*e.Stroke/2 // half-way down
	inCylinder := h * area * valve / (6 * rpm) / (mass * cp)
	within(t, "units of transfer less port and cylinder", 0.1, transferUnits-inPort-inCylinder, 0, 0.2, "a manifold from cold to hot")
	at := func(cond Condition) float64 { return warming(&e, cond.withDefaults(e), r) }
	report(t, "share of the way to the walls at the reference", 1-math.Exp(-transferUnits), at(Condition{RPM: rpm}), 5e-3)
	slow, throttled := at(Condition{RPM: 1000}), at(Condition{RPM: rpm, InletPressure: pressure / 2})
	report(t, "half the speed or half the density is half the flow", slow, throttled, 1e-12)
	report(t, "units of transfer at half the flow, as Re^-0.2", math.Pow(2, 0.2), math.Log1p(-slow)/math.Log1p(-at(Condition{RPM: rpm})), 1e-9)
}
