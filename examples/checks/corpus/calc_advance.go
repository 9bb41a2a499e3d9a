package corpus

import (
	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
)

func init() {
	register("shaft angle", "advance.FourStroke, quantity.Angle", shaftAngle)
	register("shaft speed", "advance.FourStroke, quantity.Speed", shaftSpeed)
	register("electrical delay", "advance.DelayDegrees", func(g *Given) (Found, error) {
		deg := advance.DelayDegrees(g.SI("delay", dimTime), g.CrankRPM("speed", advance.FourStroke))
		return Found{"late by": CrankDegrees(deg)}, nil
	})
	register("rim distance", "sheet.RimDistance", func(g *Given) (Found, error) {
		arc, err := sheet.RimDistance(g.SI("damper", dimLength), g.CrankDegrees("angle", advance.FourStroke))
		return Found{"arc": SI(arc, dimLength)}, err
	})
	register("slot", "flyweights.Slot.Travel, flyweights.Slot.Closing", slot)
	register("set at idle", "advance.Distributor.Total, flyweights.Lumped.Curve", setAtIdle)
	register("setting speed", "sheet.New", settingSpeed)
}

// onDist makes a found value on the distributor shaft.
func onDist(x float64, d quantity.Dim) quantity.Quantity {
	return quantity.Quantity{SI: x, Dim: d, Shaft: quantity.Distributor}
}

func shaftAngle(g *Given) (Found, error) {
	crank := g.CrankDegrees("angle", advance.FourStroke)
	dist, err := quantity.Angle{Value: crank, Shaft: quantity.Crank}.Dist(advance.FourStroke)
	return Found{"crank": CrankDegrees(crank), "dist": onDist(dist, dimAngle)}, err
}

func shaftSpeed(g *Given) (Found, error) {
	crank := g.CrankRPM("speed", advance.FourStroke)
	dist, err := quantity.Speed{Value: crank, Shaft: quantity.Crank}.Dist(advance.FourStroke)
	return Found{"crank": CrankRPM(crank), "dist": onDist(dist, dimAngularSpeed)}, err
}

// slot finds the advance that a slot lets through, and by how much to close it.
// A slot closed by that much is asked again for its travel.
func slot(g *Given) (Found, error) {
	drive := advance.FourStroke
	s := flyweights.Slot{
		Length: g.SI("length", dimLength),
		Pin:    g.SI("pin", dimLength),
		Radius: g.SI("radius", dimLength),
	}
	travel, err := s.Travel()
	if err != nil {
		return nil, err
	}
	found := Found{"travel": CrankDegrees(drive.CrankDegrees(travel))}
	if !g.Has("wanted") {
		return found, nil
	}
	close, err := s.Closing(drive.ShaftRadians(g.CrankDegrees("wanted", drive)))
	if err != nil {
		return nil, err
	}
	found["close by"] = SI(close, dimLength)
	s.Length -= close
	after, err := s.Travel()
	found["travel after"] = CrankDegrees(drive.CrankDegrees(after))
	return found, err
}

// lumped reads the mechanism of somebody with a scale and a degree wheel.
func lumped(g *Given, drive advance.Drive) (*flyweights.Curve, error) {
	return flyweights.Lumped{
		WeightMass:       g.SI("weight mass", dimMass),
		PivotRadius:      g.SI("pivot radius", dimLength),
		CentreDistance:   g.SI("centre distance", dimLength),
		CentreAngle:      g.SI("centre angle", dimAngle),
		SpringMomentRest: g.SI("spring moment at rest", dimMoment),
		SpringMomentStop: g.SI("spring moment at the stop", dimMoment),
		Travel:           drive.ShaftRadians(g.CrankDegrees("travel", drive)),
		Ratio:            g.Number("ratio"),
	}.Curve(nil)
}

// setAtIdle sets the static timing so that idle shows a wanted reading, with a
// mechanism whose advance may have begun there, and looks what becomes of the
// total.
func setAtIdle(g *Given) (Found, error) {
	drive := advance.FourStroke
	curve, err := lumped(g, drive)
	if err != nil {
		return nil, err
	}
	d := advance.Distributor{Drive: drive, Static: g.CrankDegrees("static", drive), Mechanism: curve}
	idle, fast := g.CrankRPM("idle", drive), g.CrankRPM("set at", drive)
	read := func(rpm float64) float64 {
		var deg float64
		if err == nil {
			deg, err = d.Total(rpm, 0, flyweights.Rising)
		}
		return deg
	}
	idleBefore, totalBefore := read(idle), read(fast)
	d.Static -= idleBefore - g.CrankDegrees("idle reading wanted", drive)
	idleAfter, totalAfter := read(idle), read(fast)
	return Found{
		"idle reading":  CrankDegrees(idleBefore),
		"begun at idle": CrankDegrees(d.Mechanical(idle, flyweights.Rising)),
		"total":         CrankDegrees(totalBefore),
		"idle after":    CrankDegrees(idleAfter),
		"total after":   CrankDegrees(totalAfter),
		"total short":   CrankDegrees(totalBefore - totalAfter),
		// What the total falls short of by more than the idle reading began with.
		"short beyond begun": CrankDegrees(totalBefore - totalAfter - d.Mechanical(idle, flyweights.Rising)),
		"start":              CrankRPM(drive.RPM(curve.Start(flyweights.Rising))),
		"all in":             CrankRPM(drive.RPM(curve.AllIn(flyweights.Rising))),
	}, err
}

// settingSpeed asks the sheet at which speed to set an engine that is all in by
// a given one.
func settingSpeed(g *Given) (Found, error) {
	drive := advance.FourStroke
	static, travel := g.CrankDegrees("static", drive), g.CrankDegrees("travel", drive)
	s, err := sheet.New(sheet.Input{
		Static: static, Travel: travel, Drive: drive,
		Idle: g.CrankRPM("idle", drive), AllIn: g.CrankRPM("all in", drive), Top: g.CrankRPM("top", drive),
		At: func(float64) (rising, falling, low, high float64, err error) {
			return static + travel, static + travel, static, static + travel, nil
		},
	})
	if err != nil {
		return nil, err
	}
	return Found{"set at": CrankRPM(s.SetRPM), "set to": CrankDegrees(s.SetDegrees)}, nil
}
