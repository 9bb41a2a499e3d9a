package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/job/internal/schema"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

// standardGravity is m/s^2 (3rd CGPM, 1901).
const standardGravity = 9.80665

// readDrawer reads the parts. One that is not whole is asked for and left out.
func (j *Job) readDrawer(r *validator, d *schema.Drawer, l layout) {
	if len(d.Springs) > 500 {
		r.fail("drawer.springs", "there are %d kinds of springs, valid is at most 500", len(d.Springs))
		return
	}
	if len(d.Weights) > 100 {
		r.fail("drawer.weights", "there are %d sets of weights, valid is at most 100", len(d.Weights))
		return
	}
	if len(d.Springs) == 0 {
		r.lack("drawer.springs")
	}
	if len(d.Weights) == 0 {
		r.lack("drawer.weights")
	}
	names := map[string]bool{}
	j.Drawer.Springs = r.springs(d.Springs, names)
	j.countFitted(r)
	for i := range d.Weights {
		at, w := fmt.Sprintf("drawer.weights[%d]", i), &d.Weights[i]
		w.Name = r.name(at+".name", w.Name, "weights", i, names)
		bodies := r.weightSet(at, w, l)
		if !r.lacks(at) && len(bodies) > 0 {
			j.Drawer.Weights = append(j.Drawer.Weights, recipes.WeightPart{Name: w.Name, Weights: l.weights(bodies), MassSigma: 0.01})
		}
	}
}

// countFitted counts the springs whose number is left out: there are as many as were ever
// fitted at a time.
func (j *Job) countFitted(r *validator) {
	given := map[string]bool{}
	for i, s := range j.file.Drawer.Springs {
		given[s.Name] = r.given(fmt.Sprintf("drawer.springs[%d].count", i))
	}
	lists := [][]string{j.file.Distributor.Springs}
	for i := range j.file.Runs {
		lists = append(lists, j.file.Runs[i].Springs)
	}
	for i := range j.Drawer.Springs {
		part := &j.Drawer.Springs[i]
		for _, fitted := range lists {
			if !given[part.Name] {
				part.Count = max(part.Count, count(fitted, part.Name))
			}
		}
	}
}

// springs reads all kinds of springs; those that were pulled against another one come
// after the others, which they are measured by.
func (r *validator) springs(list []schema.Spring, names map[string]bool) []recipes.SpringPart {
	parts := make([]recipes.SpringPart, len(list))
	known := map[string]recipes.SpringPart{}
	for _, later := range []bool{false, true} {
		for i := range list {
			at := fmt.Sprintf("drawer.springs[%d]", i)
			if against := slices.ContainsFunc(list[i].Hung, func(h schema.Hung) bool { return h.Against != "" }); against != later {
				continue
			}
			list[i].Name = r.name(at+".name", list[i].Name, "spring", i, names)
			parts[i] = r.spring(at, &list[i], known)
			if !later && !r.lacks(at) {
				known[list[i].Name] = parts[i]
			}
		}
	}
	var out []recipes.SpringPart
	for i, part := range parts {
		if !r.lacks(fmt.Sprintf("drawer.springs[%d]", i)) {
			out = append(out, part)
		}
	}
	return out
}

