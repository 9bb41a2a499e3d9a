package drawing

import (
	"image/color"
	"math"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"gonum.org/v1/gonum/spatial/r2"
)

// The greys and the one colour of a mechanism. In grey print the parts differ by
// line and shade.
var (
	ink   = color.NRGBA{R: 40, G: 40, B: 40, A: 255}
	plate = color.NRGBA{R: 242, G: 242, B: 242, A: 255}
	body  = color.NRGBA{R: 205, G: 215, B: 225, A: 255}
	faint = color.NRGBA{R: 150, G: 150, B: 150, A: 255}
)

// mechanism is what a drawing shows, in m and rad, in the frame of the plate.
type mechanism struct {
	weights []flyweights.Weight
	places  []place
	linkage flyweights.Linkage
	// clockwise says that the cam turns clockwise as the weights open.
	clockwise bool
	slot      flyweights.Slot // zero where not known
}

// place is a pair of posts with the spring that hangs there, "" for none known.
type place struct {
	name, spring string
	a, b         flyweights.Anchor
}

// turned is a point turned about another one by an angle.
func turned(q, about r2.Vec, angle float64) r2.Vec {
	return r2.Rotate(q, angle, about)
}

// carried is where a point of a weight stands at a swing of the weights, or on the way of
// one that slides.
func carried(w flyweights.Weight, q r2.Vec, phi float64) r2.Vec {
	if w.Slide != (r2.Vec{}) {
		return r2.Add(q, r2.Scale(phi, w.Slide))
	}
	return turned(q, w.Pivot, phi)
}

// slides reports whether the weights slide in place of swinging.
func (m *mechanism) slides() bool { return m.weights[0].Slide != (r2.Vec{}) }

// cam is the turn of the cam, counter-clockwise, at a swing of the weights.
func (m *mechanism) cam(phi float64) float64 {
	theta, _, _ := m.linkage.Cam(phi)
	if m.clockwise {
		return -theta
	}
	return theta
}

// moved is where an anchor stands at a swing of the weights.
func (m *mechanism) moved(a flyweights.Anchor, phi float64) r2.Vec {
	if a.Body == flyweights.Cam {
		return turned(a.Point, r2.Vec{}, m.cam(phi))
	}
	for i, w := range m.weights {
		if a.Body == flyweights.OnWeight(i) {
			return carried(w, a.Point, phi)
		}
	}
	return a.Point
}

// extent is how far from the shaft anything of the mechanism comes, m.
func (m *mechanism) extent(phi float64) float64 {
	far := m.slot.Radius + m.slot.Pin/2
	for _, angle := range []float64{0, phi} {
		for _, w := range m.weights {
			far = max(far, r2.Norm(w.Pivot), r2.Norm(carried(w, w.Centre, angle)))
		}
		for _, s := range m.places {
			far = max(far, r2.Norm(m.moved(s.a, angle)), r2.Norm(m.moved(s.b, angle)))
		}
	}
	return far
}

// rim is how far a weight's outline is drawn beyond its points, m.
const rim = 3.5e-3

// view draws the mechanism at a swing of the weights.
func (p *pen) view(m *mechanism, phi, stop, edge float64) {
	p.c.SetColor(plate)
	p.c.Fill(circle(p.at, 1e3*p.scale*edge))
	p.style(ink, 0.35)
	p.c.Stroke(circle(p.at, 1e3*p.scale*edge))
	p.slot(m, phi, stop)
	for i, w := range m.weights {
		points := []r2.Vec{p.on(carried(w, w.Centre, phi))}
		if !m.slides() {
			points = append(points, p.on(w.Pivot))
		}
		for _, s := range m.places {
			for _, a := range []flyweights.Anchor{s.a, s.b} {
				if a.Body == flyweights.OnWeight(i) {
					points = append(points, p.on(m.moved(a, phi)))
				}
			}
		}
		outline := around(points, 1e3*p.scale*rim)
		p.c.SetColor(body)
		p.c.Fill(outline)
		p.style(ink, 0.3)
		p.c.Stroke(outline)
	}
	p.turningCam(m, phi)
	for _, s := range m.places {
		p.spring(p.on(m.moved(s.a, phi)), p.on(m.moved(s.b, phi)))
	}
	for _, w := range m.weights {
		if !m.slides() {
			p.post(p.on(w.Pivot), 1.6, false)
		}
		p.centre(p.on(carried(w, w.Centre, phi)))
	}
	for _, s := range m.places {
		p.post(p.on(m.moved(s.a, phi)), 1, true)
		p.post(p.on(m.moved(s.b, phi)), 1, true)
	}
}

// slotSweep is the angle between the ends of the pin's way in the slot.
func (m *mechanism) slotSweep() float64 {
	sweep := (m.slot.Length - m.slot.Pin) / m.slot.Radius
	if m.clockwise {
		return -sweep
	}
	return sweep
}

