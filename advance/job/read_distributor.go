package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/job/internal/schema"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// none is the name for an empty spring place.
const none = "none"

// mm is a length of so many millimetres.
func mm(x float64) quantity.Length { return quantity.Length(x * 1e-3) }

// newValidator starts the check of a decoded file with its drive.
func newValidator(f *schema.File, lines strict.Lines, syntax []*strict.Error) *validator {
	r := &validator{lines: lines, syntax: syntax, drive: advance.FourStroke}
	switch f.Distributor.Drive {
	case "", "four-stroke":
	case "crank-speed":
		r.drive = advance.CrankSpeed
	default:
		r.fail("distributor.drive", "is %q, valid is \"four-stroke\" or \"crank-speed\"", f.Distributor.Drive)
	}
	return r
}

// layout places the parts of a weight's own frame round the shaft.
type layout struct {
	pivot  r2.Vec // of weight 1
	count  int
	mirror bool // points are seen from the side on which an opening weight turns clockwise
	slides bool // the weights slide outwards along x and have no pivot
}

// own is a point of a weight's own frame as the library draws it.
func (l layout) own(x, y float64) r2.Vec {
	if l.mirror {
		y = -y
	}
	return r2.Vec{X: x, Y: y}
}

// turn carries a point of the frame of weight i (from 0) into the plate frame.
func (l layout) turn(i int, p r2.Vec) r2.Vec {
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(l.count))
	return r2.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y}
}

// weights are the weights of a set round the shaft, each with its own mass and
// centre; the last one given stands for all that follow.
func (l layout) weights(parts []weightBody) []flyweights.Weight {
	out := make([]flyweights.Weight, l.count)
	for i := range out {
		p := parts[min(i, len(parts)-1)]
		out[i] = flyweights.Weight{Mass: p.mass, Centre: l.turn(i, p.centre)}
		if l.slides {
			out[i].Slide = l.turn(i, r2.Vec{X: slidePerRadian})
		} else {
			out[i].Pivot = l.turn(i, l.pivot)
		}
	}
	return out
}

// slidePerRadian is the way of a sliding weight that counts as a swing of one radian, m:
// any will do, so one that keeps swings as small as those of weights on pivots.
const slidePerRadian = 0.02

// readDistributor builds the mechanism without its springs and says where springs
// can hang. Without slot it has no stop yet.
func (j *Job) readDistributor(r *validator, d *schema.Distributor) layout {
	l := layout{
		count:  r.whole("distributor.weights_count", d.Count, 2, 1, 4),
		slides: r.given("distributor.slide_out") || r.given("distributor.slide_cam"),
	}
	switch {
	case !l.slides:
		l.pivot = r2.Vec{X: between(r, "distributor.pivot_radius", d.Pivot, mm(5), mm(100))}
	case r.given("distributor.pivot_radius"):
		r.fail("distributor.pivot_radius", "stands beside slide_out: weights that slide have no pivot; give one of the two")
	}
	switch d.Opens {
	case "", "counter-clockwise":
	case "clockwise":
		l.mirror = true
	default:
		r.fail("distributor.opens", "is %q, valid is \"counter-clockwise\" or \"clockwise\"", d.Opens)
	}
	j.readLinkage(r, d, l)
	j.readSense(r, d, l)
	j.placesDiffer = d.Differ
	j.Mechanism.Drag = betweenOr(r, "distributor.cam_drag", d.Drag, 0, 0, quantity.Moment(0.2))
	j.Mechanism.Friction.Moment = betweenOr(r, "distributor.friction", d.Friction, 0, 0, quantity.Moment(0.2))
	if len(d.Places) > 6 {
		r.fail("distributor.spring_places", "there are %d of them, valid is 1 to 6", len(d.Places))
		return l
	}
	names := map[string]bool{}
	for i := range d.Places {
		j.readPlace(r, fmt.Sprintf("distributor.spring_places[%d]", i), i, &d.Places[i], l, names)
	}
	if len(d.Places) == 0 {
		r.lack("distributor.spring_places")
	}
	return l
}

