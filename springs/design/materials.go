package design

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/valid"
)

// Material is spring wire: how stiff, how strong and how heavy it is, each with
// its range of validity and its source. The zero value is refused by
// [Material.check]. The package's own materials are functions ([MusicWire] and
// so on), so that no caller can change them for another.
type Material struct {
	Name     string
	Strength []StrengthRange // rising in diameter, each where the last ends
	Moduli   []ModulusRange  // rising in diameter
	Density  float64         // kg/m^3
	// StiffnessDrop is the fall of both moduli per kelvin above 20 degrees
	// Celsius, as a fraction: G = G20 (1 - StiffnessDrop (T - 293.15 K)).
	StiffnessDrop float64 // 1/K
	Allowable     allowable
	Source        string // of strength and moduli
}

// StrengthRange is a range of wire diameters over which the tensile strength
// follows A/d^m. Tables print A as the strength at 1 mm or at 1 in: A = strength times
// that diameter in m to the power M.
type StrengthRange struct {
	From, To float64 // m, wire diameter
	A        float64 // Pa m^m
	M        float64 // exponent, 0 or more
}

// ModulusRange is a range of wire diameters with one shear and one Young's
// modulus; a band begins above the last one's end.
type ModulusRange struct {
	To    float64 // m, largest wire diameter of the band
	Shear float64 // Pa
	Young float64 // Pa
}

// allowable is the largest static stress of an extension spring as a fraction of
// the tensile strength (Budynas and Nisbett, Shigley's Mechanical Engineering
// Design, Table 10-7, lower ends of its ranges).
type allowable struct {
	Body        float64 // torsion in the coils
	HookTorsion float64 // torsion where the hook leaves the body
	HookBending float64 // bending in the hook
}

// allowable stresses of Table 10-7: carbon and low-alloy steel 45-50, 40 and 75
// per cent; austenitic stainless and nonferrous 35, 30 and 55 per cent.
var (
	ferrous    = allowable{Body: 0.45, HookTorsion: 0.40, HookBending: 0.75}
	nonferrous = allowable{Body: 0.35, HookTorsion: 0.30, HookBending: 0.55}
)

// Densities: 0.284 lbf/in^3 for spring steel stands in Budynas and Nisbett,
// Example 10-4; 0.286 and 0.320 lb/in^3 for stainless 302/304 and phosphor bronze
// stand in a spring maker's public table of round wire (read), whose digits are good
// to 0.2 %.
const (
	steelDensity     = 7861
	stainlessDensity = 7920
	bronzeDensity    = 8860
)

// Falls of stiffness with temperature, from memory of EN 13906-1 (2013), which
// gives 0.25e-3 per kelvin for patented and oil-tempered steel and 0.40e-3 for
// stainless steel and copper alloys; not seen again in print. A spring maker's
// tables have 2 % for 100 F, 0.36e-3, for most alloys.
const (
	steelDrop     = 0.25e-3
	stainlessDrop = 0.40e-3
)

const (
	tensileSource = "R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design, Tables 10-4 and 10-5"
	mega          = 1e6
	giga          = 1e9
	milli         = 1e-3
	inch          = 0.0254 // m, exact
)

// strength is a band of Table 10-4 in its own units: diameters in mm, A in
// MPa mm^m.
func strength(fromMM, toMM, a, m float64) StrengthRange {
	return StrengthRange{From: fromMM * milli, To: toMM * milli, A: a * mega * math.Pow(milli, m), M: m}
}

// moduli is one pair for every diameter in GPa.
func moduli(shear, young float64) []ModulusRange {
	return []ModulusRange{{To: 1, Shear: shear * giga, Young: young * giga}}
}

