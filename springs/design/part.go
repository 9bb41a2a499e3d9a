package design

import (
	"fmt"

	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// Part is a spring as it is made: wire, coils, loops and the tension wound in.
// [Part.Spring] says how it pulls. A spring that is cut is one with
// fewer BodyCoils, its loop formed anew and its initial tension the same, since that
// sits in the torsion of every turn. The zero value is refused by [Part.check].
type Part struct {
	Material       Material
	Diameter       float64 // m, of the wire
	MeanDiameter   float64 // m, of the coil at the centre of the wire
	BodyCoils      float64 // turns in the close-wound body, more than 0
	InitialTension float64 // N, 0 or more
	Loops          [2]Loop // one at each end
}

// Loop is the end of a spring: a loop or hook.
type Loop struct {
	Height float64 // m, from the end of the body to the inside of the loop; more than 0
	Bend   float64 // m, mean radius of the loop's curve, where bending is greatest; more than half a wire
	Twist  float64 // m, mean radius of the bend by which the wire leaves the body; more than half a wire
	Slot   float64 // m, play of a long loop on its post before the body is pulled; 0 or more
}

// FullLoop returns the loop made by turning up one whole end coil of wire of a
// diameter in m wound on a mean diameter in m: it stands one inside diameter
// high and is curved like the coil; the wire leaves the body on the inside
// radius (the proportions of Budynas and Nisbett, Shigley's Mechanical
// Engineering Design, Example 10-6).
func FullLoop(diameter, mean float64) Loop {
	return Loop{Height: mean - diameter, Bend: mean / 2, Twist: (mean - diameter) / 2}
}

// check returns an error that wraps [valid.ErrRange] if the material, a diameter, the
// index (2 to 100), the turns or a loop is out of range.
func (p Part) check() error {
	if err := p.Material.check(); err != nil {
		return err
	}
	if err := (Wire{Diameter: p.Diameter, MeanDiameter: p.MeanDiameter}).checkSize(); err != nil {
		return err
	}
	if err := valid.Check(valid.ErrRange,
		valid.Above("body coils", p.BodyCoils, "coils", 0, 1e4),
		valid.In("initial tension", p.InitialTension, "N", 0, maxForce),
	); err != nil {
		return err
	}
	for i, l := range p.Loops {
		if err := valid.Check(valid.ErrRange,
			valid.Above("loop height", l.Height, "m", 0, maxLength),
			valid.Above("loop bend radius", l.Bend, "m", p.Diameter/2, maxLength),
			valid.Above("loop twist radius", l.Twist, "m", p.Diameter/2, maxLength),
			valid.In("loop slot", l.Slot, "m", 0, maxLength),
		); err != nil {
			return fmt.Errorf("loop %d: %w", i+1, err)
		}
	}
	return nil
}

// Wire returns the part's coil with its active turns at a temperature in K: the
// body's turns and G/(2E) of a turn for each loop, half a ring that bends instead
// of twisting, so that the pull stretches it by pi F r^3/(2 E I) (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-40).
func (p Part) Wire(temperature float64) (Wire, error) {
	if err := p.check(); err != nil {
		return Wire{}, err
	}
	shear, young, err := p.Material.Elastic(p.Diameter, temperature)
	if err != nil {
		return Wire{}, err
	}
	return Wire{
		Diameter:     p.Diameter,
		MeanDiameter: p.MeanDiameter,
		ActiveCoils:  p.BodyCoils + shear/young,
		ShearModulus: shear,
	}, nil
}

// freeLength returns the length in m inside the loops with the coils closed: N
// turns lie N + 1 wires long, and the loops stand at both ends. With full loops
// it is (2 C - 1 + N) d (the same, Eq. 10-39).
func (p Part) freeLength() float64 {
	return (p.BodyCoils+1)*p.Diameter + p.Loops[0].Height + p.Loops[1].Height
}

// Spring returns the part's tension law at a temperature in K (293.15 K is 20
// degrees Celsius). Rate and initial tension, both elastic, fall with the
// modulus; thermal expansion, 1e-5 per kelvin, is left out.
func (p Part) Spring(temperature float64) (springs.Spring, error) {
	w, err := p.Wire(temperature)
	if err != nil {
		return springs.Spring{}, err
	}
	s := springs.Spring{
		Rate:           w.rate(),
		FreeLength:     p.freeLength(),
		InitialTension: p.InitialTension * p.stiffness(temperature),
		Slack:          p.Loops[0].Slot + p.Loops[1].Slot,
	}
	return s, s.Check()
}

func (p Part) stiffness(temperature float64) float64 {
	return 1 - p.Material.StiffnessDrop*(temperature-roomTemperature)
}
