package drawing

import (
	"errors"
	"fmt"
	"math"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"gonum.org/v1/gonum/spatial/r2"
)

// ErrMechanism is returned for a job that does not describe its mechanism.
var ErrMechanism = errors.New("drawing: the job does not give weights, spring places and what turns the cam")

// Describes reports whether a job tells enough of its mechanism to be drawn.
func Describes(j *job.Job) bool {
	return len(j.Mechanism.Weights) > 0 && len(j.Places) > 0 && j.Mechanism.Linkage != nil && j.Mechanism.Stop > 0
}

// Distributor draws the mechanism of a job at rest and all in, as it is now, with its
// dimensions. The format is "svg", or another one of gonum/plot whose back-end the
// program imports. Errors are [ErrMechanism] and those of the back-end.
func Distributor(j *job.Job, format string) ([]byte, error) {
	if !Describes(j) {
		return nil, ErrMechanism
	}
	m := &mechanism{
		weights: j.Mechanism.Weights, linkage: j.Mechanism.Linkage,
		clockwise: j.Mechanism.CamClockwise, slot: j.Slot,
	}
	for i, p := range j.Places {
		s := place{name: p.Name, a: p.Posts[0].A, b: p.Posts[0].B}
		if j.Fitted != nil && i < len(j.Fitted.Springs) {
			s.spring = "none"
			if n := j.Fitted.Springs[i]; n >= 0 {
				s.spring = j.Drawer.Springs[n].Name
			}
		}
		m.places = append(m.places, s)
	}
	return page(format, func(p *pen) {
		p.head(j.Title, "The mechanism as the job gives it. "+m.seen())
		rows := m.rows(j.Mechanism.Stop, func(x quantity.Length) string { return x.Both() })
		for _, s := range m.places {
			if s.spring != "" {
				rows = append(rows, row{name: "spring at " + s.name + ": " + s.spring})
			}
		}
		p.both(m, j.Mechanism.Stop, rows)
		p.scaleBar()
	})
}

// Form draws the page to measure with: a mechanism of the usual layout, the letters of
// its dimensions, and lines to fill in.
func Form(format string) ([]byte, error) {
	m := usual()
	return page(format, func(p *pen) {
		p.head("Measuring form", "Not to scale for your distributor. Measure centre to centre, weights at rest, each weight and spring by itself. "+m.seen())
		rows := m.rows(usualSwing, func(quantity.Length) string { return "____________" })
		for _, name := range []string{
			"weights_count ______   mass of each ______ ______ g", "second place: D ______  E ______  F ______",
			"spring 1: free_length ________  slack ________", "   diameter _______  coil_outside _______  turns ____",
			"spring 2: free_length ________  slack ________", "   diameter _______  coil_outside _______  turns ____",
			"load and length of each, if a scale is at hand:", "   ______ at ______     ______ at ______",
			"cam turn at full swing ______ deg dist of ______ deg", "points gap or dwell ________   damper_diameter ________",
			"vehicle, tag ______________________  date __________",
		} {
			rows = append(rows, row{name: name})
		}
		p.both(m, usualSwing, rows)
	})
}

// usualSwing is how far the weights of the usual layout swing, rad.
const usualSwing = 0.4

// usual is a layout of our own that many distributors resemble: two weights, two
// springs, a slot.
func usual() *mechanism {
	m := &mechanism{linkage: flyweights.Ratio{K: 0.8}, slot: flyweights.Slot{Length: 11.4e-3, Pin: 5e-3, Radius: 20e-3}}
	for i := range 2 {
		turn := func(x, y float64) r2.Vec { return r2.Rotate(r2.Vec{X: x, Y: y}, math.Pi*float64(i), r2.Vec{}) }
		m.weights = append(m.weights, flyweights.Weight{Pivot: turn(23e-3, 0), Centre: turn(9e-3, -13e-3)})
		m.places = append(m.places, place{
			name: []string{"first place", "second place"}[i],
			a:    flyweights.Anchor{Body: flyweights.Plate, Point: turn(6e-3, 13e-3)},
			b:    flyweights.Anchor{Body: flyweights.OnWeight(i), Point: turn(13e-3, -12e-3)},
		})
	}
	return m
}

// head writes what the page is.
func (p *pen) head(title, more string) {
	p.write(r2.Vec{X: 4, Y: height - 6}, 5, 0, title)
	p.write(r2.Vec{X: 4, Y: height - 13}, 3.3, 0, more)
}

// seen says from which side the mechanism is drawn.
func (m *mechanism) seen() string {
	switch {
	case !m.slides():
		return "Seen from the side on which an opening weight turns counter-clockwise."
	case m.clockwise:
		return "Seen from the side on which the weights turn the cam clockwise as they slide out."
	}
	return "Seen from the side on which the weights turn the cam counter-clockwise as they slide out."
}

