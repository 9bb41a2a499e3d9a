package knock

import (
	"math"

	"example.org/bobweight/knock/gas"
	"example.org/bobweight/knock/internal/lines"
	"example.org/bobweight/springs/valid"
)

// Fuel is what the pump or the can says.
type Fuel struct {
	RON, MON float64 // research and motor octane number, 40 to 120, MON at most RON
	Ethanol  float64 // share by volume, 0 to 1; the octane numbers already include it
}

// Index returns the octane index RON - K (RON - MON).
// Source: V. Mittal, J. B. Heywood, SAE 2008-01-2414.
func (f Fuel) Index(k float64) float64 { return f.RON - k*(f.RON-f.MON) }

// Chamber is a class of combustion chamber, known by how fast it burns.
type Chamber int

// The chamber classes. Burn angles from spark are those at 2000 rpm and full load. The
// wedge's lie by a published engine's, Wiebe with 73.2 degrees in all, which is 20.2 and
// 36.3 (S. Sitthiracha, thesis, eq. 3-6): 55 degrees from spark to 90 % burned, there 56.6.
// The others keep their distance from it as is typical of older engines (J. B. Heywood, Internal
// Combustion Engine Fundamentals, 1988, ch. 9.2, widened; common practice, from
// memory). One engine of a class departs from them
// by a factor of about 1.15, one standard deviation.
const (
	Wedge         Chamber = iota // wedge or bathtub, plug at the side: 0-10 % 21, 10-90 % 34 deg
	Hemispherical                // open dome, plug near the middle: 20, 31 deg
	SideValve                    // valves in the block, pocket over them: 24, 39 deg
	Compact                      // pent roof or bowl with squish and a near-central plug: 18, 28 deg
)

// Angles returns the burn angles of the class, 0-10 % and 10-90 % in crank degrees,
// and whether the class is one of the named ones.
func (c Chamber) Angles() (develop, rapid float64, ok bool) {
	switch c {
	case Wedge:
		return 21, 34, true
	case Hemispherical:
		return 20, 31, true
	case SideValve:
		return 24, 39, true
	case Compact:
		return 18, 28, true
	}
	return 0, 0, false
}

// String names the class.
func (c Chamber) String() string {
	switch c {
	case Wedge:
		return "wedge or bathtub"
	case Hemispherical:
		return "hemispherical"
	case SideValve:
		return "side valve"
	case Compact:
		return "compact"
	}
	return "unknown chamber"
}

// Filling is volumetric efficiency at one speed: fresh charge over what the swept
// volume would hold at the state in the inlet manifold.
type Filling struct {
	RPM, Efficiency float64
}