// readLinkage reads how the weights turn the cam.
func (j *Job) readLinkage(r *validator, d *schema.Distributor, l layout) {
	var ways []string
	for _, name := range []string{"cam_per_swing", "cam_pin", "cam_table"} {
		if r.given("distributor." + name) {
			ways = append(ways, name)
		}
	}
	if l.slides {
		ways = append(ways, "slide_out")
	}
	switch {
	case len(ways) == 0:
		r.lack("distributor.cam_per_swing")
		j.Mechanism.Linkage = flyweights.Ratio{K: 1}
	case len(ways) > 1:
		r.fail("distributor", "needs one of %s and %s, and not both", ways[0], ways[1])
	case ways[0] == "cam_per_swing":
		j.Mechanism.Linkage = flyweights.Ratio{K: between(r, "distributor.cam_per_swing", d.Cam, quantity.Ratio(0.1), quantity.Ratio(5))}
	case ways[0] == "cam_pin":
		x, y := r.point("distributor.cam_pin", d.Pin)
		pin := flyweights.PinInSlot{Pivot: l.pivot, Pin: l.own(x, y)}
		j.Mechanism.Linkage, j.Mechanism.CamClockwise = pin, pin.TurnsClockwise()
	case l.slides:
		j.readSlide(r, d)
	default:
		j.readTable(r, d.Table)
	}
}

// readSlide reads the cam's turn as it was measured against the way of a weight.
func (j *Job) readSlide(r *validator, d *schema.Distributor) {
	j.Mechanism.Linkage = flyweights.Ratio{K: 1}
	for _, name := range []string{"slide_out", "slide_cam"} {
		if !r.given("distributor." + name) {
			r.lack("distributor." + name)
			return
		}
	}
	if n, m := len(d.SlideOut), len(d.SlideCam); n != m || n < 2 || n > 50 {
		r.fail("distributor.slide_out", "has %d lengths for %d angles of slide_cam, valid is 2 to 50, as many of each", n, m)
		return
	}
	swing, cam := []float64{0}, []float64{0}
	for i := range d.SlideOut {
		way := between(r, fmt.Sprintf("distributor.slide_out[%d]", i), d.SlideOut[i], 0, mm(60))
		turn := r.degrees(fmt.Sprintf("distributor.slide_cam[%d]", i), d.SlideCam[i], 0, 240)
		if way > 0 {
			swing, cam = append(swing, way/slidePerRadian), append(cam, r.drive.ShaftRadians(turn))
		}
	}
	j.tabulate(r, swing, cam, "distributor.slide_out", "distributor.slide_cam")
}

// readSense reads which way the cam turns. Only springs on the cam need it.
func (j *Job) readSense(r *validator, d *schema.Distributor, l layout) {
	pin := r.given("distributor.cam_pin")
	if !r.given("distributor.cam_turns") {
		for i := range d.Places {
			if !pin && r.given(fmt.Sprintf("distributor.spring_places[%d].cam_post", i)) {
				r.lack("distributor.cam_turns")
			}
		}
		return
	}
	switch {
	case pin:
		r.fail("distributor.cam_turns", "stands beside cam_pin, which says it already; leave it out")
	case d.Turns == "counter-clockwise":
		j.Mechanism.CamClockwise = l.mirror
	case d.Turns == "clockwise":
		j.Mechanism.CamClockwise = !l.mirror
	default:
		r.fail("distributor.cam_turns", "is %q, valid is \"counter-clockwise\" or \"clockwise\"", d.Turns)
	}
}

