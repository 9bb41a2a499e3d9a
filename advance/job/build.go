package job

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
)

// none is the name for an empty spring place.
const none = "none"

// mm is a length of so many millimetres.
func mm(x float64) quantity.Length { return quantity.Length(x * 1e-3) }

// newValidator starts the check of a decoded file with its drive.
func newValidator(f *File, lines strict.Lines) *validator {
	r := &validator{lines: lines, drive: advance.FourStroke}
	switch f.Distributor.Drive {
	case "", "four-stroke":
	case "crank-speed":
		r.drive = advance.CrankSpeed
	default:
		r.fail("distributor.drive", "is %q, valid is \"four-stroke\" or \"crank-speed\"", f.Distributor.Drive)
	}
	return r
}

// readingsOf turns the readings into those that are fitted.
func readingsOf(r *validator, in []Reading, path string) []readings.Reading {
	if len(in) < 3 || len(in) > MaxReadings {
		r.fail(path, "there are %d of them, valid is 3 to %d", len(in), MaxReadings)
	}
	out := make([]readings.Reading, 0, len(in))
	for i, one := range in {
		at := fmt.Sprintf("%s[%d]", path, i)
		x := readings.Reading{
			RPM:     r.rpm(at+".at", one.At, 50, 12000),
			Degrees: r.degrees(at+".shows", one.Shows, -30, 90),
			Vacuum:  betweenOr(r, at+".vacuum", one.Vacuum, 0, 0, fullVacuum), HoseOn: one.Vacuum.SI() > 0,
		}
		if one.Falling {
			x.Direction = flyweights.Falling
		}
		out = append(out, x)
	}
	checkCurveShown(r, path, out)
	return out
}

// fullVacuum is all that a standard atmosphere can be sucked down, Pa (ISO 2533).
const fullVacuum = 101325

// checkCurveShown refuses readings that show no curve, however good they are.
func checkCurveShown(r *validator, path string, list []readings.Reading) {
	n, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, x := range list {
		if !x.HoseOn {
			n, low, high = n+1, min(low, x.RPM), max(high, x.RPM)
		}
	}
	switch {
	case n < 3:
		r.fail(path, "%d of them have the vacuum hose off, valid is 3 or more", n)
	case !(high-low >= 100):
		r.fail(path, "those with the vacuum hose off lie between %.0f and %.0f rpm crank, valid is a spread of 100 rpm crank or more", low, high)
	}
}

// MaxReadings is the largest number of readings that a job may hold.
const MaxReadings = 500

// ofTable turns the rows of a CSV file into readings whose lines are those of that
// file.
func ofTable(r *validator, rows []readings.Row) []Reading {
	out := make([]Reading, len(rows))
	for i, row := range rows {
		out[i] = Reading{At: row.At, Shows: row.Shows, Vacuum: row.Vacuum}
		for _, field := range []string{"at", "shows", "vacuum"} {
			r.lines[fmt.Sprintf("%s[%d].%s", csvPath, i, field)] = row.Line
		}
	}
	return out
}

// csvPath is the path of a reading that came from a CSV file.
const csvPath = "readings_csv"

// settingsOf says how well the readings were taken.
func settingsOf(r *validator, l *Light) readings.Settings {
	return readings.Settings{
		SigmaDegrees: r.degreesOr("light.angle_error", l.Angle, 1, 0.05, 10),
		SigmaRPM:     r.rpmOr("light.speed_error", l.Speed, 25, 1, 500),
	}
}

// layout places the parts of a weight's own frame round the shaft.
type layout struct {
	pivot r2.Vec // of weight 1
	count int
}

// turn carries a point of the frame of weight i (from 0) into the plate frame.
func (l layout) turn(i int, p r2.Vec) r2.Vec {
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(l.count))
	return r2.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y}
}

// weights are the equal weights of a set round the shaft.
func (l layout) weights(mass float64, centre r2.Vec) []flyweights.Weight {
	out := make([]flyweights.Weight, l.count)
	for i := range out {
		out[i] = flyweights.Weight{Mass: mass, Pivot: l.turn(i, l.pivot), Centre: l.turn(i, centre)}
	}
	return out
}

