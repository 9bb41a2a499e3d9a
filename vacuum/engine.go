package vacuum

import (
	"fmt"
	"math"
)

// Engine is the pump that draws the air: a mean-value model, in which the strokes
// of the single cylinders are smeared out over the turn. The zero value is
// refused.
//
// Displacement is counted per turn of the distributor shaft, in which every
// cylinder fires once; so no drive ratio enters the pumping. Drive is used only
// where a published law wants the crank's speed.
type Engine struct {
	Displacement float64   // m^3 swept by all cylinders in one turn of the distributor shaft, > 0
	Filling      []Filling // volumetric efficiency on the manifold's density; one point or more, rising in speed
	Volume       float64   // m^3 of the manifold from throttle to valves, > 0
	Temperature  float64   // K of the mixture in the manifold, > 0
	Back         float64   // Pa, exhaust pressure above the ambient air, >= 0
	Overlap      float64   // deg/m, valve overlap factor, >= 0; see Engine.Burned
	Compression  float64   // compression ratio, 4 to 25; 0 leaves out the gas that re-expands from the clearance, see Engine.Clearance
	Drive        float64   // crank turns per distributor turn; needed with Overlap and with a Vehicle
}

// Filling is the volumetric efficiency at one speed: the fresh charge that one
// turn takes in, over the charge that the displacement would hold at manifold
// pressure and temperature. At idle a long cam has less of it, for the piston sends
// back what came in before the inlet closes: closing at 75 instead of 55 degrees
// after bottom centre leaves 0.86 by the volumes of an ordinary crank at 8.5 to 1.
type Filling struct {
	Omega      float64 // rad/s at the distributor shaft
	Efficiency float64 // 0.01 to 1.5
}

// mostBurned is the largest share of burned gas that Engine.Burned answers for.
const mostBurned = 0.5

// Check refuses sizes outside the ranges stated at the fields.
func (e Engine) Check() error {
	err := check(
		size("displacement", e.Displacement, "m^3", 1),
		size("manifold volume", e.Volume, "m^3", 10),
		within("mixture temperature", e.Temperature, "K", 200, 500),
		within("exhaust back pressure", e.Back, "Pa", 0, 200e3),
		upTo("overlap factor", e.Overlap, "deg/m", 100),
		rule("compression ratio", e.Compression, "1", "0 or 4 to 25", e.Compression == 0 || e.Compression >= 4 && e.Compression <= 25),
		rule("drive", e.Drive, "crank turns per distributor turn", "0.25 to 4, or 0 without an overlap factor", e.Drive >= 0.25 && e.Drive <= 4 || e.Drive == 0 && e.Overlap == 0),
		rule("volumetric efficiency points", float64(len(e.Filling)), "points", "1 or more", len(e.Filling) > 0),
	)
	if err != nil {
		return err
	}
	last := math.Inf(-1)
	for i, f := range e.Filling {
		err := check(
			rule(fmt.Sprintf("speed of efficiency point %d", i+1), f.Omega, "rad/s", "0 or more and above the point before", f.Omega >= 0 && f.Omega > last),
			rule(fmt.Sprintf("volumetric efficiency point %d", i+1), f.Efficiency, "1", "0.01 to 1.5", f.Efficiency >= 0.01 && f.Efficiency <= 1.5),
		)
		if err != nil {
			return err
		}
		last = f.Omega
	}
	return nil
}

func (e Engine) checkSpeed(omega float64) error {
	return check(within("distributor speed", omega, "rad/s", 1, 2000))
}

// efficiency is the volumetric efficiency at a speed, straight between the
// points and held beyond their ends.
func (e Engine) efficiency(omega float64) float64 {
	f := e.Filling
	switch last := len(f) - 1; {
	case omega <= f[0].Omega:
		return f[0].Efficiency
	case omega >= f[last].Omega:
		return f[last].Efficiency
	}
	i := 1
	for f[i].Omega < omega {
		i++
	}
	a, b := f[i-1], f[i]
	return a.Efficiency + (b.Efficiency-a.Efficiency)*(omega-a.Omega)/(b.Omega-a.Omega)
}

// Burned returns the share of burned gas that flows back from the exhaust into
// the inlet while both valves are open, as a share of the charge:
//
//	x = 1.266 OF/N (pi/pe)^-0.87 sqrt(pe - pi)
//
// with pi and pe the inlet and exhaust pressures in bar, N the crank's speed in
// rev/s and OF the overlap factor in deg/m. It takes the place of fresh charge (see
// [Engine.Flow]), so that a long cam idles at a higher manifold pressure. Source: Fox, Cheng,
// Heywood, A Model for Predicting Residual Gas Fraction in Spark-Ignition
// Engines, SAE 931025 (1993), first term, from memory. Overlap factors of 0.3
// deg/m (mild) to 2 deg/m (long) are common practice, no source. Shares above
// 0.5 are refused: no engine idles there and the correlation was never meant so
// far.
func (e Engine) Burned(omega float64, air Ambient, p float64) (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	if err := e.checkSpeed(omega); err != nil {
		return 0, err
	}
	if _, err := air.Vacuum(p); err != nil {
		return 0, err
	}
	x := e.burned(omega, air, p)
	return x, checkBurned(x)
}

