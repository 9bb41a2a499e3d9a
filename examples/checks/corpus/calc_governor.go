package corpus

import (
	"math"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights/governors"
)

func init() {
	register("governor speed", "governors.Governor.SpeedAtRadius, .ControllingForce, .UpperArmTension", governorSpeed)
	register("governor range", "governors.Governor.SpeedAtRadius, .Lift", governorRange)
	register("governor sleeve spring", "governors.Governor.SleeveSpring, .SpeedAtRadius", governorSpring)
	register("governor sleeve force", "governors.Governor.SleeveForce, .SpeedAtRadius", governorForce)
	register("governor effort", "governors.Governor.Effort", governorEffort)
	register("governor insensitiveness", "governors.Governor.Insensitiveness", governorInsensitiveness)
	register("conical pendulum", "governors.Height", conicalPendulum)
	register("controlling force line", "governors.LineThrough, .Speed", controllingLine)
}

// governorOf reads the frame and what hangs on it.
func governorOf(g *Given) governors.Governor {
	length := func(name string) float64 { return g.SIOr(name, dimLength, 0) }
	var frame governors.Linkage
	switch kind := g.Word("frame", "arms", "proell", "crank", "straight crank"); kind {
	case "arms", "proell":
		arms := governors.Arms{
			Upper: g.SI("upper arm", dimLength), Lower: g.SI("lower arm", dimLength),
			Pivot: length("upper offset"), Link: length("lower offset"),
		}
		frame = arms
		if kind == "proell" {
			frame = governors.Proell{Arms: arms, Extension: g.SI("extension", dimLength), Upright: g.SI("upright at", dimLength)}
		}
	default:
		frame = governors.Crank{
			BallArm: g.SI("ball arm", dimLength), SleeveArm: g.SI("sleeve arm", dimLength),
			Radius: g.SI("fulcrum radius", dimLength), Straight: kind == "straight crank",
		}
	}
	return governors.Governor{
		Linkage: frame, BallMass: g.SI("ball mass", dimMass), SleeveMass: g.SIOr("sleeve mass", dimMass, 0),
		Sleeve: governors.Spring{
			Force: g.SIOr("sleeve load", dimForce, 0), Rate: g.SIOr("sleeve rate", dimStiffness, 0),
			From: length("sleeve load at"),
		},
		Ball: governors.Spring{
			Force: g.SIOr("ball spring force", dimForce, 0), Rate: g.SIOr("ball spring rate", dimStiffness, 0),
			From: length("ball spring force at"),
		},
		Friction: g.SIOr("friction", dimForce, 0),
		Gravity:  g.SIOr("gravity", quantity.Dim{Length: 1, Time: -2}, 0),
	}
}

func speedOf(omega float64) quantity.Quantity { return SI(omega, dimAngularSpeed) }

func governorSpeed(g *Given) (Found, error) {
	gov := governorOf(g)
	radius := g.SI("radius", dimLength)
	shares := map[string]float64{"free": 0, "rising": 1, "falling": -1}
	omega, err := gov.SpeedAtRadius(radius, shares[g.WordOr("sense", "free", "free", "rising", "falling")])
	if err != nil {
		return nil, err
	}
	force, err := gov.ControllingForce(radius)
	if err != nil {
		return nil, err
	}
	found := Found{"speed": speedOf(omega), "time of a turn": SI(2*math.Pi/omega, dimTime), "controlling force": SI(force, dimForce)}
	if _, crank := gov.Linkage.(governors.Crank); !crank {
		tension, err := gov.UpperArmTension(radius)
		if err != nil {
			return nil, err
		}
		found["upper arm tension"] = SI(tension, dimForce)
	}
	return found, nil
}

// governorRange is the speed at two radii, falling at the first and rising at
// the second if there is friction.
func governorRange(g *Given) (Found, error) {
	gov := governorOf(g)
	from, to := g.SI("radius 1", dimLength), g.SI("radius 2", dimLength)
	low, err := gov.SpeedAtRadius(from, -1)
	if err != nil {
		return nil, err
	}
	high, err := gov.SpeedAtRadius(to, 1)
	if err != nil {
		return nil, err
	}
	lift, err := gov.Lift(from, to)
	return Found{
		"speed 1": speedOf(low), "speed 2": speedOf(high), "range": speedOf(high - low),
		"sensitiveness": Number((high - low) / ((high + low) / 2)), "lift": SI(lift, dimLength),
	}, err
}