// mechanismOf builds the distributor without its springs and says where springs
// can hang.
func mechanismOf(r *validator, d *Distributor) (m flyweights.Mechanism, l layout, places []recipes.Position) {
	l.count = r.whole("distributor.weights_count", d.Count, 2, 1, 4)
	l.pivot = r2.Vec{X: between(r, "distributor.pivot_radius", d.Pivot, mm(5), mm(100))}
	switch cam, pin := r.given("distributor.cam_per_swing"), r.given("distributor.cam_pin"); {
	case cam == pin:
		r.fail("distributor", "needs one of cam_per_swing and cam_pin, and not both")
	case cam:
		m.Linkage = flyweights.Ratio{K: between(r, "distributor.cam_per_swing", d.Cam, quantity.Ratio(0.1), quantity.Ratio(5))}
	default:
		x, y := r.point("distributor.cam_pin", d.Pin)
		pin := flyweights.PinInSlot{Pivot: l.pivot, Pin: r2.Vec{X: x, Y: y}}
		m.Linkage, m.CamClockwise = pin, pin.TurnsClockwise()
	}
	m.Drag = betweenOr(r, "distributor.cam_drag", d.Drag, 0, 0, quantity.Moment(0.2))
	m.Friction.Moment = betweenOr(r, "distributor.friction", d.Friction, 0, 0, quantity.Moment(0.2))

	if len(d.Places) < 1 || len(d.Places) > 4 {
		r.fail("distributor.spring_places", "there are %d of them, valid is 1 to 4", len(d.Places))
	}
	names := map[string]bool{}
	for i, p := range d.Places {
		at := fmt.Sprintf("distributor.spring_places[%d]", i)
		r.name(at+".name", p.Name, names)
		w := r.whole(at+".weight", p.Weight, 0, 1, l.count) - 1
		plate, post := r.posts(at, &p, l.pivot.X)
		if plate == post {
			r.fail(at, "both posts stand at the same point")
		}
		places = append(places, recipes.Position{Name: p.Name, Posts: []recipes.Post{{
			Name: p.Name,
			A:    flyweights.Anchor{Body: flyweights.Plate, Point: l.turn(w, plate)},
			B:    flyweights.Anchor{Body: flyweights.OnWeight(w), Point: l.turn(w, post)},
		}}})
	}
	return m, l, places
}

func vec(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }

// slotOf reads the slot and the cam travel that it allows, in rad.
func slotOf(r *validator, s *Slot) (flyweights.Slot, float64) {
	slot := flyweights.Slot{
		Length: between(r, "distributor.slot.length", s.Length, mm(1), mm(80)),
		Pin:    between(r, "distributor.slot.pin", s.Pin, mm(0.5), mm(40)),
		Radius: between(r, "distributor.slot.radius", s.Radius, mm(3), mm(80)),
	}
	if r.err == nil && !(slot.Length > slot.Pin) {
		r.fail("distributor.slot.length", "is %s, but the pin in it is %s thick and could not move", s.Length, s.Pin)
	}
	travel, err := slot.Travel()
	r.wrap("distributor.slot", err)
	return slot, travel
}

// springOf reads one kind of spring.
func springOf(r *validator, at string, s *Spring) recipes.SpringPart {
	part := recipes.SpringPart{
		Name: s.Name, Count: r.whole(at+".count", s.Count, 1, 1, 1000),
		Spring: springs.Spring{
			FreeLength:     between(r, at+".free_length", s.Free, mm(2), mm(150)),
			InitialTension: betweenOr(r, at+".initial_tension", s.Initial, 0, 0, 200),
			Slack:          betweenOr(r, at+".slack", s.Slack, 0, 0, mm(50)),
		},
	}
	switch rate, wire := r.given(at+".rate"), s.Wire != nil; {
	case rate == wire:
		r.fail(at, "needs one of rate and wire, and not both")
	case rate:
		part.Spring.Rate = between(r, at+".rate", s.Rate, 1, 1e6)
	default:
		part.Spring.Rate = wireRate(r, at+".wire", s.Wire)
	}
	part.RateSigma = betweenOr(r, at+".rate_within", s.RateWithin, 0.05, 0, 0.5)
	part.LengthSigma = 0.1e-3
	part.TensionSigma = 0.1 * part.Spring.InitialTension
	return part
}

