package corpus

import (
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

func init() {
	register("springs side by side", "springs.Spring.Tension, design.Wire.Torsion", sideBySide)
}

// sideBySide finds how springs between the same two plates share a force, where
// some may join late by their slack. The coils' rates and stresses and the law
// are the library's; the common stretch is where the sum of the laws, straight
// lines once all have joined, reaches the force.
func sideBySide(g *Given) (Found, error) {
	k := correction(g)
	force := g.SI("force", dimForce)
	var rates, late float64
	var laws []springs.Spring
	var coils []design.Wire
	for _, each := range g.Groups("springs") {
		w := coilOf(each)
		rate, err := w.Rate()
		if err != nil {
			return nil, err
		}
		slack := each.SIOr("joins after", dimLength, 0)
		laws = append(laws, springs.Spring{Rate: rate, FreeLength: 1, Slack: slack})
		coils = append(coils, w)
		rates += rate
		late += rate * slack
	}
	stretch := (force + late) / rates
	found := Found{}
	for i, law := range laws {
		load, err := law.Load(1 + stretch)
		if err != nil {
			return nil, err
		}
		stress, err := coils[i].Torsion(load, k)
		if err != nil {
			return nil, err
		}
		name := string(rune('1' + i))
		found["force "+name] = SI(load, dimForce)
		found["deflection "+name] = SI(stretch-law.Slack, dimLength)
		found["stress "+name] = SI(stress, dimPressure)
	}
	return found, nil
}