// readTable reads the cam's turn as it was measured with two degree wheels.
func (j *Job) readTable(r *validator, pairs [][]quantity.Angle) {
	if len(pairs) < 2 || len(pairs) > 50 {
		r.fail("distributor.cam_table", "there are %d pairs, valid is 2 to 50", len(pairs))
		return
	}
	swing, cam := []float64{0}, []float64{0} // rest, which nobody needs to write
	for i, p := range pairs {
		at := fmt.Sprintf("distributor.cam_table[%d]", i)
		if len(p) != 2 {
			r.fail(at, "has %s, valid is two, [swing, cam]", counted(len(p), "angle"))
			return
		}
		a := r.drive.ShaftRadians(r.degrees(at+"[0]", p[0], 0, 240))
		b := r.drive.ShaftRadians(r.degrees(at+"[1]", p[1], 0, 240))
		last := len(swing) - 1
		switch {
		case a > 0 && r.sound(at) && (!(a > swing[last]) || !(b > cam[last])):
			r.fail(at, "is [%s, %s], valid is pairs that rise: both angles above those of the pair before", p[0], p[1])
			return
		case a > 0:
			swing, cam = append(swing, a), append(cam, b)
		}
	}
	j.Mechanism.Linkage = flyweights.Ratio{K: 1}
	j.tabulate(r, swing, cam, "distributor.cam_table")
}

// tabulate makes a measured table the linkage.
func (j *Job) tabulate(r *validator, swing, cam []float64, paths ...string) {
	if !r.sound(paths...) {
		return
	}
	table, err := linkages.NewTabulated(swing, cam)
	if err != nil {
		r.wrap(paths[0], err)
		return
	}
	j.Mechanism.Linkage = table
}

// readPlace reads one place for a spring; one that is not whole is asked for and left
// out.
func (j *Job) readPlace(r *validator, at string, i int, p *schema.Place, l layout, names map[string]bool) {
	name := r.name(at+".name", p.Name, "place", i, names)
	w := r.whole(at+".weight", p.Weight, 0, 1, l.count) - 1
	a, b := r.posts(at, p, l, w)
	if r.lacks(at) || r.lacks("distributor.pivot_radius") || !r.sound(at, "distributor.pivot_radius", "distributor.weights_count", "distributor.opens") {
		return
	}
	if a.Point == b.Point {
		r.fail(at, "both posts stand at the same point")
	}
	j.Places = append(j.Places, recipes.Position{Name: name, Posts: []recipes.Post{{Name: name, A: a, B: b}}})
}

// readSlot reads the slot and the travel that it allows.
func (j *Job) readSlot(r *validator, s *schema.Slot) {
	j.Slot = flyweights.Slot{
		Length: between(r, "distributor.slot.length", s.Length, mm(1), mm(80)),
		Pin:    between(r, "distributor.slot.pin", s.Pin, mm(0.5), mm(40)),
		Radius: between(r, "distributor.slot.radius", s.Radius, mm(3), mm(80)),
	}
	j.has.slotRadius = !r.lacks("distributor.slot.radius")
	j.has.slotPin = j.has.slotRadius && r.given("distributor.slot.pin")
	if r.lacks("distributor.slot") || !r.sound("distributor.slot") {
		return
	}
	if !(j.Slot.Length > j.Slot.Pin) {
		r.fail("distributor.slot.length", "is %s, but the pin in it is %s thick and could not move", s.Length, s.Pin)
		return
	}
	travel, err := j.Slot.Travel()
	if err != nil {
		r.wrap("distributor.slot", err)
		return
	}
	// Weights that swing so far have no room in a distributor: a figure is wrong.
	if deg := travel * 180 / math.Pi; deg > 120 {
		r.fail("distributor.slot", "lets the cam turn %.1f deg dist, valid is at most 120 deg dist: check length, pin and radius", deg)
		return
	}
	j.SlotTravel, j.has.slot = j.Drive.CrankDegrees(travel), true
}

// readRotor reads tip and terminals, in mm as the sheet takes them.
func (j *Job) readRotor(r *validator, in *schema.Rotor) {
	if in == nil {
		return
	}
	rotor := sheet.Rotor{
		Radius:   1e3 * between(r, "distributor.rotor.radius", in.Radius, mm(5), mm(80)),
		Tip:      1e3 * between(r, "distributor.rotor.tip", in.Tip, mm(0.5), mm(40)),
		Terminal: 1e3 * between(r, "distributor.rotor.terminal", in.Terminal, mm(0.5), mm(40)),
	}
	if !r.lacks("distributor.rotor") {
		j.Rotor = rotor
	}
}

// count tells how often a thing stands in a list.
func count[T comparable](list []T, n T) int {
	found := 0
	for _, x := range list {
		if x == n {
			found++
		}
	}
	return found
}

