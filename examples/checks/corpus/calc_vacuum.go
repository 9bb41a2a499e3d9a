package corpus

import (
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/vacuum"
)

// dimFlow is kg/s, dimGas J/(kg K), dimHeat J/kg.
var (
	dimFlow = quantity.Dim{Mass: 1, Time: -1}
	dimGas  = quantity.Dim{Length: 2, Time: -2, Temperature: -1}
	dimHeat = quantity.Dim{Length: 2, Time: -2}
)

func init() {
	register("standard atmosphere", "vacuum.Standard", func(g *Given) (Found, error) {
		a, err := vacuum.Standard(g.SI("altitude", quantity.DimLength))
		return Found{
			"pressure":    SI(a.Pressure, quantity.DimPressure),
			"temperature": SI(a.Temperature, quantity.DimTemperature),
			"density":     SI(a.Density(), quantity.DimDensity),
		}, err
	})
	register("pressure fall with height", "vacuum.Standard", func(g *Given) (Found, error) {
		low, err := vacuum.Standard(g.SI("from", quantity.DimLength))
		if err != nil {
			return nil, err
		}
		high, err := vacuum.Standard(g.SI("to", quantity.DimLength))
		return Found{"fall": SI(low.Pressure-high.Pressure, quantity.DimPressure)}, err
	})
	register("mixture in thin air", "vacuum.Ambient.MixtureRatio", func(g *Given) (Found, error) {
		air := func(pressure, temperature string) vacuum.Ambient {
			return vacuum.Ambient{Pressure: g.SI(pressure, quantity.DimPressure), Temperature: g.SI(temperature, quantity.DimTemperature)}
		}
		x, err := air("pressure", "temperature").MixtureRatio(g.Number("air to fuel"), air("pressure set", "temperature set"))
		return Found{"air to fuel": Number(x)}, err
	})
	register("flow through an opening", "vacuum.Gas.Flow", func(g *Given) (Found, error) {
		m, err := someGas(g).Flow(g.SI("area", quantity.DimArea), g.SI("pressure", quantity.DimPressure), g.SI("temperature", quantity.DimTemperature), g.SI("back pressure", quantity.DimPressure))
		return Found{"flow": SI(m, dimFlow)}, err
	})
	register("critical state", "vacuum.Gas.Critical", func(g *Given) (Found, error) {
		p, t := someGas(g).Critical()
		return Found{
			"pressure":    SI(p*g.SI("pressure", quantity.DimPressure), quantity.DimPressure),
			"temperature": SI(t*g.SI("temperature", quantity.DimTemperature), quantity.DimTemperature),
		}, nil
	})
	register("throat speed", "vacuum.Gas.Speed", func(g *Given) (Found, error) {
		p := g.SI("pressure", quantity.DimPressure)
		v, err := someGas(g).Speed(p, g.SI("temperature", quantity.DimTemperature), p-g.SI("depression", quantity.DimPressure))
		return Found{"speed": SI(v, quantity.DimSpeed)}, err
	})
	register("throat diameter", "vacuum.Gas.Throat", func(g *Given) (Found, error) {
		v := g.SI("speed", quantity.DimSpeed)
		_, density, err := someGas(g).Throat(g.SI("pressure", quantity.DimPressure), g.SI("temperature", quantity.DimTemperature), v/g.Number("velocity coefficient"))
		area := g.SI("flow", dimFlow) / (density * v)
		return Found{"diameter": SI(math.Sqrt(4/math.Pi*area), quantity.DimLength)}, err
	})
	register("throttle pressure function", "vacuum.MeasuredRatio", func(g *Given) (Found, error) {
		x, err := vacuum.MeasuredRatio(g.Number("pressure ratio"))
		return Found{"share of choked flow": Number(x)}, err
	})
	register("throttle area", "vacuum.Throttle.Area", func(g *Given) (Found, error) {
		th := vacuum.Throttle{
			Bore: g.SI("bore", quantity.DimLength), Shaft: g.SIOr("shaft", quantity.DimLength, 0),
			Closed: g.SI("closed", quantity.DimAngle), Discharge: 1,
		}
		a, err := th.Area(g.SI("angle", quantity.DimAngle))
		return Found{"area": SI(a, quantity.DimArea)}, err
	})
	register("manifold filling time", "vacuum.Engine.FillTime", func(g *Given) (Found, error) {
		t, err := breathing(g).FillTime(distributorSpeed(g))
		return Found{"time": SI(t, quantity.DimTime)}, err
	})
	register("manifold pressure", "vacuum.Engine.Manifold", manifoldPressure)
	register("vacuum of a load", "vacuum.Engine.Demand, vacuum.MotoredFriction, vacuum.Vehicle.Cruise", vacuumOfLoad)
	register("road load power", "vacuum.Vehicle.RoadLoad", func(g *Given) (Found, error) {
		v := g.SI("speed", quantity.DimSpeed)
		f, err := vehicle(g).RoadLoad(v, 0, ambient(g))
		return Found{"power": SI(f*v, quantity.Dim{Mass: 1, Length: 2, Time: -3})}, err
	})
	register("diaphragm area", "vacuum.FlatArea, vacuum.ConvolutedArea", func(g *Given) (Found, error) {
		area := vacuum.FlatArea
		if g.Word("fold", "flat", "convoluted") == "convoluted" {
			area = vacuum.ConvolutedArea
		}
		a, err := area(g.SI("clamp", quantity.DimLength), g.SI("plate", quantity.DimLength))
		return Found{"area": SI(a, quantity.DimArea)}, err
	})
	register("vacuum unit", "vacuum.Unit.Advance, vacuum.Unit.Onset, vacuum.Unit.Full", func(g *Given) (Found, error) {
		u := vacuumUnit(g)
		theta, err := u.Advance(g.SI("vacuum", quantity.DimPressure))
		return Found{
			"onset":   SI(u.Onset(), quantity.DimPressure),
			"full":    SI(u.Full(), quantity.DimPressure),
			"advance": CrankDegrees(advance.FourStroke.CrankDegrees(theta)),
		}, err
	})
	register("vacuum unit adjusted", "vacuum.Unit.Adjust", func(g *Given) (Found, error) {
		most := advance.FourStroke.ShaftRadians(g.CrankDegrees("most", advance.FourStroke))
		a, err := vacuumUnit(g).Adjust(g.SI("wanted onset", quantity.DimPressure), most, vacuum.Adjuster{Pitch: 0.5e-3, Out: 20, In: 20})
		return Found{
			"onset": SI(a.Unit.Onset(), quantity.DimPressure),
			"most":  CrankDegrees(advance.FourStroke.CrankDegrees(a.Unit.Most())),
		}, err
	})
	register("chamber with a leak", "vacuum.Line.Chamber", func(g *Given) (Found, error) {
		l := vacuum.Line{Restriction: g.SI("restriction", quantity.DimArea), Volume: g.SI("volume", quantity.DimVolume), Leak: g.SI("leak", quantity.DimArea)}
		p, err := l.Chamber(vacuumUnit(g), ambient(g), g.SI("source", quantity.DimPressure))
		return Found{"chamber": SI(p, quantity.DimPressure)}, err
	})
}