// governorSpring is the spring for two balances, and with it in place what a
// radius between needs.
func governorSpring(g *Given) (Found, error) {
	gov := governorOf(g)
	r1, r2 := g.SI("radius 1", dimLength), g.SI("radius 2", dimLength)
	w1, w2 := g.SI("speed 1", dimAngularSpeed), g.SI("speed 2", dimAngularSpeed)
	s, err := gov.SleeveSpring(r1, w1, r2, w2)
	if err != nil {
		return nil, err
	}
	lift, err := gov.Lift(r1, r2)
	if err != nil {
		return nil, err
	}
	found := Found{
		"force 1": SI(s.Force, dimForce), "force 2": SI(s.Force+s.Rate*lift, dimForce),
		"rate": SI(s.Rate, dimStiffness), "compression": SI(s.Force/s.Rate, dimLength),
	}
	if g.Has("radius") {
		gov.Sleeve = s
		radius := g.SI("radius", dimLength)
		omega, err := gov.SpeedAtRadius(radius, 0)
		if err != nil {
			return nil, err
		}
		dull, err := gov.Insensitiveness(radius)
		if err != nil {
			return nil, err
		}
		found["speed"], found["band"] = speedOf(omega), speedOf(dull*omega)
	}
	return found, nil
}

// governorForce is the force that balances the sleeve at a speed; with "then
// at" also what the governor does elsewhere with that force as friction.
func governorForce(g *Given) (Found, error) {
	gov := governorOf(g)
	f, err := gov.SleeveForce(g.SI("radius", dimLength), g.SI("speed", dimAngularSpeed))
	if err != nil {
		return nil, err
	}
	found := Found{"force": SI(f, dimForce)}
	if g.Has("then at") {
		gov.Friction = f
		radius := g.SI("then at", dimLength)
		for name, share := range map[string]float64{"falling speed": -1, "rising speed": 1} {
			omega, err := gov.SpeedAtRadius(radius, share)
			if err != nil {
				return nil, err
			}
			found[name] = speedOf(omega)
		}
	}
	return found, nil
}

func governorEffort(g *Given) (Found, error) {
	gov := governorOf(g)
	radius, largest := g.SI("radius", dimLength), g.SI("largest radius", dimLength)
	var c float64
	if g.Has("then at") { // the rise of speed that takes the balls there
		low, err := gov.SpeedAtRadius(radius, 0)
		if err != nil {
			return nil, err
		}
		high, err := gov.SpeedAtRadius(g.SI("then at", dimLength), 0)
		if err != nil {
			return nil, err
		}
		c = high/low - 1
	} else {
		c = g.Number("rise of speed")
	}
	omega, err := gov.SpeedAtRadius(radius, 0)
	if err != nil {
		return nil, err
	}
	effort, lift, err := gov.Effort(radius, c, largest)
	return Found{
		"effort": SI(effort, dimForce), "lift": SI(lift, dimLength),
		"power": SI(effort*lift, dimMoment), "new speed": speedOf(omega * (1 + c)),
	}, err
}

func governorInsensitiveness(g *Given) (Found, error) {
	x, err := governorOf(g).Insensitiveness(g.SI("radius", dimLength))
	return Found{"insensitiveness": Number(x)}, err
}

// conicalPendulum is the height of a bob, and its change with speed or the angle of
// its string; the string of a bob stands as steep as the normal of a banked track.
func conicalPendulum(g *Given) (Found, error) {
	gravity := g.SI("gravity", quantity.Dim{Length: 1, Time: -2})
	var omega float64
	if g.Has("speed on the circle") {
		omega = g.SI("speed on the circle", dimSpeed) / g.SI("radius", dimLength)
	} else {
		omega = g.SI("speed", dimAngularSpeed)
	}
	h, err := governors.Height(omega, gravity)
	if err != nil {
		return nil, err
	}
	found := Found{"height": SI(h, dimLength)}
	if g.Has("radius") {
		found["angle"] = SI(math.Atan2(g.SI("radius", dimLength), h), dimAngle)
		return found, nil
	}
	after, err := governors.Height(g.SI("then speed", dimAngularSpeed), gravity)
	found["change"] = SI(h-after, dimLength)
	return found, err
}

// controllingLine is given by spreads, the distances between the balls.
func controllingLine(g *Given) (Found, error) {
	l, err := governors.LineThrough(g.SI("spread 1", dimLength)/2, g.SI("force 1", dimForce),
		g.SI("spread 2", dimLength)/2, g.SI("force 2", dimForce))
	if err != nil {
		return nil, err
	}
	mass, radius := g.SI("ball mass", dimMass), g.SI("spread", dimLength)/2
	omega, err := l.Speed(mass, radius)
	if err != nil {
		return nil, err
	}
	even, err := governors.Line{Slope: l.Slope}.Speed(mass, radius)
	return Found{
		"speed": speedOf(omega), "isochronous speed": speedOf(even),
		"tension for isochronism": SI(-l.Intercept, dimForce),
	}, err
}
