package flyweights

import (
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/num/hyperdual"
	"gonum.org/v1/gonum/spatial/r2"
)

// The linkages once more, in numbers that carry derivatives by the swing and by
// each of the linkage's own dimensions.

// lengths names the two coordinates of each point.
func lengths(names []string, at ...r2.Vec) (ns []named) {
	for i, v := range at {
		ns = append(ns, named{names[i] + " x", "m", v.X}, named{names[i] + " y", "m", v.Y})
	}
	return ns
}

// swung returns where a point has come to that swings about a pivot.
func (a point2) swung(pivot point2, clockwise bool, phi hyper) point2 {
	return pivot.plus(a.minus(pivot).turned(hyperdual.Scale(sense(clockwise), phi)))
}

// signed gives a counter-clockwise turn the linkage's forward sense.
func signed(clockwise bool, turn hyper) hyper { return hyperdual.Scale(sense(clockwise), turn) }

func (r Ratio) numbers() []named { return []named{{"linkage ratio", "rad/rad", r.K}} }

func (r Ratio) vary(phi hyper, p []hyper) hyper { return hyperdual.Mul(p[0], phi) }

func (l PinInSlot) numbers() []named {
	return append(lengths([]string{"slot linkage pivot", "slot linkage pin"}, l.Pivot, l.Pin),
		named{"slot linkage offset", "m", l.Offset})
}

func (l PinInSlot) vary(phi hyper, p []hyper) hyper {
	pivot, pin, offset := point2{p[0], p[1]}, point2{p[2], p[3]}, p[4]
	at := pin.swung(pivot, l.Clockwise, phi)
	lean := func(q point2) hyper { return straight(hyperdual.Asin, hyperdual.Mul(offset, hyperdual.Inv(q.norm()))) }
	return signed(l.TurnsClockwise(), hyperdual.Add(pin.angle(at), hyperdual.Sub(lean(at), lean(pin))))
}

func (l FourBar) numbers() []named {
	return lengths([]string{"four-bar pivot", "four-bar joint", "four-bar cam joint"}, l.Pivot, l.Joint, l.CamJoint)
}

func (l FourBar) vary(phi hyper, p []hyper) hyper {
	pivot, joint, pin := point2{p[0], p[1]}, point2{p[2], p[3]}, point2{p[4], p[5]}
	at := joint.swung(pivot, l.Clockwise, phi)
	link := pin.minus(joint).square()
	delta := hyperdual.Sub(opposite(at.norm(), pin.norm(), link), opposite(joint.norm(), pin.norm(), link))
	return signed(l.TurnsClockwise(), hyperdual.Add(joint.angle(at),
		hyperdual.Scale(crankOf(l.Joint, l.CamJoint).side, delta)))
}

// opposite returns the angle between sides a and b of a triangle by the law of
// cosines, from the square of the third.
func opposite(a, b, square hyper) hyper {
	ab := hyperdual.Mul(a, b)
	sum := hyperdual.Sub(hyperdual.Add(hyperdual.Mul(a, a), hyperdual.Mul(b, b)), square)
	return hyperdual.Acos(hyperdual.Scale(0.5, hyperdual.Mul(sum, hyperdual.Inv(ab))))
}

func (l Radial) numbers() []named {
	return []named{
		{"radial linkage rest radius", "m", l.Rest}, {"radial linkage reach", "m/rad", l.Reach},
		{"radial linkage crank", "m", l.Crank}, {"radial linkage rod", "m", l.Rod},
	}
}

func (l Radial) vary(phi hyper, p []hyper) hyper {
	rod := hyperdual.Mul(p[3], p[3])
	out := hyperdual.Add(p[0], hyperdual.Mul(p[1], phi))
	turn := hyperdual.Sub(opposite(p[0], p[2], rod), opposite(out, p[2], rod))
	// The crank closes on the guide as the slider moves out, or opens if the
	// joint at rest is nearer than the foot of the dead point.
	return signed(l.Rest*l.Rest < l.Crank*l.Crank-l.Rod*l.Rod, turn)
}

func (l Rolling) numbers() []named {
	return []named{
		{"rolling linkage centre distance", "m", l.Centres}, {"rolling linkage radius", "m", l.Radius},
		{"rolling linkage growth", "m/rad", l.Growth},
	}
}

// vary integrates r/(Centres - r) by Gauss and Legendre, which also holds where
// the closed form is 0/0 because the growth is 0.
func (l Rolling) vary(phi hyper, p []hyper) hyper {
	var at, weight [24]float64
	quad.Legendre{}.FixedLocations(at[:], weight[:], 0, 1)
	var sum hyper
	for i := range at {
		r := hyperdual.Add(p[1], hyperdual.Mul(p[2], hyperdual.Scale(at[i], phi)))
		sum = hyperdual.Add(sum, hyperdual.Scale(weight[i], hyperdual.Mul(r, hyperdual.Inv(hyperdual.Sub(p[0], r)))))
	}
	return hyperdual.Mul(phi, sum)
}

func (l Follower) numbers() []named {
	return append(lengths([]string{"follower pivot", "follower roller"}, l.Pivot, l.Roller),
		named{"follower slope", "rad/m", l.Slope}, named{"follower bend", "rad/m^2", l.Bend})
}

func (l Follower) vary(phi hyper, p []hyper) hyper {
	pivot, roller := point2{p[0], p[1]}, point2{p[2], p[3]}
	at := roller.swung(pivot, l.Clockwise, phi)
	x := hyperdual.Sub(at.norm(), roller.norm())
	path := hyperdual.Mul(hyperdual.Add(p[4], hyperdual.Mul(p[5], x)), x)
	return signed(l.TurnsClockwise(), hyperdual.Sub(roller.angle(at), path))
}
