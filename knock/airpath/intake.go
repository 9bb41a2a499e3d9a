package airpath

import (
	"math"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/lines"
	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// Intake is an engine seen as the pump that draws the air. Engine must be given;
// any other field left at zero takes the default named beside it.
type Intake struct {
	Engine knock.Engine

	Volume       float64 // m^3 of the manifold from throttle to valves; 0 = 1.5 times the displacement (common practice, no source)
	Temperature  float64 // K of the mixture in the manifold, 200 to 500; 0 = 320 (common practice, no source)
	BackPressure float64 // Pa, exhaust above the ambient air, 0 to 200 kPa
	// OverlapFactor in deg/m, 0 to 100; 0 = by correlations.OverlapFactor from the valves of
	// the engine. For exactly none give a number such as 1e-9.
	OverlapFactor float64
	// FilledThrottled says that the engine's Filling was found at the manifold
	// pressure in question. Otherwise it is that of full load, and the gas of the
	// clearance, as it expands to manifold pressure, takes its share.
	FilledThrottled bool
}

// mostBurned is the largest share of burned gas that is answered for.
const mostBurned = 0.5

// pump is an intake with its defaults, ready to be asked often.
type pump struct {
	displacement float64 // m^3 of all cylinders
	filling      *lines.Table
	volume       float64 // m^3
	temperature  float64 // K
	back         float64 // Pa
	overlap      float64 // deg/m
	compression  float64 // 0 leaves out the clearance
	friction     float64 // multiplier
}

// pump refuses an engine that package knock refuses, and sizes outside the ranges
// stated at the fields.
func (in Intake) pump() (pump, error) {
	if err := in.Engine.Check(); err != nil {
		return pump{}, err
	}
	e := in.Engine.WithDefaults()
	err := valid.Check(errRange,
		valid.In("manifold volume", in.Volume, "m^3", 0, 1),
		valid.In("exhaust back pressure", in.BackPressure, "Pa", 0, 200e3),
		valid.In("overlap factor", in.OverlapFactor, "deg/m", 0, 100),
	)
	if err != nil {
		return pump{}, err
	}
	swept, err := e.Displacement()
	if err != nil {
		return pump{}, err
	}
	p := pump{
		displacement: swept * float64(e.Cylinders), volume: in.Volume, temperature: in.Temperature,
		back: in.BackPressure, overlap: in.OverlapFactor, compression: e.CompressionRatio, friction: e.Friction,
	}
	if in.FilledThrottled {
		p.compression = 0
	}
	if p.volume == 0 {
		p.volume = 1.5 * p.displacement
	}
	if p.temperature == 0 {
		p.temperature = 320
	}
	if p.overlap == 0 {
		if p.overlap, err = correlations.OverlapFactor(e.Overlap, e.Bore, e.Lift, e.ValveDiameter); err != nil {
			return pump{}, err
		}
	}
	if err := valid.Check(errRange,
		valid.In("manifold volume", p.volume, "m^3", 1e-6, 1),
		valid.In("mixture temperature", p.temperature, "K", 200, 500)); err != nil {
		return pump{}, err
	}
	var rpm, efficiency []float64
	for _, f := range e.Filling {
		rpm, efficiency = append(rpm, f.RPM), append(efficiency, f.Efficiency)
	}
	p.filling, err = lines.New(rpm, efficiency)
	return p, err
}

// Speeds in rpm of the crank that are accepted.
const slowest, fastest = 10.0, 20000.0

func checkSpeed(rpm float64) error {
	return valid.Check(errRange, valid.In("engine speed", rpm, "rpm crank", slowest, fastest))
}

// efficiency is the volumetric efficiency at a speed, straight between the points
// and held beyond their ends.
func (p *pump) efficiency(rpm float64) float64 {
	y, err := p.filling.Clamped(rpm)
	if err != nil { // a speed that is not a number
		return 0
	}
	return y
}

// burned is the share of burned gas that flows back from the exhaust into the inlet
// while both valves are open, as a share of the charge; see correlations.Backflow. It
// takes the place of fresh charge, so that a long cam idles at a higher manifold
// pressure. Overlap factors of 0.3 deg/m (mild) to 2 deg/m (long) are common
// practice, no source.
func (p *pump) burned(rpm float64, a air.Ambient, inlet float64) float64 {
	exhaust := a.Pressure + p.back
	if p.overlap == 0 || !(inlet < exhaust) {
		return 0
	}
	return unchecked.Backflow(rpm, p.overlap, math.Max(1, inlet), exhaust)
}

// checkBurned refuses shares of burned gas above 0.5: no engine idles there, and
// the correlation was never meant so far.
func checkBurned(x float64) error {
	return valid.Check(errRange, valid.In("burned gas in the charge", x, "", 0, mostBurned))
}

// clearance is the share of the fresh charge that remains when the burned gas left
// in the clearance at exhaust pressure has expanded to manifold pressure and taken
// its room, 0 to 1:
//
//	1 - (pe/pi - 1)/(k (r - 1)), k = 1.4
//
// It is what keeps the vacuum of the overrun from growing without end. Source: the
// ideal cycle's volumetric efficiency, Heywood, Internal Combustion Engine
// Fundamentals (1988), read in a public program that cites it.
func (p *pump) clearance(a air.Ambient, inlet float64) float64 {
	if p.compression == 0 {
		return 1
	}
	return math.Max(0, 1-((a.Pressure+p.back)/inlet-1)/(air.Dry.K*(p.compression-1)))
}

// flow is the fresh mixture in kg/s that the engine draws from a manifold at a
// pressure in Pa:
//
//	m = efficiency displacement rpm/120 p/(R Temperature) displaced clearance
//
// the speed-density law (Heywood, Internal Combustion Engine Fundamentals
// (1988), chapter 7; Hendricks and Sorenson, SAE 900616, 1990; from memory).
func (p *pump) flow(rpm float64, a air.Ambient, inlet float64) float64 {
	return p.charge(rpm, a, inlet) * p.drawn(rpm)
}

// drawn is the volume in m^3 that the pistons sweep on the inlet stroke in a second.
func (p *pump) drawn(rpm float64) float64 { return p.displacement * rpm / 120 }

// charge is the fresh mixture in kg per m^3 of displacement. Beyond the range of
// the burned-gas law its bound is used; callers refuse such results.
func (p *pump) charge(rpm float64, a air.Ambient, inlet float64) float64 {
	x := math.Min(mostBurned, p.burned(rpm, a, inlet))
	return p.efficiency(rpm) * inlet / (air.Dry.R * p.temperature) * p.displaced(x) * p.clearance(a, inlet)
}

// returning is the temperature of burned gas that flows back into the inlet, K: that
// of an idling engine's exhaust, 300 to 400 C (Heywood, section 6.5, from memory),
// with no heat lost on the way.
const returning = 620.0

// displaced is the share of the fresh charge that remains beside a share x by mass
// of burned gas that has flowed back. It comes home hot and takes more room than
// its mass: by the gas law at the mean temperature of the mixture
// (1 - x)/(1 - x + x 620 K/Temperature).
func (p *pump) displaced(x float64) float64 {
	return (1 - x) / (1 - x + x*returning/p.temperature)
}

// FillTime returns the time constant in s with which the manifold fills behind a
// choked throttle at an engine speed in rpm (10 to 20000): Volume over the volume
// that the engine draws in a second (Hendricks and Sorenson, SAE 900616, 1990, from
// memory), burned gas and clearance left out.
func (in Intake) FillTime(rpm float64) (float64, error) {
	p, err := in.pump()
	if err != nil {
		return 0, err
	}
	if err := checkSpeed(rpm); err != nil {
		return 0, err
	}
	return p.volume / (p.efficiency(rpm) * p.drawn(rpm)), nil
}
