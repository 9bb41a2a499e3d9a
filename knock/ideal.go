package knock

import (
	"math"

	"example.org/bobweight/knock/gas"
	"example.org/bobweight/knock/internal/properties"
	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// AirStandard is the ideal that a cycle comes to when the burn takes no time, the
// walls take no heat and the gas never changes: the Otto cycle of the textbooks. It
// runs through the same integration as [Model], and so tests it.
type AirStandard struct {
	Ratio       float64 // compression ratio, 2 to 30
	Pressure    float64 // Pa at bottom centre
	Temperature float64 // K at bottom centre
	Heat        float64 // J/kg of gas added at top centre, or zero when Peak is given
	Peak        float64 // K after it, or zero when Heat is given
	// Gas with constant heat capacities by Cv, J/(kg K), and Gamma, or, when Gamma is
	// zero, dry air with the heat capacities of its temperature.
	Cv, Gamma float64
}

// IdealCycle is what comes of it: T and p at the end of compression, after the heat
// and at the end of expansion, and the work.
type IdealCycle struct {
	T2, P2, T3, P3, T4, P4 float64 // K and Pa
	Heat, Work             float64 // J/kg
	Efficiency             float64
	MeanPressure           float64 // Pa, work over the swept volume
}

// Run returns the cycle. It refuses a field outside its range, and air hotter than
// 1550 K before the heat or 3600 K after it.
func (a AirStandard) Run() (IdealCycle, error) {
	err := valid.Check(errRange,
		valid.In("compression ratio", a.Ratio, "", 2, 30),
		valid.In("pressure at bottom centre", a.Pressure, "Pa", 1e4, 1e6),
		valid.In("temperature at bottom centre", a.Temperature, "K", 250, 800),
		valid.In("heat", a.Heat, "J/kg", 0, 5e6),
		valid.In("highest temperature", a.Peak, "K", 0, 6000))
	if err == nil && a.Gamma != 0 {
		err = valid.Check(errRange, valid.In("heat capacity", a.Cv, "J/(kg K)", 1, 1e5),
			valid.In("ratio of heat capacities", a.Gamma, "", 1.001, 2))
	}
	if err != nil {
		return IdealCycle{}, err
	}
	c, err := a.charge(a.Heat)
	if err != nil {
		return IdealCycle{}, err
	}
	if a.Peak > 0 {
		top := c.motor(0)[unburnedT]
		_, hot, err := a.gas(0)
		if err != nil {
			return IdealCycle{}, err
		}
		var b properties.Burned
		hot.At(a.Peak, math.Log(a.Pressure), &b)
		h, _ := c.unburned.At(top)
		if c, err = a.charge(b.H - b.R*a.Peak - (h - c.r*top)); err != nil {
			return IdealCycle{}, err
		}
	}
	return a.read(c)
}

// gas returns the working gas with heat J/kg added to its enthalpy.
func (a AirStandard) gas(heat float64) (*properties.Curve, *properties.Table, error) {
	if a.Gamma != 0 {
		return properties.Perfect(a.Cv*(a.Gamma-1), a.Cv*a.Gamma, heat)
	}
	air, err := gas.Mix(gas.Air(1)...)
	if err != nil {
		return nil, nil, err
	}
	return properties.Inert(air, heat)
}

// charge is a cylinder of the gas, the heat stored in it as fuel would be, that burns
// in no time and loses nothing.
func (a AirStandard) charge(heat float64) (*charge, error) {
	fresh, _, err := a.gas(heat)
	if err != nil {
		return nil, err
	}
	products, table, err := a.gas(0)
	if err != nil {
		return nil, err
	}
	g := newGeometry(Engine{Bore: 0.08, Stroke: 0.08, Rod: 0.14, CompressionRatio: a.Ratio})
	c := &charge{crank: g.crank, path: g.path,
		mix: &mixture{phi: 1, fresh: fresh, products: products, table: table},
		rpm: unchecked.ReferenceRPM, second: 6 * unchecked.ReferenceRPM, unburned: *fresh, r: fresh.GasConstant(),
		closes: -180, opens: 180, t0: a.Temperature, p0: a.Pressure,
		develop: 1e-3, rapid: 1e-3, speed: 1, flame: 0,
		woschni: math.Inf(-1), piston: 1, rate: unchecked.Rate{Constant: math.Inf(-1)}}
	c.v0, _, _ = c.crank.at(c.closes)
	c.mass = c.p0 * c.v0 / (c.r * c.t0)
	c.compress()
	return c, nil
}

// read fires the charge so that its first two-zone state, all burned, is at top
// centre.
func (a AirStandard) read(c *charge) (IdealCycle, error) {
	out := c.fire(birth, nil)
	before := c.motor(0)
	after := before
	c.ignite(1, &after)
	h, _ := c.unburned.At(300)
	cold, _ := c.mix.products.At(300)
	i := IdealCycle{T2: before[unburnedT], P2: before[pressurePa], T3: after[burnedT], P3: after[pressurePa],
		T4: out.end[burnedT], P4: out.end[pressurePa], Heat: h - cold, Work: out.work / c.mass}
	i.Efficiency = i.Work / i.Heat
	i.MeanPressure = out.work / c.crank.swept
	if !(i.T2 < 1550 && i.T3 < 3600) && a.Gamma == 0 || math.IsNaN(i.Work) {
		return IdealCycle{}, outOfRange("highest temperature", i.T3, "K", "air below 1550 K before the heat and 3600 K after it")
	}
	return i, nil
}