func checkBurned(x float64) error {
	return check(within("burned gas in the charge", x, "1", 0, mostBurned))
}

func (e Engine) burned(omega float64, air Ambient, p float64) float64 {
	if e.Overlap == 0 {
		return 0
	}
	const bar = 1e5
	pe := air.Pressure + e.Back
	crank := omega * e.Drive / (2 * math.Pi) // rev/s
	return 1.266 * e.Overlap / crank * math.Pow(p/pe, -0.87) * math.Sqrt(math.Max(0, pe-p)/bar)
}

// Clearance returns the share of the fresh charge that remains when the burned
// gas left in the clearance at exhaust pressure has expanded to manifold pressure
// and taken its room, 0 to 1:
//
//	1 - (pe/pi - 1)/(k (r - 1)), k = 1.4
//
// It is what keeps the vacuum of the overrun from growing without end. 1 without a
// Compression. Source: the ideal cycle's volumetric efficiency, Heywood, Internal
// Combustion Engine Fundamentals (1988), chapter 6, from memory.
func (e Engine) Clearance(air Ambient, p float64) (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	if _, err := air.Vacuum(p); err != nil {
		return 0, err
	}
	return e.clearance(air, p), nil
}

func (e Engine) clearance(air Ambient, p float64) float64 {
	if e.Compression == 0 {
		return 1
	}
	return math.Max(0, 1-((air.Pressure+e.Back)/p-1)/(Air.K*(e.Compression-1)))
}

// Flow returns the fresh mixture in kg/s that the engine draws at a distributor
// speed in rad/s (1 to 2000) from a manifold at p (Pa, at most ambient):
//
//	m = efficiency Displacement omega/(2 pi) p/(R Temperature) displaced clearance
//
// the speed-density law (Heywood, Internal Combustion Engine Fundamentals
// (1988), chapter 7; Hendricks and Sorenson, SAE 900616, 1990; from memory). Burned gas
// that has flowed back, a share x of the charge by mass, comes home hot and takes
// more room than its mass: by the gas law at the mean temperature of the mixture
//
//	displaced = (1 - x)/(1 - x + x 620 K/Temperature)
//
// with the exhaust gas of an idling engine at 300 to 400 C (Heywood, section 6.5, from
// memory) and no heat lost on the way.
func (e Engine) Flow(omega float64, air Ambient, p float64) (float64, error) {
	if _, err := e.Burned(omega, air, p); err != nil {
		return 0, err
	}
	return e.flow(omega, air, p), nil
}

func (e Engine) flow(omega float64, air Ambient, p float64) float64 {
	return e.charge(omega, air, p) * e.Displacement * omega / (2 * math.Pi)
}

// charge is the fresh mixture in kg per m^3 of displacement. Beyond the range of
// the burned-gas law its bound is used; callers refuse such results.
func (e Engine) charge(omega float64, air Ambient, p float64) float64 {
	x := math.Min(mostBurned, e.burned(omega, air, p))
	return e.efficiency(omega) * p / (Air.R * e.Temperature) * e.displaced(x) * e.clearance(air, p)
}

// returning is the temperature of burned gas that flows back into the inlet, K.
const returning = 620.0

// displaced is the share of the fresh charge that remains beside a share x of burned
// gas that has flowed back.
func (e Engine) displaced(x float64) float64 {
	return (1 - x) / (1 - x + x*returning/e.Temperature)
}

// FillTime returns the time constant in s with which the manifold fills behind a
// choked throttle: Volume over the volume that the engine draws in a second
// (Hendricks and Sorenson, SAE 900616, 1990, from memory), burned gas and
// clearance left out.
func (e Engine) FillTime(omega float64) (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	if err := e.checkSpeed(omega); err != nil {
		return 0, err
	}
	return e.Volume / (e.efficiency(omega) * e.Displacement * omega / (2 * math.Pi)), nil
}

// Manifold returns the steady manifold pressure in Pa at a throttle angle in rad
// and a distributor speed in rad/s: where the throttle passes what the engine
// draws, choked or not.
func (e Engine) Manifold(th Throttle, angle, omega float64, air Ambient) (float64, error) {
	if err := e.ready(th, angle, omega, air); err != nil {
		return 0, err
	}
	p := e.manifold(th, angle, omega, air, 0)
	return p, checkBurned(e.burned(omega, air, p))
}

func (e Engine) ready(th Throttle, angle, omega float64, air Ambient) error {
	if err := e.Check(); err != nil {
		return err
	}
	if err := th.Check(); err != nil {
		return err
	}
	if err := air.Check(); err != nil {
		return err
	}
	if err := th.checkAngle(angle); err != nil {
		return err
	}
	if err := check(positive("air past the throttle", th.Discharge*th.area(angle)+th.Bypass, "m^2")); err != nil {
		return err
	}
	return e.checkSpeed(omega)
}

// manifold is the steady pressure with an opening of extra m^2 beside the
// throttle.
func (e Engine) manifold(th Throttle, angle, omega float64, air Ambient, extra float64) float64 {
	th.Bypass += extra
	return root(1e-3*air.Pressure, air.Pressure, func(p float64) float64 {
		return th.flow(angle, air, p) - e.flow(omega, air, p)
	})
}
