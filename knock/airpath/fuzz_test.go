package airpath

import (
	"testing"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/springs/fuzzing"
)

// world is everything that the package's functions are asked with.
type world struct {
	Intake                                                       Intake
	Throttle                                                     Throttle
	Air                                                          air.Ambient
	Load                                                         Load
	Vehicle                                                      Vehicle
	Angle, RPM, Pressure, Hose, Share, Area, Speed, Grade, Ratio float64
}

func ordinaryWorld() *world {
	in, th, sea := ordinary()
	in.FilledThrottled = false
	return &world{
		Intake: in, Throttle: th, Air: sea,
		Load:    Load{RPM: 900, Brake: 1e5, Friction: 1.2e5, Efficiency: 0.3, Heat: 2.95e6},
		Vehicle: Vehicle{Mass: 1100, Rolling: 0.014, DragArea: 0.9, TyreRadius: 0.3, Gearing: 4, Transmission: 0.9},
		Angle:   0.4, RPM: 1500, Pressure: 5e4, Hose: 1e-5, Share: 0.9, Area: 1e-4, Speed: 20, Grade: 0.01, Ratio: 0.7,
	}
}

// drive asks the package's functions everything that the world allows.
func (w *world) drive(t *testing.T) {
	x, err := w.Throttle.Area(w.Angle)
	fuzzing.Finite(t, "Area", err, x)
	x, err = w.Throttle.Opening(w.Area)
	fuzzing.Finite(t, "Opening", err, x)
	x, err = MeasuredRatio(w.Ratio)
	fuzzing.Finite(t, "MeasuredRatio", err, x)
	x, err = w.Intake.FillTime(w.RPM)
	fuzzing.Finite(t, "FillTime", err, x)
	x, err = w.Intake.Demand(w.Load, w.Air)
	fuzzing.Finite(t, "Demand", err, x)
	x, err = w.Vehicle.RoadLoad(w.Speed, w.Grade, w.Air)
	fuzzing.Finite(t, "RoadLoad", err, x)
	l, err := w.Vehicle.Cruise(w.Intake, w.Speed, w.Grade, w.Air)
	fuzzing.Finite(t, "Cruise", err, l)
	p, err := New(w.Intake, w.Throttle, w.Air)
	if err != nil {
		p = nil // asked all the same
	}
	fuzzing.Finite(t, "Path", nil, p.In(w.Angle, w.Pressure), p.Out(w.RPM, w.Pressure), p.Mass(w.Pressure))
	x, err = p.Manifold(w.Angle, w.RPM, w.Hose)
	fuzzing.Finite(t, "Manifold", err, x)
	x, err = p.Burned(w.RPM, w.Pressure)
	fuzzing.Finite(t, "Burned", err, x)
	x, err = p.Surplus(w.Load, w.Pressure, w.Share)
	fuzzing.Finite(t, "Surplus", err, x)
	w.Throttle.Measured = true
	if p, err = New(w.Intake, w.Throttle, w.Air); err == nil {
		x, err = p.Manifold(w.Angle, w.RPM, w.Hose)
		fuzzing.Finite(t, "Manifold by the measured law", err, x, p.In(w.Angle, w.Pressure))
	}
}

// Whatever two fields hold, numbers come out or an error does, and nothing panics.
func FuzzAirpath(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Pairs(len(fuzzing.Floats(ordinaryWorld())))
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinaryWorld()
		w.Intake.Engine.Filling = append(w.Intake.Engine.Filling[:0:0], w.Intake.Engine.Filling...)
		all := fuzzing.Floats(w)
		all[int(i)%len(all)].SetFloat(x)
		all[int(j)%len(all)].SetFloat(y)
		w.drive(t)
	})
}