// both draws the two views, the dimensions in the first, and the list of them.
func (p *pen) both(m *mechanism, phi float64, rows []row) {
	const room = 58.0 // mm round each shaft
	edge := m.extent(phi) + rim + 1e-3
	p.scale = figureScale(room / (1e3 * edge))
	for i, name := range []string{"At rest", "All in"} {
		p.at = r2.Vec{X: 72 + 133*float64(i), Y: height - 20 - room}
		swing := phi * float64(i)
		p.view(m, swing, phi, edge)
		if i == 0 {
			p.dimensions(m, rows)
		} else if rows[0].given {
			theta, _, _ := m.linkage.Cam(phi)
			way := fmt.Sprintf("swung %.1f deg", phi*180/math.Pi)
			if m.slides() {
				way = fmt.Sprintf("out by %.1f mm", 1e3*phi*r2.Norm(m.weights[0].Slide))
			}
			name = fmt.Sprintf("All in: weights %s, cam turned %.1f deg (distributor)", way, theta*180/math.Pi)
			p.names(m, swing)
		}
		p.write(r2.Vec{X: p.at.X, Y: p.at.Y - room - 3}, 3.5, -0.5, name)
	}
	p.list(rows)
}

// names writes beside each spring the name of its place.
func (p *pen) names(m *mechanism, swing float64) {
	for _, s := range m.places {
		a, b := p.on(m.moved(s.a, swing)), p.on(m.moved(s.b, swing))
		middle := r2.Scale(0.5, r2.Add(a, b))
		// Square to the spring, away from the shaft.
		along := r2.Sub(b, a)
		off := r2.Scale(5/math.Max(r2.Norm(along), 1e-9), r2.Vec{X: -along.Y, Y: along.X})
		if r2.Dot(off, r2.Sub(middle, p.at)) < 0 {
			off = r2.Scale(-1, off)
		}
		align := -0.5
		if math.Abs(off.X) > 2.5 { // a steep spring: the name begins, or ends, beside it
			align = math.Min(0, math.Copysign(1, off.X))
			off = r2.Scale(0.7, off)
		}
		p.write(r2.Add(middle, off), 3.5, align, s.name)
	}
}

// figureScale is the largest handy scale that fits.
func figureScale(most float64) float64 {
	best := most
	for _, s := range []float64{0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4} {
		if s <= most {
			best = s
		}
	}
	return best
}

// row is one dimension of the list, or a line without a letter.
type row struct {
	letter, name, value string
	a, b                r2.Vec  // between which it is taken, m
	along               float64 // where the letter stands, 0 at a to 1 at b
	given               bool    // the value is a figure, not a line to fill in
	sign                bool    // a letter beside a thing instead of a line between two
}

// rows are the dimensions of a mechanism, named as the job file names them.
func (m *mechanism) rows(phi float64, value func(quantity.Length) string) []row {
	var out []row
	given := value(1) != value(2)
	add := func(name string, a, b r2.Vec, along float64) {
		letter := string(rune('A' + len(out)))
		out = append(out, row{letter: letter, name: name, value: value(quantity.Length(r2.Norm(r2.Sub(b, a)))), a: a, b: b, along: along, given: given})
	}
	w := m.weights[0]
	if m.slides() {
		add("centre to shaft", r2.Vec{}, w.Centre, 0.75)
		for i, s := range m.places {
			switch {
			case i == 0:
				add("posts apart ("+s.name+")", s.a.Point, s.b.Point, 0.18)
			case given:
				out = append(out, row{name: fmt.Sprintf("%s: B %s", s.name, quantity.Length(r2.Norm(r2.Sub(s.a.Point, s.b.Point))))})
			}
		}
		return append(append(out, m.unlike(given)...), m.slotRows(phi, value)...)
	}
	add("pivot_radius", r2.Vec{}, w.Pivot, 0.62)
	add("centre_to_pivot", w.Centre, w.Pivot, 0.5)
	add("centre_to_shaft", r2.Vec{}, w.Centre, 0.75)
	for i, s := range m.places {
		about := 0
		for n := range m.weights {
			if s.b.Body == flyweights.OnWeight(n) {
				about = n
			}
		}
		pivot := m.weights[about].Pivot
		if i == 0 {
			add(toPost(s.a.Body), pivot, s.a.Point, 0.75)
			add(toPost(s.b.Body), pivot, s.b.Point, 0.3)
			if s.a.Body != flyweights.Plate && s.a.Body != flyweights.Cam {
				out[len(out)-2].name = "pivot to the post on the other weight"
			}
			add("posts_apart", s.a.Point, s.b.Point, 0.18)
			out[len(out)-1].name += " (" + s.name + ")"
			continue
		}
		if !given {
			continue // a form has lines of its own
		}
		out = append(out, row{name: fmt.Sprintf("%s: D %s, E %s, F %s", s.name,
			quantity.Length(r2.Norm(r2.Sub(pivot, s.a.Point))), quantity.Length(r2.Norm(r2.Sub(pivot, s.b.Point))), quantity.Length(r2.Norm(r2.Sub(s.a.Point, s.b.Point))))})
	}
	return append(append(out, m.unlike(given)...), m.slotRows(phi, value)...)
}

