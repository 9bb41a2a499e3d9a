package springs

import "math"

// Sites holds one number for each of the three places at which an extension
// spring breaks.
type Sites struct {
	Body        float64 // inside of the coils, torsion
	HookBending float64 // inside of the loop, bending and pull
	HookTorsion float64 // where the wire leaves the body, torsion
}

// Least returns the smallest of the three.
func (s Sites) Least() float64 { return min(s.Body, s.HookBending, s.HookTorsion) }

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

// HookTorsion returns the largest torsional stress in Pa where the wire leaves
// the body by a bend of mean radius twist in m:
//
//	KB 8 F D/(pi d^3),  KB = (4 C2 - 1)/(4 C2 - 4),  C2 = 2 twist/d
//
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eqs. 10-36 and
// 10-37, where C2 above 4 is advised.)
func HookTorsion(force, mean, diameter, twist float64) (float64, error) {
	if err := hookSize(force, mean, diameter, twist, "loop twist radius"); err != nil {
		return 0, err
	}
	return force * hookTorsion(mean, diameter, twist), nil
}

func hookSize(force, mean, diameter, radius float64, name string) error {
	return check(
		bound{"force", force, "N", 0, maxForce, false},
		bound{"wire diameter", diameter, "m", 0, 1, true},
		bound{"mean coil diameter", mean, "m", diameter, maxIndex * diameter, false},
		bound{name, radius, "m", diameter / 2, maxLength, true},
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
func (p Part) Stress(force float64) (Sites, error) {
	if err := p.Check(); err != nil {
		return Sites{}, err
	}
	if err := check(bound{"force", force, "N", 0, maxForce, false}); err != nil {
		return Sites{}, err
	}
	s := p.stressPerForce()
	return Sites{Body: force * s.Body, HookBending: force * s.HookBending, HookTorsion: force * s.HookTorsion}, nil
}

// stressPerForce in 1/m^2; every stress of a spring is proportional to its force.
func (p Part) stressPerForce() Sites {
	s := Sites{Body: Bergstrasser.factor(p.MeanDiameter/p.Diameter) * torsion(1, p.MeanDiameter, p.Diameter)}
	for _, l := range p.Loops {
		s.HookBending = max(s.HookBending, hookBending(p.MeanDiameter, p.Diameter, l.Bend))
		s.HookTorsion = max(s.HookTorsion, hookTorsion(p.MeanDiameter, p.Diameter, l.Twist))
	}
	return s
}