// readFitted finds the parts that are in it now. What is not named, or not described
// in the drawer, leaves the present parts unknown.
func (j *Job) readFitted(r *validator, d *schema.Distributor) {
	c := recipes.Choice{Weights: -1}
	known := true
	c.Weights = slices.IndexFunc(j.Drawer.Weights, func(w recipes.WeightPart) bool { return w.Name == d.Weights })
	if !r.given("distributor.weights") || c.Weights < 0 {
		r.lack("distributor.weights")
		known = false
	}
	if !r.given("distributor.springs") {
		r.lack("distributor.springs")
		return
	}
	if len(d.Springs) != len(d.Places) && len(d.Places) > 0 {
		r.fail("distributor.springs", "names %d springs for %d places; write %q for an empty one", len(d.Springs), len(d.Places), none)
		return
	}
	for i, name := range d.Springs {
		known = j.fitSpring(r, &c, fmt.Sprintf("distributor.springs[%d]", i), name) && known
	}
	if known && r.sound("distributor", "drawer") && len(c.Springs) == len(j.Places) {
		j.Fitted = &c
	}
}

// fitSpring puts the named spring into the next place, and reports whether the drawer
// describes it.
func (j *Job) fitSpring(r *validator, c *recipes.Choice, path, name string) bool {
	at := slices.IndexFunc(j.Drawer.Springs, func(s recipes.SpringPart) bool { return s.Name == name })
	if at < 0 && name != none {
		r.lack(path)
		return false
	}
	if used := count(c.Springs, at) + 1; at >= 0 && used > j.Drawer.Springs[at].Count {
		r.fail(path, "%q is fitted %d times, but drawer.springs counts %d of it", name, used, j.Drawer.Springs[at].Count)
	}
	c.Springs = append(c.Springs, at)
	c.Posts = append(c.Posts, 0)
	return true
}

// checkMechanism puts the parts together: what cannot move, or would begin to move
// only beyond the engine's speed, is a mistake in the file.
func (j *Job) checkMechanism(r *validator, travel float64) {
	at := 0
	if j.Fitted != nil {
		at = j.Fitted.Weights
	}
	j.Mechanism.Weights = j.Drawer.Weights[at].Weights
	_, far := j.Mechanism.Linkage.Travel()
	if most, _, _ := j.Mechanism.Linkage.Cam(far); !(travel <= most) {
		r.fail("distributor.slot", "lets the cam turn %.2f deg dist, but the weights turn it by at most %.2f deg dist: check slot and cam_per_swing, cam_pin, cam_table or slide_out", travel*180/math.Pi, most*180/math.Pi)
		return
	}
	stop, err := flyweights.Swing(j.Mechanism.Linkage, travel)
	if err != nil {
		r.wrap("distributor.slot", err)
		return
	}
	j.Mechanism.Stop = stop
	j.checkPlaces(r)
	for i := range j.Drawer.Weights {
		m := j.Mechanism
		m.Weights = j.Drawer.Weights[i].Weights
		if err := m.Check(); err != nil {
			r.wrap(fmt.Sprintf("drawer.weights[%d]", i), err)
		}
	}
	if !r.sound("distributor", "drawer") {
		return
	}
	j.has.mechanism = true
	if j.Fitted == nil {
		return
	}
	curve, err := j.present()
	if err != nil {
		r.wrap("distributor", err)
		return
	}
	j.checkLoose(r)
	if !j.held() {
		r.fail("distributor.springs", "do not pull at the end of the swing: nothing brings the weights back; check free_length and slack")
	}
	if start := j.Drive.RPM(curve.Start(flyweights.Rising)); !(start < j.Top) {
		r.fail("distributor.springs", "would hold the weights until %.0f rpm crank, above engine.top of %.0f rpm crank: they never let go", start, j.Top)
	}
}