// unlike are the centres of weights that differ from the first one's, with its letters.
func (m *mechanism) unlike(given bool) []row {
	var out []row
	far := func(a, b r2.Vec) quantity.Length { return quantity.Length(r2.Norm(r2.Sub(a, b))) }
	first := m.weights[0]
	for i, w := range m.weights {
		shaft, pivot := far(w.Centre, r2.Vec{}), far(w.Centre, w.Pivot)
		alike := math.Abs(float64(shaft-far(first.Centre, r2.Vec{}))) < sameLength && math.Abs(float64(pivot-far(first.Centre, first.Pivot))) < sameLength
		switch {
		case alike || !given: // a form has lines of its own
		case m.slides():
			out = append(out, row{name: fmt.Sprintf("weight %d: A %s", i+1, shaft)})
		default:
			out = append(out, row{name: fmt.Sprintf("weight %d: B %s, C %s", i+1, pivot, shaft)})
		}
	}
	return out
}

// sameLength is the difference of two lengths that no print shows, m.
const sameLength = 1e-6

// toPost names the distance from a weight's pivot to a post.
func toPost(body flyweights.Body) string {
	switch body {
	case flyweights.Plate:
		return "pivot_to_plate_post"
	case flyweights.Cam:
		return "pivot to the post on the cam"
	}
	return "pivot_to_weight_post"
}

// slotRows are the dimensions of the slot and of a pin that drives the cam.
func (m *mechanism) slotRows(phi float64, value func(quantity.Length) string) []row {
	var out []row
	if s := m.slot; s.Radius > 0 && s.Length > 0 {
		from := m.slotFrom(phi)
		at := r2.Scale(s.Radius, r2.Vec{X: math.Cos(from), Y: math.Sin(from)})
		out = append(out,
			row{letter: "G", name: "slot.radius", value: value(quantity.Length(s.Radius)), b: at, along: 0.35},
			row{letter: "H", name: "slot.length, end to end along its middle", value: value(quantity.Length(s.Length)), a: at, b: r2.Scale(1+5e-3/s.Radius, at), along: 1, sign: true},
			row{letter: "I", name: "slot.pin, diameter", value: value(quantity.Length(s.Pin)), a: at, b: r2.Scale(1-5e-3/s.Radius, at), along: 1, sign: true})
	}
	if pin, ok := m.linkage.(flyweights.PinInSlot); ok {
		out = append(out, row{letter: "K", name: "cam_pin to the shaft", value: value(quantity.Length(r2.Norm(pin.Pin))), b: pin.Pin, along: 0.5})
	}
	return out
}

// dimensions draws the dimensions with their letters.
func (p *pen) dimensions(m *mechanism, rows []row) {
	for _, d := range rows {
		if d.letter != "" && !d.sign {
			p.style(figure.Orange, 0.25, 1.2, 0.8)
			p.c.Stroke(path(p.on(d.a), p.on(d.b)))
		}
	}
	for _, d := range rows {
		if d.letter != "" {
			p.letter(p.on(r2.Add(d.a, r2.Scale(d.along, r2.Sub(d.b, d.a)))), d.letter)
		}
	}
}

// list writes the dimensions below the views, in three columns.
func (p *pen) list(rows []row) {
	const lines, step, column = 9, 4.8, 92.0
	for i, d := range rows {
		at := r2.Vec{X: 5 + column*float64(i/lines), Y: 42 - step*float64(i%lines)}
		text := d.name
		if d.letter != "" {
			p.letter(r2.Vec{X: at.X + 1, Y: at.Y}, d.letter)
			text += "  " + d.value
			at.X += 6
		}
		p.write(at, 3.2, 0, text)
	}
}

// scaleBar is a scale that still holds where the page was printed smaller.
func (p *pen) scaleBar() {
	at := r2.Vec{X: width - 60, Y: height - 6}
	bar := 10 * p.scale
	p.style(ink, 0.4)
	p.c.Stroke(path(at, r2.Vec{X: at.X + bar, Y: at.Y}))
	for _, x := range []float64{0, bar} {
		p.c.Stroke(path(r2.Vec{X: at.X + x, Y: at.Y - 1.2}, r2.Vec{X: at.X + x, Y: at.Y + 1.2}))
	}
	p.write(r2.Vec{X: at.X + bar + 2, Y: at.Y}, 3.2, 0, fmt.Sprintf("10 mm, scale %.3g:1", p.scale))
}