// spring reads one kind of spring.
func (r *validator) spring(at string, s *schema.Spring, known map[string]recipes.SpringPart) recipes.SpringPart {
	part := recipes.SpringPart{
		Name: s.Name, Count: r.whole(at+".count", s.Count, 1, 1, 1000),
		RateSigma: betweenOr(r, at+".rate_within", s.RateWithin, 0.05, 0, mostRateSigma), LengthSigma: 0.1e-3,
	}
	part.Spring.Slack = betweenOr(r, at+".slack", s.Slack, 0, 0, mm(50))
	var ways []string
	for _, name := range []string{"rate", "wire", "hung"} {
		if r.given(at + "." + name) {
			ways = append(ways, name)
		}
	}
	switch {
	case len(ways) > 1:
		r.fail(at, "needs one of %s and %s, and not both", ways[0], ways[1])
		return part
	case len(ways) == 1 && ways[0] == "hung":
		r.hung(at, s, &part, known)
		return part
	case len(ways) == 0:
		r.lack(at + ".rate")
	case ways[0] == "rate":
		part.Spring.Rate = between(r, at+".rate", s.Rate, 1, 1e6)
	default:
		part.Spring.Rate = wireRate(r, at+".wire", s.Wire)
		if !r.lacks(at + ".wire") {
			r.measured = append(r.measured, fmt.Sprintf("%s, by its wire: rate %.2f N/mm (%.1f lbf/in).", s.Name, part.Spring.Rate/1e3, part.Spring.Rate/poundPerInch))
		}
	}
	part.Spring.FreeLength = between(r, at+".free_length", s.Free, mm(2), mm(150))
	part.Spring.InitialTension = betweenOr(r, at+".initial_tension", s.Initial, 0, 0, 200)
	part.TensionSigma = 0.1 * part.Spring.InitialTension
	return part
}

// Errors of a spring's length under a load, one standard deviation: a calliper over
// the hooks of a spring that swings, and a kitchen scale (common practice, no source).
const (
	hungLength = 0.15e-3 // m
	hungLoad   = 0.02    // N
)

// hung reads a spring from its lengths under loads. With the free length given the
// loads tell rate and initial tension; without, the readings must begin with a load
// that does not stretch the spring yet.
func (r *validator) hung(at string, s *schema.Spring, part *recipes.SpringPart, known map[string]recipes.SpringPart) {
	if n := len(s.Hung); n < 2 || n > 20 {
		r.fail(at+".hung", "holds %s, valid is 2 to 20", counted(n, "length"))
		return
	}
	list := make([]springs.Reading, 0, len(s.Hung))
	common := 0.0 // of the rate, that all readings share: a known spring's own
	for i, h := range s.Hung {
		one := fmt.Sprintf("%s.hung[%d]", at, i)
		reading := springs.Reading{
			Length:      between(r, one+".length", h.Length, mm(2), mm(300)),
			SigmaLength: hungLength, SigmaLoad: hungLoad,
		}
		var ways []string
		for _, name := range []string{"mass", "force", "against"} {
			if r.given(one + "." + name) {
				ways = append(ways, name)
			}
		}
		switch {
		case len(ways) > 1:
			r.fail(one, "needs one of %s and %s, and not both", ways[0], ways[1])
		case len(ways) == 1 && ways[0] == "against":
			common = max(common, r.against(one, &h, &reading, known))
		case len(ways) == 1 && ways[0] == "force":
			reading.Load = between(r, one+".force", h.Force, 0, 200)
		default:
			reading.Load = standardGravity * between(r, one+".mass", h.Mass, 0, quantity.Mass(20))
		}
		list = append(list, reading)
	}
	if r.lacks(at) || !r.sound(at) {
		return
	}
	byLoad := func(a, b springs.Reading) int { return cmp.Compare(a.Load, b.Load) }
	if light, heavy := slices.MinFunc(list, byLoad), slices.MaxFunc(list, byLoad); !(heavy.Length > light.Length) {
		r.fail(at+".hung", "is %s under the most load and %s under the least, valid is longer under more", quantity.Length(heavy.Length), quantity.Length(light.Length))
		return
	}
	var m *springs.Measured
	var err error
	if r.given(at + ".free_length") {
		m, err = springs.Measure(list, between(r, at+".free_length", s.Free, mm(2), mm(150)), 0.1e-3)
	} else {
		m, err = springs.MeasurePiecewise(list)
	}
	if err != nil {
		r.wrap(at+".hung", err)
		return
	}
	slack := part.Spring.Slack
	part.Spring = m.Spring
	part.Spring.Slack += slack
	r.measured = append(r.measured, measuredSpring(s.Name, len(list), r.given(at+".free_length"), m))
	rate, load, length := m.Covariance.At(0, 0), m.Covariance.At(1, 1), m.Covariance.At(2, 2)
	part.RateSigma = math.Min(mostRateSigma, math.Hypot(common, math.Sqrt(rate)/m.Spring.Rate))
	part.TensionSigma, part.LengthSigma = math.Sqrt(load), math.Max(0.1e-3, math.Sqrt(length))
}