// slotFrom is where round the shaft the pin is drawn at rest: the job does not say, so
// it is where least lies in the way.
func (m *mechanism) slotFrom(stop float64) float64 {
	var others []r2.Vec
	for _, phi := range []float64{0, stop} {
		for _, w := range m.weights {
			centre := carried(w, w.Centre, phi)
			others = append(others, w.Pivot, centre, r2.Scale(0.5, r2.Add(w.Pivot, centre)))
		}
		for _, s := range m.places {
			others = append(others, m.moved(s.a, phi), m.moved(s.b, phi))
		}
	}
	best, room := 0.0, -1.0
	const directions = 72
	for i := range directions {
		from := 2 * math.Pi * float64(i) / directions
		near := math.Inf(1)
		for _, part := range []float64{0, 0.5, 1} {
			angle := from + part*m.slotSweep()
			q := r2.Vec{X: m.slot.Radius * math.Cos(angle), Y: m.slot.Radius * math.Sin(angle)}
			for _, o := range others {
				near = min(near, r2.Norm(r2.Sub(q, o)))
			}
		}
		if near > room+1e-9 {
			best, room = from, near
		}
	}
	return best
}

// slot draws the slot with its pin where the slot is known.
func (p *pen) slot(m *mechanism, phi, stop float64) {
	s := m.slot
	if !(s.Radius > 0) || !(s.Length > 0) {
		return
	}
	from, sweep := m.slotFrom(stop), m.slotSweep()
	var line []r2.Vec
	const steps = 40
	for i := range steps + 1 {
		angle := from + sweep*float64(i)/steps
		line = append(line, p.on(r2.Vec{X: s.Radius * math.Cos(angle), Y: s.Radius * math.Sin(angle)}))
	}
	r := 1e3 * p.scale * s.Pin / 2
	outline := along(line, r+0.4)
	p.c.SetColor(color.White)
	p.c.Fill(outline)
	p.style(ink, 0.3)
	p.c.Stroke(outline)
	at := from + m.cam(phi)
	pin := p.on(r2.Vec{X: s.Radius * math.Cos(at), Y: s.Radius * math.Sin(at)})
	p.c.SetColor(faint)
	p.c.Fill(circle(pin, r))
	p.style(ink, 0.25)
	p.c.Stroke(circle(pin, r))
}

// turningCam draws the cam as a circle with a mark that shows its turn, and the slot
// of a pin that drives it.
func (p *pen) turningCam(m *mechanism, phi float64) {
	r := 1e3 * p.scale * 5e-3
	turn := m.cam(phi)
	p.c.SetColor(color.White)
	p.c.Fill(circle(p.at, r))
	p.style(ink, 0.35)
	p.c.Stroke(circle(p.at, r))
	mark := func(angle float64) r2.Vec {
		return r2.Add(p.at, r2.Scale(1.8*r, r2.Vec{X: math.Cos(angle), Y: math.Sin(angle)}))
	}
	p.style(faint, 0.25, 1, 1)
	p.c.Stroke(path(p.at, mark(-math.Pi/2)))
	p.style(ink, 0.6)
	p.c.Stroke(path(p.at, mark(-math.Pi/2+turn)))
	if pin, ok := m.linkage.(flyweights.PinInSlot); ok {
		at := p.on(turned(pin.Pin, pin.Pivot, phi))
		p.style(faint, 0.3)
		p.c.Stroke(path(p.at, at))
		p.post(at, 1.2, true)
	}
}

// spring draws a coil between two points of the page, with straight ends.
func (p *pen) spring(a, b r2.Vec) {
	d := r2.Sub(b, a)
	length := r2.Norm(d)
	if length == 0 {
		return
	}
	along, across := r2.Scale(1/length, d), r2.Scale(1/length, r2.Vec{X: -d.Y, Y: d.X})
	const turns, part = 9, 0.2
	points := []r2.Vec{a, r2.Add(a, r2.Scale(part*length, along))}
	for i := range 2 * turns {
		x := part + (1-2*part)*(float64(i)+0.5)/(2*turns)
		y := 1.7 * float64(1-2*(i%2))
		points = append(points, r2.Add(r2.Add(a, r2.Scale(x*length, along)), r2.Scale(y, across)))
	}
	points = append(points, r2.Add(a, r2.Scale((1-part)*length, along)), b)
	p.style(figure.Blue, 0.35)
	p.c.Stroke(path(points...))
}

// post draws a post or a pivot.
func (p *pen) post(at r2.Vec, r float64, filled bool) {
	p.c.SetColor(color.White)
	if filled {
		p.c.SetColor(ink)
	}
	p.c.Fill(circle(at, r))
	p.style(ink, 0.3)
	p.c.Stroke(circle(at, r))
}

// centre draws a centre of mass: a ring with a cross.
func (p *pen) centre(at r2.Vec) {
	const r = 1.5
	p.style(ink, 0.25)
	p.c.Stroke(circle(at, r))
	p.c.Stroke(path(r2.Vec{X: at.X - 1.6*r, Y: at.Y}, r2.Vec{X: at.X + 1.6*r, Y: at.Y}))
	p.c.Stroke(path(r2.Vec{X: at.X, Y: at.Y - 1.6*r}, r2.Vec{X: at.X, Y: at.Y + 1.6*r}))
}