// Engine is a four-stroke spark-ignition engine from plain facts. Cylinders, Bore,
// Stroke, Rod, CompressionRatio and the octane numbers must be given; any other
// field left at zero takes the default named beside it.
type Engine struct {
	Cylinders        int     // 1 to 16
	Bore             float64 // m, 0.03 to 0.3
	Stroke           float64 // m, twice the crank throw, 0.03 to 0.3
	Rod              float64 // m between centres, more than 0.55 of the stroke plus the pin offset
	PinOffset        float64 // m, wrist pin off the cylinder axis towards the side it leans to on the power stroke; default 0
	CompressionRatio float64 // 4 to 16
	Fuel             Fuel

	// K weighs the motor octane number in the octane index; -1 to 1.5, zero means
	// 0.35, between 0.2 and 0.5 for carburetted engines (an interpolation between
	// SAE 2009-01-2622 and modern engines, low confidence). For exactly zero give a
	// number such as 1e-9.
	K float64
	// Chamber is the class of combustion chamber; the zero value is Wedge.
	Chamber Chamber
	// Develop and Rapid are this engine's burn angles 0-10 % and 10-90 % in crank degrees
	// at 2000 rpm and full load if they are known; zero means the class's.
	Develop, Rapid float64
	// Filling is volumetric efficiency over rpm, rising rpm, straight lines between
	// and held beyond; nil means 0.74 at 800, 0.80 at 1600, 0.83 at 2800, 0.80 at
	// 4000 and 0.68 at 5500 rpm (a carburetted two-valve engine; common practice).
	Filling []Filling
	// InletClose is where compression begins, crank degrees before firing top
	// centre; zero means 125 (55 degrees after bottom centre).
	InletClose float64
	// ExhaustOpen is where expansion ends, crank degrees after firing top centre;
	// zero means 130.
	ExhaustOpen float64
	// Overlap is the valve overlap in crank degrees between 0.15 mm lifts; zero
	// means 20, a long cam has 40 and more.
	Overlap float64
	// ValveDiameter and Lift of the inlet valve, m; zero means 0.42 of the bore and a
	// quarter of that diameter.
	ValveDiameter, Lift float64
	// BackPressure is the pressure above ambient in the exhaust at 4000 rpm and full load, Pa,
	// up to 1.5e5; it goes with the square of the flow. Zero means 12 kPa (common practice), for which Filling is told.
	BackPressure float64
	// Mixture is the equivalence ratio at full load, 0.7 to 1.5; zero means 1.10.
	Mixture float64
	// WallHeat multiplies the heat that the walls take, 0.3 to 3; zero means 1.
	WallHeat float64
	// Friction multiplies the friction mean effective pressure, 0.3 to 3; zero means 1.
	Friction float64
}

// NewEngine returns an engine from plain facts, lengths in m, with the defaults
// written out that hang on nothing else. Burn angles and valve size stay zero: they
// follow the chamber and the bore, which may still be changed.
func NewEngine(cylinders int, bore, stroke, rod, compressionRatio float64, fuel Fuel) Engine {
	e := Engine{Cylinders: cylinders, Bore: bore, Stroke: stroke, Rod: rod,
		CompressionRatio: compressionRatio, Fuel: fuel}.withDefaults()
	e.Develop, e.Rapid, e.ValveDiameter, e.Lift = 0, 0, 0, 0
	return e
}

func (e Engine) withDefaults() Engine {
	fill := func(field *float64, value float64) {
		if *field == 0 {
			*field = value
		}
	}
	develop, rapid, _ := e.Chamber.Angles()
	fill(&e.K, 0.35)
	fill(&e.Develop, develop)
	fill(&e.Rapid, rapid)
	fill(&e.InletClose, 125)
	fill(&e.ExhaustOpen, 130)
	fill(&e.Overlap, 20)
	fill(&e.ValveDiameter, 0.42*e.Bore)
	fill(&e.Lift, 0.25*e.ValveDiameter)
	fill(&e.BackPressure, usualBackPressure)
	fill(&e.Mixture, 1.10)
	fill(&e.WallHeat, 1)
	fill(&e.Friction, 1)
	if e.Filling == nil {
		e.Filling = []Filling{{800, 0.74}, {1600, 0.80}, {2800, 0.83}, {4000, 0.80}, {5500, 0.68}}
	}
	return e
}

