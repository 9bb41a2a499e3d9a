package corpus

import (
	"math"
	"strings"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

func init() {
	register("extension spring", "design.Part", extension)
	register("extension spring fatigue", "design.Part.Fatigue", extensionFatigue)
	register("coil fatigue", "design.Criterion.SafetyFactor, design.Zimmerli", coilFatigue)
	register("hook strength", "design.HookBending, design.Material.Tensile", func(g *Given) (Found, error) {
		d, r := g.SI("wire", dimLength), g.SI("bend radius", dimLength)
		strength, err := material(g).Tensile(d)
		if err != nil {
			return nil, err
		}
		perNewton, err := design.HookBending(1, 2*r, d, r)
		return Found{"strength": SI(strength, dimPressure), "force": SI(strength/perNewton, dimForce)}, err
	})
	register("compression spring", "design.Compression", compression)
	register("spring from loads", "springs.Measure", fromLoads)
}

// room is the temperature at which published springs are taken to be.
const room = 293.15 // K

func part(g *Given) design.Part {
	w := coilOf(g)
	loop := design.FullLoop(w.Diameter, w.MeanDiameter)
	loop.Bend = g.SIOr("bend radius", dimLength, loop.Bend)
	loop.Twist = g.SIOr("twist radius", dimLength, loop.Twist)
	return design.Part{
		Material:       material(g),
		Diameter:       w.Diameter,
		MeanDiameter:   w.MeanDiameter,
		BodyCoils:      g.Number("body coils"),
		InitialTension: g.SI("initial tension", dimForce),
		Loops:          [2]design.Loop{loop, loop},
	}
}

func extension(g *Given) (Found, error) {
	p, force := part(g), g.SI("force", dimForce)
	w, err := p.Wire(room)
	if err != nil {
		return nil, err
	}
	s, err := p.Spring(room)
	if err != nil {
		return nil, err
	}
	length, err := s.Length(force)
	if err != nil {
		return nil, err
	}
	stress, err := p.Stress(force)
	if err != nil {
		return nil, err
	}
	static, err := p.Static(force)
	return Found{
		"active coils":         Number(w.ActiveCoils),
		"rate":                 SI(s.Rate, dimStiffness),
		"free length":          SI(s.FreeLength, dimLength),
		"stretch":              SI(length-s.TakeUp(), dimLength),
		"body stress":          SI(stress.Body, dimPressure),
		"hook bending stress":  SI(stress.HookBending, dimPressure),
		"hook torsion stress":  SI(stress.HookTorsion, dimPressure),
		"body reserve":         Number(static.Body),
		"hook bending reserve": Number(static.HookBending),
		"hook torsion reserve": Number(static.HookTorsion),
	}, err
}

func extensionFatigue(g *Given) (Found, error) {
	f, err := part(g).Fatigue(g.SI("low force", dimForce), g.SI("high force", dimForce), design.Zimmerli(false), design.Gerber)
	return Found{
		"body":         Number(f.Safety.Body),
		"body yield":   Number(f.Yield),
		"hook bending": Number(f.Safety.HookBending),
		"hook torsion": Number(f.Safety.HookTorsion),
	}, err
}

// coilFatigue finds the stresses of a coil between two forces and what they
// leave by each criterion. The corrections of the steady and the alternating
// part may differ, as some books have them.
func coilFatigue(g *Given) (Found, error) {
	w := coilOf(g)
	low, high := g.SI("low force", dimForce), g.SI("high force", dimForce)
	alternating, err := w.Torsion((high-low)/2, correction(g))
	if err != nil {
		return nil, err
	}
	k := correction(g)
	if g.WordOr("steady correction", "same", "same", "direct shear") != "same" {
		k = design.DirectShear
	}
	steady, err := w.Torsion((high+low)/2, k)
	if err != nil {
		return nil, err
	}
	found := Found{"alternating stress": SI(alternating, dimPressure), "steady stress": SI(steady, dimPressure)}
	strength, err := material(g).Tensile(w.Diameter)
	if err != nil {
		return nil, err
	}
	for _, c := range []design.Criterion{design.Gerber, design.Goodman, design.Sines} {
		n, err := c.SafetyFactor(alternating, steady, design.Zimmerli(false), 0.67*strength)
		if err != nil {
			return nil, err
		}
		found[string(c)] = Number(n)
	}
	return found, nil
}

// compression finds the lengths of a compression spring whose active coils are
// given, or follow from a rate and are taken up to whole turns where the case
// says so.
func compression(g *Given) (Found, error) {
	w := coilOf(g)
	if g.Has("rate") {
		n, err := coilsFor(w, g.SI("rate", dimStiffness))
		if err != nil {
			return nil, err
		}
		w.ActiveCoils = n
	}
	ends := g.Word("ends", "plain", "plain and ground", "squared", "squared and ground")
	c := design.Compression{Wire: w, Squared: strings.HasPrefix(ends, "squared"), Ground: strings.HasSuffix(ends, "ground")}
	solid, err := c.Solid()
	if err != nil {
		return nil, err
	}
	rate, err := w.Rate()
	if err != nil {
		return nil, err
	}
	travel := g.SIOr("clearance", dimLength, 0)
	if g.Has("force") {
		travel += g.SI("force", dimForce) / rate
	}
	if g.Has("travel") {
		travel += g.SI("travel", dimLength)
	}
	free := solid + travel
	stable, err := c.Stable(0.5)
	return Found{
		"active coils":       Number(w.ActiveCoils),
		"rate":               SI(rate, dimStiffness),
		"solid length":       SI(solid, dimLength),
		"free length":        SI(free, dimLength),
		"stable length":      SI(stable, dimLength),
		"largest alpha":      Number(0.5 * stable / free),
		"travel before bind": SI(free-solid, dimLength),
	}, err
}

// fromLoads recovers a spring from readings. Without deviations every load counts
// alike and the lengths are exact.
func fromLoads(g *Given) (Found, error) {
	rs := make([]springs.Reading, len(g.List("lengths", dimLength)))
	each := func(name string, d quantity.Dim, set func(r *springs.Reading, x float64)) {
		for i, x := range g.List(name, d) {
			if i < len(rs) {
				set(&rs[i], x)
			}
		}
	}
	each("lengths", dimLength, func(r *springs.Reading, x float64) { r.Length, r.SigmaLoad = x, 1 })
	each("loads", dimForce, func(r *springs.Reading, x float64) { r.Load = x })
	if g.Has("length deviations") {
		each("length deviations", dimLength, func(r *springs.Reading, x float64) { r.SigmaLength = x })
	}
	if g.Has("load deviations") {
		each("load deviations", dimForce, func(r *springs.Reading, x float64) { r.SigmaLoad = x })
	}
	m, err := springs.Measure(rs, g.SI("free length", dimLength), 0)
	if err != nil {
		return nil, err
	}
	found := Found{
		"rate":            SI(m.Spring.Rate, dimStiffness),
		"initial tension": SI(m.Spring.InitialTension, dimForce),
		"rate deviation":  SI(math.Sqrt(m.Covariance.At(0, 0)), dimStiffness),
		"chi squared":     Number(m.ChiSquared),
	}
	if g.Has("at length") {
		load, err := m.Spring.Load(g.SI("at length", dimLength))
		if err != nil {
			return nil, err
		}
		found["load at length"] = SI(load, dimForce)
	}
	return found, nil
}
