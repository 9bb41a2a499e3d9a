package knock

import (
	"encoding/json"
	"os"
	"testing"
)

// The closed form of the inlet stroke against a time-resolved one (testdata/gas_exchange.py,
// valves as compressible nozzles) given the same filling, burned gas and its temperature,
// ports and walls without heat: the work on the piston and the temperature at inlet closing,
// and how that rises with speed. The gas of the script is perfect.
func TestInletStrokeAgainstTimeResolved(t *testing.T) {
	text, err := os.ReadFile("testdata/gas_exchange.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []struct {
		Name                                                        string
		RPM, Inlet, Exhaust, Bore, Stroke, Rod, Ratio, Ivc, Overlap float64
		InletKelvin                                                 float64 `json:"inlet_kelvin"`
		D, Lift, Mass, Residual, T, P, Work, Kept                   float64
	}
	if err := json.Unmarshal(text, &rows); err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		e := NewEngine(1, r.Bore, r.Stroke, r.Rod, r.Ratio, Fuel{RON: 95, MON: 85})
		e.InletClose, e.Overlap, e.ValveDiameter, e.Lift = r.Ivc, r.Overlap, r.D, r.Lift
		mix, err := newMixture(e.Fuel, 1.1)
		if err != nil {
			t.Fatal(err)
		}
		g := newGeometry(e)
		c := &charge{crank: g.crank, path: g.path, intakeHead: g.intakeHead, bottom: g.bottom, mix: mix, rpm: r.RPM, residualKelvin: r.Kept, wallKelvin: r.Kept}
		c.v0, _, _ = c.crank.at(-r.Ivc)
		h, _ := mix.fresh.At(r.InletKelvin)
		f := inletStroke{charge: c, inlet: r.Inlet, exhaust: r.Exhaust, factor: 1, enthalpy: h, density: r.Inlet / (mix.fresh.GasConstant() * r.InletKelvin)}
		kept := r.Exhaust * c.crank.clearance / (mix.products.GasConstant() * r.Kept)
		f.flow = (r.Mass*r.Residual - kept) / r.Mass
		p, kelvin := f.close(r.Mass * (1 - r.Residual))
		work, kelvins := 0.03*r.Work, 6.0
		if r.RPM > 4000 { // the valve is near choking and the charge far behind the piston
			work, kelvins = 0.12*r.Work, 16
		}
		within(t, r.Name+": work to inlet closing, J", r.Work, f.intakeWork(p), r.Work-work, r.Work+work, "3 %, 12 % at 5000 rpm")
		within(t, r.Name+": inlet closing, K", r.T, kelvin, r.T-kelvins, r.T+kelvins, "6 K for gas with constant heat capacities, 16 K at 5000 rpm")
	}
}