// someGas is air unless the case gives a gas constant or a heat ratio.
func someGas(g *Given) vacuum.Gas {
	return vacuum.Gas{R: g.SIOr("gas constant", dimGas, vacuum.Air.R), K: g.SIOr("heat ratio", quantity.DimNumber, vacuum.Air.K)}
}

// ambient is the air around the engine.
func ambient(g *Given) vacuum.Ambient {
	return vacuum.Ambient{Pressure: g.SI("ambient pressure", quantity.DimPressure), Temperature: g.SI("ambient temperature", quantity.DimTemperature)}
}

// breathing is a four-stroke engine with one volumetric efficiency; quantities that
// a case does not give do not matter to it.
func breathing(g *Given) vacuum.Engine {
	return vacuum.Engine{
		Displacement: g.SI("displacement", quantity.DimVolume),
		Volume:       g.SIOr("manifold volume", quantity.DimVolume, 1e-3),
		Temperature:  g.SIOr("mixture temperature", quantity.DimTemperature, 300),
		Back:         g.SIOr("back pressure", quantity.DimPressure, 0),
		Overlap:      g.SIOr("overlap factor", quantity.Dim{Length: -1, Angle: 1}, 0) * 180 / math.Pi,
		Compression:  g.SIOr("compression ratio", quantity.DimNumber, 0),
		Drive:        float64(advance.FourStroke),
		Filling:      []vacuum.Filling{{Omega: 0, Efficiency: g.Number("volumetric efficiency")}},
	}
}

// distributorSpeed is the distributor's speed in rad/s.
func distributorSpeed(g *Given) float64 {
	return advance.FourStroke.Omega(g.CrankRPM("speed", advance.FourStroke))
}

// manifoldPressure balances a throttle of a given effective area with the engine.
func manifoldPressure(g *Given) (Found, error) {
	th := vacuum.Throttle{Bore: 0.04, Discharge: 1, Bypass: g.SI("throttle", quantity.DimArea)}
	air := ambient(g)
	p, err := breathing(g).Manifold(th, th.Closed, distributorSpeed(g), air)
	return Found{"pressure": SI(p, quantity.DimPressure), "vacuum": SI(air.Pressure-p, quantity.DimPressure)}, err
}

func vehicle(g *Given) vacuum.Vehicle {
	return vacuum.Vehicle{
		Mass: g.SI("mass", quantity.DimMass), Rolling: g.Number("rolling resistance"), DragArea: g.SI("drag area", quantity.DimArea),
		TyreRadius: g.SIOr("tyre radius", quantity.DimLength, 0.3), Gearing: g.SIOr("gearing", quantity.DimNumber, 4),
		Transmission: g.SIOr("transmission", quantity.DimNumber, 1),
	}
}

// vacuumOfLoad is the manifold vacuum at idle, or at a road speed where one is
// given.
func vacuumOfLoad(g *Given) (Found, error) {
	e, air := breathing(g), ambient(g)
	load := vacuum.Load{Efficiency: g.Number("indicated efficiency"), Heat: g.SI("heat per air", dimHeat)}
	var err error
	if g.Has("road speed") {
		load.Omega, load.Brake, err = vehicle(g).Cruise(e, g.SI("road speed", quantity.DimSpeed), 0, air)
	} else {
		load.Omega = distributorSpeed(g)
	}
	if err != nil {
		return nil, err
	}
	if load.Friction, err = vacuum.MotoredFriction(advance.FourStroke.RPM(load.Omega)); err != nil {
		return nil, err
	}
	p, err := e.Demand(load, air)
	return Found{"vacuum": SI(air.Pressure-p, quantity.DimPressure)}, err
}

// vacuumUnit is the vacuum unit of a case.
func vacuumUnit(g *Given) vacuum.Unit {
	return vacuum.Unit{
		Area: g.SI("area", quantity.DimArea), Rate: g.SI("rate", quantity.DimStiffness), Preload: g.SI("preload", quantity.DimForce),
		Travel: g.SI("travel", quantity.DimLength), Stroke: g.SIOr("stroke", quantity.DimLength, 0), ArmRadius: g.SI("arm", quantity.DimLength),
	}
}
