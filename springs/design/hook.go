package design

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Locations holds one number for each of the three places at which an extension
// spring breaks.
type Locations struct {
	Body        float64 // inside of the coils, torsion
	HookBending float64 // inside of the loop, bending and pull
	HookTorsion float64 // where the wire leaves the body, torsion
}

// least returns the smallest of the three.
func (s Locations) least() float64 { return min(s.Body, s.HookBending, s.HookTorsion) }

// HookBending returns the largest tensile stress in Pa at the inside of a loop
// of mean radius bend in m, on a coil of a mean diameter in m, of wire of a
// diameter in m, under a force in N:
//
//	F (KA 16 D/(pi d^3) + 4/(pi d^2)),  KA = (4 C1^2 - C1 - 1)/(4 C1 (C1 - 1)),  C1 = 2 bend/d
//
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eqs. 10-34 and
// 10-35.) The bend must have more than half a wire as its radius.
func HookBending(force, mean, diameter, bend float64) (float64, error) {
	if err := hookSize(force, mean, diameter, bend, "loop bend radius"); err != nil {
		return 0, err
	}
	return force * hookBending(mean, diameter, bend), nil
}

func hookSize(force, mean, diameter, radius float64, name string) error {
	return valid.Check(valid.ErrRange,
		valid.In("force", force, "N", 0, maxForce),
		valid.In("wire diameter", diameter, "m", leastWire, 1),
		valid.In("mean coil diameter", mean, "m", diameter, maxIndex*diameter),
		valid.Above(name, radius, "m", diameter/2, maxLength),
	)
}

func hookBending(mean, d, bend float64) float64 {
	c := 2 * bend / d
	k := (4*c*c - c - 1) / (4 * c * (c - 1))
	return k*16*mean/(math.Pi*d*d*d) + 4/(math.Pi*d*d)
}

func hookTorsion(mean, d, twist float64) float64 {
	c := 2 * twist / d
	return (4*c - 1) / (4*c - 4) * torsion(1, mean, d)
}

// Stress returns the largest stresses in Pa of the part under a force in N, the
// body with the Bergstrasser correction, each hook site at the worse loop.
func (p Part) Stress(force float64) (Locations, error) {
	if err := p.check(); err != nil {
		return Locations{}, err
	}
	if err := valid.Check(valid.ErrRange, valid.In("force", force, "N", 0, maxForce)); err != nil {
		return Locations{}, err
	}
	s := p.stressPerForce()
	return Locations{Body: force * s.Body, HookBending: force * s.HookBending, HookTorsion: force * s.HookTorsion}, nil
}

// stressPerForce in 1/m^2; every stress of a spring is proportional to its force.
func (p Part) stressPerForce() Locations {
	s := Locations{Body: bergstrasser(p.MeanDiameter/p.Diameter) * torsion(1, p.MeanDiameter, p.Diameter)}
	for _, l := range p.Loops {
		s.HookBending = max(s.HookBending, hookBending(p.MeanDiameter, p.Diameter, l.Bend))
		s.HookTorsion = max(s.HookTorsion, hookTorsion(p.MeanDiameter, p.Diameter, l.Twist))
	}
	return s
}