// wireRate is the rate of a spring from what it is wound of.
func wireRate(r *validator, at string, w *Wire) float64 {
	d := between(r, at+".diameter", w.Diameter, mm(0.1), mm(5))
	outside := between(r, at+".coil_outside", w.Coil, mm(0.5), mm(50))
	wire := design.Wire{
		Diameter: d, MeanDiameter: outside - d,
		ActiveCoils:  between(r, at+".turns", w.Turns, 1, 200),
		ShearModulus: betweenOr(r, at+".shear_modulus", w.Shear, 81.5e9, 10e9, 200e9),
	}
	rate, err := wire.Rate()
	r.wrap(at, err)
	return rate
}

// drawerOf reads the parts.
func drawerOf(r *validator, d *Drawer, l layout) recipes.Drawer {
	var out recipes.Drawer
	if len(d.Springs) == 0 || len(d.Springs) > 500 {
		r.fail("drawer.springs", "there are %d kinds of springs, valid is 1 to 500", len(d.Springs))
	}
	if len(d.Weights) == 0 || len(d.Weights) > 100 {
		r.fail("drawer.weights", "there are %d sets of weights, valid is 1 to 100", len(d.Weights))
	}
	names := map[string]bool{}
	for i := range d.Springs {
		at := fmt.Sprintf("drawer.springs[%d]", i)
		r.name(at+".name", d.Springs[i].Name, names)
		out.Springs = append(out.Springs, springOf(r, at, &d.Springs[i]))
	}
	for i, w := range d.Weights {
		at := fmt.Sprintf("drawer.weights[%d]", i)
		r.name(at+".name", w.Name, names)
		mass := between(r, at+".mass", w.Mass, quantity.Mass(1e-3), quantity.Mass(0.5))
		centre := r.centre(at, &w, l.pivot.X)
		out.Weights = append(out.Weights, recipes.WeightPart{Name: w.Name, Weights: l.weights(mass, centre), MassSigma: 0.01})
	}
	return out
}

// count tells how often n stands in a list.
func count(list []int, n int) int {
	found := 0
	for _, x := range list {
		if x == n {
			found++
		}
	}
	return found
}

// fittedOf finds the parts that are in it now. No springs named means unknown.
func fittedOf(r *validator, d *Distributor, drawer *recipes.Drawer) *recipes.Choice {
	var c recipes.Choice
	var kinds []string
	c.Weights = -1
	for i, w := range drawer.Weights {
		kinds = append(kinds, w.Name)
		if w.Name == d.Weights {
			c.Weights = i
		}
	}
	if c.Weights < 0 {
		r.fail("distributor.weights", "is %q, but the drawer's weights are %s", d.Weights, strings.Join(kinds, ", "))
		return nil
	}
	if !r.given("distributor.springs") {
		return nil
	}
	if len(d.Springs) != len(d.Places) {
		r.fail("distributor.springs", "names %d springs for %d places; write %q for an empty one", len(d.Springs), len(d.Places), none)
	}
	for i, name := range d.Springs {
		at := -1
		for j, s := range drawer.Springs {
			if s.Name == name {
				at = j
			}
		}
		if at < 0 && name != none {
			r.fail(fmt.Sprintf("distributor.springs[%d]", i), "%q is not in drawer.springs", name)
		}
		if used := count(c.Springs, at) + 1; at >= 0 && used > drawer.Springs[at].Count {
			r.fail(fmt.Sprintf("distributor.springs[%d]", i), "%q is fitted %d times, but drawer.springs counts %d of it", name, used, drawer.Springs[at].Count)
		}
		c.Springs = append(c.Springs, at)
		c.Posts = append(c.Posts, 0)
	}
	return &c
}