// stepped is a row of Table 10-5 whose moduli change at 0.032, 0.063 and
// 0.125 in, in GPa.
func stepped(shear, young [4]float64) []ModulusRange {
	bands := make([]ModulusRange, 4)
	for i, to := range [4]float64{0.032 * inch, 0.063 * inch, 0.125 * inch, 1} {
		bands[i] = ModulusRange{To: to, Shear: shear[i] * giga, Young: young[i] * giga}
	}
	return bands
}

// steelWire fills in what the carbon and low-alloy steels have in common.
func steelWire(name string, strength StrengthRange, moduli []ModulusRange) Material {
	return Material{
		Name: name, Strength: []StrengthRange{strength}, Moduli: moduli,
		Density: steelDensity, StiffnessDrop: steelDrop, Allowable: ferrous, Source: tensileSource,
	}
}

// MusicWire returns hard-drawn high-carbon wire of the best grade (ASTM A228),
// the usual wire of small extension springs.
func MusicWire() Material {
	return steelWire("music wire", strength(0.10, 6.5, 2211, 0.145),
		stepped([4]float64{82.7, 81.7, 81.0, 80.0}, [4]float64{203.4, 200, 196.5, 193}))
}

// hardDrawn returns hard-drawn wire (ASTM A227).
func hardDrawn() Material {
	return steelWire("hard-drawn wire", strength(0.7, 12.7, 1783, 0.190),
		stepped([4]float64{80.7, 80.0, 79.3, 78.6}, [4]float64{198.6, 197.9, 197.2, 196.5}))
}

// oilTempered returns oil-tempered wire (ASTM A229).
func oilTempered() Material {
	return steelWire("oil-tempered wire", strength(0.5, 12.7, 1855, 0.187), moduli(77.2, 196.5))
}

// chromeVanadium returns chrome-vanadium wire (ASTM A232).
func chromeVanadium() Material {
	return steelWire("chrome-vanadium wire", strength(0.8, 11.1, 2005, 0.168), moduli(77.2, 203.4))
}

// chromeSilicon returns chrome-silicon wire (ASTM A401).
func chromeSilicon() Material {
	return steelWire("chrome-silicon wire", strength(1.6, 9.5, 1974, 0.108), moduli(77.2, 203.4))
}

// stainless302 returns austenitic stainless wire (ASTM A313, type 302).
func stainless302() Material {
	return Material{
		Name: "stainless 302 wire",
		Strength: []StrengthRange{
			strength(0.3, 2.5, 1867, 0.146),
			strength(2.5, 5, 2065, 0.263),
			strength(5, 10, 2911, 0.478),
		},
		Moduli:        moduli(69.0, 193),
		Density:       stainlessDensity,
		StiffnessDrop: stainlessDrop,
		Allowable:     nonferrous,
		Source:        tensileSource,
	}
}

// phosphorBronze returns phosphor-bronze wire (ASTM B159). Its moduli are 41.4 and
// 103.4 GPa: public tables of spring wire (read) print 41.5 GPa in shear for tin
// bronze, another 6.25 Mpsi (43.1 GPa), and 15 Mpsi (103.4 GPa) in tension.
func phosphorBronze() Material {
	return Material{
		Name: "phosphor-bronze wire",
		Strength: []StrengthRange{
			strength(0.1, 0.6, 1000, 0),
			strength(0.6, 2, 913, 0.028),
			strength(2, 7.5, 932, 0.064),
		},
		Moduli:        moduli(41.4, 103.4),
		Density:       bronzeDensity,
		StiffnessDrop: stainlessDrop,
		Allowable:     nonferrous,
		Source:        tensileSource,
	}
}

// Materials returns all materials of the package.
func Materials() []Material {
	return []Material{
		MusicWire(), hardDrawn(), oilTempered(), chromeVanadium(), chromeSilicon(), stainless302(), phosphorBronze(),
	}
}