// measuredSpring says what lengths under load tell of a spring, with standard errors.
func measuredSpring(name string, n int, free bool, m *springs.Measured) string {
	off := func(i int) float64 { return math.Sqrt(m.Covariance.At(i, i)) }
	said := fmt.Sprintf("%s, by %s: rate %.2f N/mm (%.1f lbf/in), standard error %.2f", name, counted(n, "length"), m.Spring.Rate/1e3, m.Spring.Rate/poundPerInch, off(0)/1e3)
	if f := m.Spring.InitialTension; f > 0 {
		said += fmt.Sprintf("; initial tension %.2f N, standard error %.2f", f, off(1))
	}
	said += fmt.Sprintf("; free length %.2f mm", m.Spring.FreeLength*1e3)
	if !free {
		said += ", taken from the least loads, which must not stretch it yet (free_length says better)"
	}
	return said + "."
}

// against is the load that a known spring puts on the one that is hooked to it: its
// tension at the length that it has then. It returns the relative error of that spring's
// rate, which goes into all loads alike.
func (r *validator) against(at string, h *schema.Hung, reading *springs.Reading, known map[string]recipes.SpringPart) (common float64) {
	length := between(r, at+".against_length", h.AgainstLength, mm(2), mm(300))
	other, ok := known[h.Against]
	switch {
	case !ok:
		r.fail(at+".against", "is %q, valid is a spring of the drawer with its rate and free_length, or hung with masses", h.Against)
	case r.lacks(at):
	case other.Spring.Tension(length) <= 0:
		r.fail(at+".against_length", "is %s, at which %q does not pull yet", h.AgainstLength, h.Against)
	default:
		reading.Load = other.Spring.Tension(length)
		reading.SigmaLoad = math.Hypot(hungLoad, other.Spring.Rate*hungLength)
		common = other.RateSigma
	}
	return common
}

// wireRate is the rate of a spring from what it is wound of.
func wireRate(r *validator, at string, w *schema.Wire) float64 {
	d := between(r, at+".diameter", w.Diameter, mm(0.1), mm(5))
	outside := between(r, at+".coil_outside", w.Coil, mm(0.5), mm(50))
	wire := design.Wire{
		Diameter: d, MeanDiameter: outside - d,
		ActiveCoils:  between(r, at+".turns", w.Turns, 1, 200),
		ShearModulus: betweenOr(r, at+".shear_modulus", w.Shear, 81.5e9, 10e9, 200e9),
	}
	if r.lacks(at) {
		return 1
	}
	rate, err := wire.Rate()
	r.wrap(at, err)
	return rate
}

// weightBody is what the balance takes of a weight: its mass and where it sits, in
// the weight's own frame.
type weightBody struct {
	mass   float64
	centre r2.Vec
}

// weightSet reads a set of weights: one body for all, or one for each.
func (r *validator) weightSet(at string, w *schema.Weight, l layout) []weightBody {
	one := schema.Weight{Name: w.Name, Mass: w.Mass, Centre: w.Centre, ToPivot: w.ToPivot, ToShaft: w.ToShaft, Outline: w.Outline}
	if !r.given(at + ".each") {
		return []weightBody{r.weight(at, &one, l)}
	}
	if r.given(at + ".mass") {
		r.fail(at, "needs one of mass and each, and not both")
	}
	if len(w.Each) != l.count {
		r.fail(at+".each", "describes %d weights, distributor.weights_count says %d", len(w.Each), l.count)
		return nil
	}
	var out []weightBody
	for i := range w.Each {
		out = append(out, r.weight(fmt.Sprintf("%s.each[%d]", at, i), &w.Each[i], l))
	}
	return out
}

// weight reads one weight.
func (r *validator) weight(at string, w *schema.Weight, l layout) weightBody {
	return weightBody{
		mass:   between(r, at+".mass", w.Mass, quantity.Mass(1e-3), quantity.Mass(0.5)),
		centre: r.centre(at, w, l),
	}
}