// checkLoose refuses springs that are seen to hang loose at rest and by their lengths pull
// there, or the other way round, at every place.
func (j *Job) checkLoose(r *validator) {
	for i := range j.file.Drawer.Springs {
		at := fmt.Sprintf("drawer.springs[%d]", i)
		k := slices.IndexFunc(j.Drawer.Springs, func(p recipes.SpringPart) bool { return p.Name == j.file.Drawer.Springs[i].Name })
		if k < 0 || !r.given(at+".loose_at_rest") {
			continue
		}
		law, loose := j.Drawer.Springs[k].Spring, j.file.Drawer.Springs[i].Loose
		wrong := func(p recipes.Position) bool {
			return loose != (r2.Norm(r2.Sub(p.Posts[0].A.Point, p.Posts[0].B.Point)) < law.TakeUp())
		}
		if !slices.ContainsFunc(j.Places, func(p recipes.Position) bool { return !wrong(p) }) {
			rest := "loose"
			if loose {
				rest = "under tension"
			}
			r.fail(at+".loose_at_rest", "is %t, but its free_length and slack of together %.2f mm leave it %s between posts %.2f mm apart: check the lengths",
				loose, law.TakeUp()*1e3, rest, r2.Norm(r2.Sub(j.Places[0].Posts[0].A.Point, j.Places[0].Posts[0].B.Point))*1e3)
		}
	}
}

// checkPlaces refuses a pair of posts that do not part as the weight opens: no
// spring between them could hold it.
func (j *Job) checkPlaces(r *validator) {
	m := j.Mechanism
	for i, p := range j.Places {
		// Any spring under tension tells: the sign of its moment is the geometry's.
		m.Springs = []flyweights.Spring{{Law: springs.Spring{Rate: 1000, FreeLength: 1e-6}, A: p.Posts[0].A, B: p.Posts[0].B}}
		holds := false
		for _, part := range []float64{0, 0.5, 1} {
			holds = holds || m.SpringMoment(0, part*m.Stop) > 1e-9
		}
		if !holds {
			r.fail(fmt.Sprintf("distributor.spring_places[%d]", i), "a spring there would not be stretched as the weight opens; check the posts and the frame that they are given in")
		}
	}
}

// present returns the curve of the parts now fitted. It refuses a job that does
// not name and describe them all.
func (j *Job) present() (*flyweights.Curve, error) {
	if j == nil || j.Fitted == nil {
		return nil, fmt.Errorf("%w: distributor.springs and drawer do not say what is fitted", ErrJob)
	}
	fitted := j.Fitted
	ok := fitted.Weights >= 0 && fitted.Weights < len(j.Drawer.Weights) && len(fitted.Springs) <= len(j.Places)
	for i, s := range fitted.Springs {
		ok = ok && s < len(j.Drawer.Springs) && len(j.Places[i].Posts) > 0
	}
	if !ok {
		return nil, fmt.Errorf("%w: what is fitted is not in the drawer, or has no place", ErrJob)
	}
	return j.fitted().Curve(nil)
}

// fitted is the mechanism with the parts that are in it now.
func (j *Job) fitted() *flyweights.Mechanism {
	m := j.Mechanism
	m.Weights = j.Drawer.Weights[j.Fitted.Weights].Weights
	for i, s := range j.Fitted.Springs {
		if s >= 0 {
			post := j.Places[i].Posts[0]
			m.Springs = append(m.Springs, flyweights.Spring{Law: j.Drawer.Springs[s].Spring, A: post.A, B: post.B})
		}
	}
	return &m
}

// withPlaces is the mechanism with one spring at each place, whatever its law, to tell
// where springs hang.
func (j *Job) withPlaces() flyweights.Mechanism {
	m := j.Mechanism
	for _, p := range j.Places {
		m.Springs = append(m.Springs, flyweights.Spring{Law: springs.Spring{Rate: 1000, FreeLength: 1e-6}, A: p.Posts[0].A, B: p.Posts[0].B})
	}
	return m
}

// held reports whether the springs now fitted pull the weights back from the end
// of their swing.
func (j *Job) held() bool {
	m := j.fitted()
	moment := 0.0
	for i := range m.Springs {
		moment += m.SpringMoment(i, m.Stop)
	}
	return moment > 0
}

// last is the last name of a path.
func last(path string) string { return path[strings.LastIndex(path, ".")+1:] }