// check refuses a material without strength or moduli, with bands that fall, or
// with a density, drop or allowable fraction out of range.
func (m Material) check() error {
	if len(m.Strength) == 0 || len(m.Moduli) == 0 {
		return fmt.Errorf("%w: material %q has no strength or no moduli, valid is one band of each or more", valid.ErrRange, m.Name)
	}
	last := 0.0
	for _, b := range m.Strength {
		if err := valid.Check(valid.ErrRange,
			valid.In("strength band start", b.From, "m", last, 1),
			valid.Above("strength band end", b.To, "m", b.From, 1),
			valid.In("strength exponent", b.M, "", 0, 1),
			valid.Above("strength at the band's start", b.at(b.From), "Pa", 0, 1e11),
		); err != nil {
			return fmt.Errorf("material %q: %w", m.Name, err)
		}
		last = b.To
	}
	last = 0
	for _, b := range m.Moduli {
		if err := valid.Check(valid.ErrRange,
			valid.Above("modulus band end", b.To, "m", last, 1),
			valid.In("shear modulus", b.Shear, "Pa", 1e9, 3e11),
			valid.In("Young's modulus", b.Young, "Pa", 1e9, 1e12),
		); err != nil {
			return fmt.Errorf("material %q: %w", m.Name, err)
		}
		last = b.To
	}
	if err := valid.Check(valid.ErrRange,
		valid.Above("density", m.Density, "kg/m^3", 0, 3e4),
		valid.In("stiffness drop", m.StiffnessDrop, "1/K", 0, 2e-3),
		valid.Above("allowable body stress", m.Allowable.Body, "of strength", 0, 1),
		valid.Above("allowable hook torsion", m.Allowable.HookTorsion, "of strength", 0, 1),
		valid.Above("allowable hook bending", m.Allowable.HookBending, "of strength", 0, 1),
	); err != nil {
		return fmt.Errorf("material %q: %w", m.Name, err)
	}
	return nil
}

func (b StrengthRange) at(d float64) float64 { return b.A / math.Pow(d, b.M) }

// Tensile returns the tensile strength in Pa of wire of a diameter in m,
// A/d^m. It is a fit through mid values: for music wire it lies 1 to 4 % above
// the smallest strength the standard lets a maker deliver (see [TabulatedStrength]).
// Diameters outside the fit's range are refused, not extrapolated.
func (m Material) Tensile(d float64) (float64, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	for _, b := range m.Strength {
		if d >= b.From*(1-edge) && d <= b.To*(1+edge) {
			return b.at(d), nil
		}
	}
	return 0, valid.Refuse(valid.ErrRange, m.Name+" diameter", d, "m", fmt.Sprintf("%.6g to %.6g m", m.Strength[0].From, m.Strength[len(m.Strength)-1].To))
}

// Elastic returns the shear and Young's modulus in Pa of wire of a diameter in
// m at a temperature in K (293.15 K is 20 degrees Celsius; 200 to 450 K, the
// range in which the drop is linear).
func (m Material) Elastic(d, temperature float64) (shear, young float64, err error) {
	if err := m.check(); err != nil {
		return 0, 0, err
	}
	largest := m.Moduli[len(m.Moduli)-1].To
	if err := valid.Check(valid.ErrRange,
		valid.Above(m.Name+" diameter", d, "m", 0, largest),
		valid.In("temperature", temperature, "K", 200, 450),
	); err != nil {
		return 0, 0, err
	}
	f := 1 - m.StiffnessDrop*(temperature-roomTemperature)
	for _, b := range m.Moduli {
		if d <= b.To*(1+edge) {
			return b.Shear * f, b.Young * f, nil
		}
	}
	return 0, 0, valid.Refuse(valid.ErrRange, m.Name+" diameter", d, "m", fmt.Sprintf("up to %.6g m", largest))
}

// edge is the relative width of the border of a diameter range: 0.3 mm written
// in metres is inside a range that begins at 0.3 mm, whatever its last bit.
const edge = 1e-9

// roomTemperature in K, 20 degrees Celsius, at which moduli are tabulated.
const roomTemperature = 293.15