// Check refuses an engine with a field outside its range, after defaults.
func (e Engine) Check() error {
	e = e.withDefaults()
	if _, _, ok := e.Chamber.Angles(); !ok {
		return outOfRange("chamber class", float64(e.Chamber), "", "one of the named classes")
	}
	err := valid.Check(errRange,
		valid.In("cylinders", float64(e.Cylinders), "", 1, 16),
		valid.In("bore", e.Bore, "m", 0.03, 0.3),
		valid.In("stroke", e.Stroke, "m", 0.03, 0.3),
		valid.In("pin offset", e.PinOffset, "m", -0.05*e.Stroke, 0.05*e.Stroke),
		valid.In("rod length", e.Rod, "m", 0.55*e.Stroke+math.Abs(e.PinOffset), 2),
		valid.In("compression ratio", e.CompressionRatio, "", 4, 16),
		valid.In("research octane number", e.Fuel.RON, "", 40, 120),
		valid.In("motor octane number", e.Fuel.MON, "", 40, e.Fuel.RON),
		valid.In("ethanol share", e.Fuel.Ethanol, "", 0, 1),
		valid.In("octane weight K", e.K, "", -1, 1.5),
		valid.In("0-10 % burn angle", e.Develop, "deg crank", 5, 60),
		valid.In("10-90 % burn angle", e.Rapid, "deg crank", 8, 90),
		valid.In("inlet closing", e.InletClose, "deg crank before top centre", 90, 175),
		valid.In("exhaust opening", e.ExhaustOpen, "deg crank after top centre", 90, 175),
		valid.In("valve overlap", e.Overlap, "deg crank", -40, 140),
		valid.In("inlet valve diameter", e.ValveDiameter, "m", 0.1*e.Bore, 0.8*e.Bore),
		valid.In("inlet valve lift", e.Lift, "m", 0.0005, 0.5*e.ValveDiameter),
		valid.In("exhaust back pressure", e.BackPressure, "Pa", 0, 1.5e5),
		valid.In("full-load mixture", e.Mixture, "", 0.7, 1.5),
		valid.In("wall heat multiplier", e.WallHeat, "", 0.3, 3),
		valid.In("friction multiplier", e.Friction, "", 0.3, 3),
	)
	if err != nil {
		return err
	}
	last := 0.0
	for _, f := range e.Filling {
		if !(f.RPM > last) || math.IsInf(f.RPM, 0) {
			return outOfRange("filling speed", f.RPM, "rpm", "above 0 and above the speed before")
		}
		if err := valid.Check(errRange, valid.In("volumetric efficiency", f.Efficiency, "", 0.2, 1.3)); err != nil {
			return err
		}
		last = f.RPM
	}
	if len(e.Filling) == 0 {
		return outOfRange("filling points", 0, "", "one or more")
	}
	return nil
}

// Displacement returns the swept volume of one cylinder, m3. It refuses what
// [Engine.Check] refuses.
func (e Engine) Displacement() (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	return newCrank(e).swept, nil
}

// Volume returns the volume of one cylinder in m3 at an angle in crank degrees after
// top centre, -360 to 360. It refuses what [Engine.Check] refuses.
func (e Engine) Volume(degrees float64) (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("crank angle", degrees, "deg crank", -360, 360)); err != nil {
		return 0, err
	}
	c := newCrank(e)
	v, _, _ := c.at(degrees)
	return v, nil
}

// fillings is volumetric efficiency over speed, held beyond its ends; [Engine.Check] has
// passed what it is made of.
func (e *Engine) fillings() *lines.Table {
	rpm, efficiency := make([]float64, len(e.Filling)), make([]float64, len(e.Filling))
	for i, f := range e.Filling {
		rpm[i], efficiency[i] = f.RPM, f.Efficiency
	}
	table, err := lines.New(rpm, efficiency)
	if err != nil {
		return &lines.Table{} // refuses every speed
	}
	return table
}

// Densities of ethanol and of gasoline at 15 C, kg/m3, that turn a share by volume
// into one by mass. The Alternative Fuels Data Center has 0.796 and 0.72 to 0.78 times
// water at 60 F.
const ethanolDensity, gasolineDensity = 794.0, 745.0

// parts returns the fuel in moles: a gasoline of iso-octane and toluene, 0.65 and
// 0.35 by mass, which has the H/C ratio 1.85 and the air need 14.5 of a pump
// gasoline, and ethanol.
func (f Fuel) parts() []gas.Part {
	ethanol := f.Ethanol * ethanolDensity
	gasoline := (1 - f.Ethanol) * gasolineDensity
	parts := []gas.Part{
		{Species: gas.Named("iso-octane"), Moles: 0.65 * gasoline},
		{Species: gas.Named("toluene"), Moles: 0.35 * gasoline},
		{Species: gas.Named("ethanol"), Moles: ethanol},
	}
	for i := range parts { // so far masses
		parts[i].Moles /= parts[i].Species.MolarMass()
	}
	return parts
}
