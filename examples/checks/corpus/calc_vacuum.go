package corpus

import (
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

// dimFlow is kg/s, dimGas J/(kg K), dimHeat J/kg.
var (
	dimFlow = quantity.Dim{Mass: 1, Time: -1}
	dimGas  = quantity.Dim{Length: 2, Time: -2, Temperature: -1}
	dimHeat = quantity.Dim{Length: 2, Time: -2}
)

func init() {
	register("standard atmosphere", "air.Standard", func(g *Given) (Found, error) {
		a, err := air.Standard(g.SI("altitude", dimLength))
		return Found{
			"pressure":    SI(a.Pressure, dimPressure),
			"temperature": SI(a.Temperature, dimTemperature),
			"density":     SI(a.Density(), dimDensity),
		}, err
	})
	register("pressure fall with height", "air.Standard", func(g *Given) (Found, error) {
		low, err := air.Standard(g.SI("from", dimLength))
		if err != nil {
			return nil, err
		}
		high, err := air.Standard(g.SI("to", dimLength))
		return Found{"fall": SI(low.Pressure-high.Pressure, dimPressure)}, err
	})
	register("mixture in thin air", "air.Ambient.MixtureRatio", func(g *Given) (Found, error) {
		at := func(pressure, temperature string) air.Ambient {
			return air.Ambient{Pressure: g.SI(pressure, dimPressure), Temperature: g.SI(temperature, dimTemperature)}
		}
		x, err := at("pressure", "temperature").MixtureRatio(g.Number("air to fuel"), at("pressure set", "temperature set"))
		return Found{"air to fuel": Number(x)}, err
	})
	register("flow through an opening", "air.Gas.Flow", func(g *Given) (Found, error) {
		m, err := someGas(g).Flow(g.SI("area", dimArea), g.SI("pressure", dimPressure), g.SI("temperature", dimTemperature), g.SI("back pressure", dimPressure))
		return Found{"flow": SI(m, dimFlow)}, err
	})
	register("critical state", "air.Gas.Critical", func(g *Given) (Found, error) {
		p, t := someGas(g).Critical()
		return Found{
			"pressure":    SI(p*g.SI("pressure", dimPressure), dimPressure),
			"temperature": SI(t*g.SI("temperature", dimTemperature), dimTemperature),
		}, nil
	})
	register("throat speed", "air.Gas.Speed", func(g *Given) (Found, error) {
		p := g.SI("pressure", dimPressure)
		v, err := someGas(g).Speed(p, g.SI("temperature", dimTemperature), p-g.SI("depression", dimPressure))
		return Found{"speed": SI(v, dimSpeed)}, err
	})
	register("throat diameter", "air.Gas.Throat", func(g *Given) (Found, error) {
		v := g.SI("speed", dimSpeed)
		_, density, err := someGas(g).Throat(g.SI("pressure", dimPressure), g.SI("temperature", dimTemperature), v/g.Number("velocity coefficient"))
		area := g.SI("flow", dimFlow) / (density * v)
		return Found{"diameter": SI(math.Sqrt(4/math.Pi*area), dimLength)}, err
	})
	register("throttle pressure function", "airpath.MeasuredRatio", func(g *Given) (Found, error) {
		x, err := airpath.MeasuredRatio(g.Number("pressure ratio"))
		return Found{"share of choked flow": Number(x)}, err
	})
	register("throttle area", "airpath.Throttle.Area", func(g *Given) (Found, error) {
		th := airpath.Throttle{
			Bore: g.SI("bore", dimLength), Shaft: g.SIOr("shaft", dimLength, 0),
			Closed: g.SI("closed", dimAngle), Discharge: 1,
		}
		a, err := th.Area(g.SI("angle", dimAngle))
		return Found{"area": SI(a, dimArea)}, err
	})
	register("manifold filling time", "airpath.Intake.FillTime", func(g *Given) (Found, error) {
		t, err := breathing(g).FillTime(g.CrankRPM("speed", advance.FourStroke))
		return Found{"time": SI(t, dimTime)}, err
	})
	register("manifold pressure", "airpath.Path.Manifold", manifoldPressure)
	register("vacuum of a load", "airpath.Intake.Demand, airpath.Vehicle.Cruise", vacuumOfLoad)
	register("volumetric efficiency", "airpath.Path.Out", volumetricEfficiency)
	register("road load power", "airpath.Vehicle.RoadLoad", func(g *Given) (Found, error) {
		v := g.SI("speed", dimSpeed)
		f, err := vehicle(g).RoadLoad(v, 0, ambient(g))
		return Found{"power": SI(f*v, quantity.Dim{Mass: 1, Length: 2, Time: -3})}, err
	})
	register("diaphragm area", "vacuum.FlatArea, vacuum.ConvolutedArea", func(g *Given) (Found, error) {
		area := vacuum.FlatArea
		if g.Word("fold", "flat", "convoluted") == "convoluted" {
			area = vacuum.ConvolutedArea
		}
		a, err := area(g.SI("clamp", dimLength), g.SI("plate", dimLength))
		return Found{"area": SI(a, dimArea)}, err
	})
	register("vacuum unit", "vacuum.Unit.Advance, vacuum.Unit.Onset, vacuum.Unit.Full", func(g *Given) (Found, error) {
		u := vacuumUnit(g)
		theta, err := u.Advance(g.SI("vacuum", dimPressure))
		return Found{
			"onset":   SI(u.Onset(), dimPressure),
			"full":    SI(u.Full(), dimPressure),
			"advance": CrankDegrees(advance.FourStroke.CrankDegrees(theta)),
		}, err
	})
	register("vacuum unit adjusted", "vacuum.Unit.Adjust", func(g *Given) (Found, error) {
		most := advance.FourStroke.ShaftRadians(g.CrankDegrees("most", advance.FourStroke))
		set, _, err := vacuumUnit(g).Adjust(g.SI("wanted onset", dimPressure), most, vacuum.Adjuster{Pitch: 0.5e-3, Out: 20, In: 20})
		return Found{
			"onset": SI(set.Onset(), dimPressure),
			"most":  CrankDegrees(advance.FourStroke.CrankDegrees(set.Most())),
		}, err
	})
	register("chamber with a leak", "vacuum.Hose.Chamber", func(g *Given) (Found, error) {
		l := vacuum.Hose{Restriction: g.SI("restriction", dimArea), Volume: g.SI("volume", dimVolume), Leak: g.SI("leak", dimArea)}
		p, err := l.Chamber(vacuumUnit(g), ambient(g), g.SI("source", dimPressure))
		return Found{"chamber": SI(p, dimPressure)}, err
	})
}

// someGas is air unless the case gives a gas constant or a heat ratio.
func someGas(g *Given) air.Gas {
	return air.Gas{R: g.SIOr("gas constant", dimGas, air.Dry.R), K: g.SIOr("heat ratio", dimNumber, air.Dry.K)}
}

// ambient is the air around the engine.
func ambient(g *Given) air.Ambient {
	return air.Ambient{Pressure: g.SI("ambient pressure", dimPressure), Temperature: g.SI("ambient temperature", dimTemperature)}
}

// breathing is a four-stroke engine with one volumetric efficiency; quantities that
// a case does not give do not matter to it. Without a compression ratio the
// efficiency is that of the throttled engine.
func breathing(g *Given) airpath.Intake {
	bore := math.Cbrt(g.SI("displacement", dimVolume) / math.Pi) // four cylinders, stroke equal to bore
	ratio := g.SIOr("compression ratio", dimNumber, 0)
	e := knock.NewEngine(4, bore, bore, 2*bore, max(ratio, 8), knock.Fuel{RON: 95, MON: 85})
	e.Filling = []knock.Filling{{RPM: 1000, Efficiency: g.Number("volumetric efficiency")}}
	const none = 1e-12
	return airpath.Intake{
		Engine:          e,
		Volume:          g.SIOr("manifold volume", dimVolume, 1e-3),
		Temperature:     g.SIOr("mixture temperature", dimTemperature, 300),
		BackPressure:    g.SIOr("back pressure", dimPressure, 0),
		OverlapFactor:   max(none, g.SIOr("overlap factor", quantity.Dim{Length: -1, Angle: 1}, 0)*180/math.Pi),
		FilledThrottled: ratio == 0,
	}
}

// manifoldPressure balances a throttle of a given effective area with the engine.
func manifoldPressure(g *Given) (Found, error) {
	th := airpath.Throttle{Bore: 0.04, Discharge: 1, Bypass: g.SI("throttle", dimArea)}
	a := ambient(g)
	path, err := airpath.New(breathing(g), th, a)
	if err != nil {
		return nil, err
	}
	p, err := path.Manifold(th.Closed, g.CrankRPM("speed", advance.FourStroke), 0)
	return Found{"pressure": SI(p, dimPressure), "vacuum": SI(a.Pressure-p, dimPressure)}, err
}

func vehicle(g *Given) airpath.Vehicle {
	return airpath.Vehicle{
		Mass: g.SI("mass", dimMass), Rolling: g.Number("rolling resistance"), DragArea: g.SI("drag area", dimArea),
		TyreRadius: g.SIOr("tyre radius", dimLength, 0.3), Gearing: g.SIOr("gearing", dimNumber, 4),
		Transmission: g.SIOr("transmission", dimNumber, 1),
	}
}

// vacuumOfLoad is the manifold vacuum at idle, or at a road speed where one is
// given.
func vacuumOfLoad(g *Given) (Found, error) {
	in, a := breathing(g), ambient(g)
	var load airpath.Load
	var err error
	if g.Has("road speed") {
		load, err = vehicle(g).Cruise(in, g.SI("road speed", dimSpeed), 0, a)
	} else {
		load.RPM = g.CrankRPM("speed", advance.FourStroke)
	}
	if err != nil {
		return nil, err
	}
	load.Efficiency, load.Heat = g.Number("indicated efficiency"), g.SI("heat per air", dimHeat)
	p, err := in.Demand(load, a)
	return Found{"vacuum": SI(a.Pressure-p, dimPressure)}, err
}

// volumetricEfficiency holds the air that an engine takes against what the library has it
// draw with its cylinders full.
func volumetricEfficiency(g *Given) (Found, error) {
	a, err := air.Standard(0)
	if err != nil {
		return nil, err
	}
	stroke := g.SI("stroke", dimLength)
	e := knock.NewEngine(g.Whole("cylinders"), g.SI("bore", dimLength), stroke, 2*stroke, 8, knock.Fuel{RON: 95, MON: 85})
	e.Filling = []knock.Filling{{RPM: 1000, Efficiency: 1}}
	in := airpath.Intake{Engine: e, Temperature: a.Temperature, OverlapFactor: 1e-12, FilledThrottled: true}
	path, err := airpath.New(in, airpath.Throttle{Bore: 0.04, Discharge: 1}, a)
	if err != nil {
		return nil, err
	}
	full := path.Out(g.CrankRPM("speed", advance.FourStroke), a.Pressure) / a.Density()
	return Found{"volumetric efficiency": Number(g.SI("air", quantity.Dim{Length: 3, Time: -1}) / full)}, nil
}

// vacuumUnit is the vacuum unit of a case.
func vacuumUnit(g *Given) vacuum.Unit {
	return vacuum.Unit{
		Area: g.SI("area", dimArea), Rate: g.SI("rate", dimStiffness), Preload: g.SI("preload", dimForce),
		Travel: g.SI("travel", dimLength), Stroke: g.SIOr("stroke", dimLength, 0), ArmRadius: g.SI("arm", dimLength),
	}
}
