package drawing

import (
	"math"

	"example.org/bobweight/examples/internal/figure"
	"gonum.org/v1/gonum/spatial/r2"
)

// symbol is one letter of the theory on the drawing.
type symbol struct {
	text, meaning string
	at            r2.Vec // of the letter, m
}

// Symbols draws the usual layout with its weights swung out, and on it every symbol by
// which the theory of the flyweights names a length or an angle.
func Symbols(format string) ([]byte, error) {
	m := usual()
	const phi = 0.75 * usualSwing
	return page(format, func(p *pen) {
		const room = 78.0
		edge := m.extent(usualSwing) + rim + 1e-3
		p.scale = room / (1e3 * edge)
		p.at = r2.Vec{X: room + 4, Y: height / 2}
		p.view(m, phi, usualSwing, edge)
		list := p.lengths(m, phi)
		list = append(list, p.angles(m, phi)...)
		for _, s := range list {
			p.letter(p.on(s.at), s.text)
		}
		at := r2.Vec{X: 2*room + 14, Y: height - 18}
		p.write(at, 4, 0, "The symbols of the theory")
		for _, s := range list {
			at.Y -= 9
			p.letter(r2.Vec{X: at.X + 2, Y: at.Y}, s.text)
			p.write(r2.Vec{X: at.X + 7, Y: at.Y}, 3.4, 0, s.meaning)
		}
		at.Y -= 13
		for _, line := range []string{
			"O, P, C: shaft, pivot of a weight, its centre of mass.", "All is seen as turning with the shaft at ω; the weights swing out alike.",
			"T is the tension of a spring of length L, m the mass of a weight.", "Dashed: where the weight's centre and the cam's mark stand at rest.",
		} {
			p.write(at, 3.2, 0, line)
			at.Y -= 6
		}
	})
}

// lengths draws the lines of the theory.
func (p *pen) lengths(m *mechanism, phi float64) []symbol {
	w := m.weights[0]
	c := turned(w.Centre, w.Pivot, phi)
	a, b := m.moved(m.places[0].a, phi), m.moved(m.places[0].b, phi)
	from := m.slotFrom(usualSwing)
	slot := r2.Scale(m.slot.Radius, r2.Vec{X: math.Cos(from), Y: math.Sin(from)})
	p.style(figure.Orange, 0.35)
	out := m.slot.Radius + m.slot.Pin/2 + 2e-3
	over := m.slot.Pin / 2 / m.slot.Radius // from the middle of the pin to the end of the slot
	var length []r2.Vec
	for _, q := range arc(r2.Vec{}, out, from-over, from+m.slotSweep()+over) {
		length = append(length, p.on(q))
	}
	p.c.Stroke(path(length...))
	for _, ends := range [][2]r2.Vec{{{}, w.Pivot}, {w.Pivot, c}, {{}, c}, {{}, slot}} {
		p.c.Stroke(path(p.on(ends[0]), p.on(ends[1])))
	}
	part := func(a, b r2.Vec, t float64) r2.Vec { return r2.Add(a, r2.Scale(t, r2.Sub(b, a))) }
	along := func(out, share float64) r2.Vec {
		angle := from + share*m.slotSweep()
		return r2.Scale(out*m.slot.Radius, r2.Vec{X: math.Cos(angle), Y: math.Sin(angle)})
	}
	aside := func(q r2.Vec, x, y float64) r2.Vec { return r2.Add(q, r2.Vec{X: x * 1e-3, Y: y * 1e-3}) }
	return []symbol{
		{"O", "axis of the shaft", aside(r2.Vec{}, -2.2, 1.6)},
		{"P", "pivot of the weight", aside(w.Pivot, 2.2, 1.4)},
		{"C", "centre of mass", aside(c, 2, -1.6)},
		{"a", "shaft to pivot", part(r2.Vec{}, w.Pivot, 0.62)},
		{"c", "pivot to centre of mass", part(w.Pivot, c, 0.55)},
		{"R", "shaft to centre of mass, grows as the weight swings out", part(r2.Vec{}, c, 0.7)},
		{"L", "length of a spring, from post to post", part(a, b, 0.5)},
		{"r", "shaft to the middle of the slot", part(r2.Vec{}, slot, 0.6)},
		{"ℓ", "length of the slot, end to end along its middle", along(out/m.slot.Radius, 0.5)},
		{"b", "diameter of the pin in it", along(1, m.cam(phi)/m.slotSweep())},
	}
}

// angles draws the turns of the theory.
func (p *pen) angles(m *mechanism, phi float64) []symbol {
	w := m.weights[0]
	rest := r2.Sub(w.Centre, w.Pivot)
	begin := math.Atan2(rest.Y, rest.X)
	at := func(about r2.Vec, r, angle float64) r2.Vec {
		return r2.Add(about, r2.Vec{X: r * math.Cos(angle), Y: r * math.Sin(angle)})
	}
	sweep := func(about r2.Vec, r, from, to float64) {
		var line []r2.Vec
		for _, q := range arc(about, r, from, to) {
			line = append(line, p.on(q))
		}
		p.c.Stroke(path(line...))
	}
	p.style(ink, 0.25, 1, 1)
	p.c.Stroke(path(p.on(w.Pivot), p.on(at(w.Pivot, r2.Norm(rest)+2e-3, begin))))
	p.c.Stroke(path(p.on(w.Pivot), p.on(at(w.Pivot, 11e-3, 0))))
	p.style(figure.Green, 0.45)
	sweep(w.Pivot, 12e-3, begin, begin+phi)
	sweep(w.Pivot, 7e-3, begin, 0)
	cam := -math.Pi/2 + m.cam(phi)
	sweep(r2.Vec{}, 10e-3, -math.Pi/2, cam)
	edge := m.extent(usualSwing) + rim - 1.5e-3
	sweep(r2.Vec{}, edge, 0.62*math.Pi, 0.8*math.Pi)
	tip := at(r2.Vec{}, edge, 0.8*math.Pi)
	for _, side := range []float64{-1, 1} {
		p.c.Stroke(path(p.on(tip), p.on(at(r2.Vec{}, edge+side*1.1e-3, 0.77*math.Pi))))
	}
	return []symbol{
		{"φ", "swing of the weights from rest, φs at the stop", at(w.Pivot, 12e-3, begin+0.5*phi)},
		{"α", "from the radius outwards to the centre of mass at rest", at(w.Pivot, 7e-3, begin/2)},
		{"θ", "turn of the cam against the plate: the advance", at(r2.Vec{}, 12.6e-3, (cam-math.Pi/2)/2)},
		{"ω", "speed of the shaft", at(r2.Vec{}, edge, 0.7*math.Pi)},
	}
}
