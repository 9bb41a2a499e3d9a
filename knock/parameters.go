package knock

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// parameters is one departure of the engine from the model, in the order of the names
// below; zero everywhere is the plain model.
type parameters [parameterCount]float64

const (
	heat           = iota                 // K at inlet closing
	fill                                  // ln of the charge mass
	burnBoth                              // ln of both burn angles
	burnDev                               // ln of the 0-10 % angle alone
	burnRapid                             // ln of the 10-90 % angle alone
	octane                                // octane numbers
	wall                                  // ln of the wall heat
	delay                                 // ln of the autoignition delay
	pressure                              // pressure exponent of the delay, about 30 atm
	arrhenius                             // K, activation temperature of the delay, about 800 K
	delaySpeed                            // exponent of the delay against speed, about 2000 rpm
	burnSpeed                             // exponent of the burn angles against speed
	residue                               // ln of the residual fraction
	octanePow                             // exponent of the delay against octane, about 91
	flame                                 // relative change of the exponent of laminar speed
	burnLoad                              // exponent of the burn angles against inlet pressure
	heatSpeed                             // K at inlet closing for each 1000 rpm above 2000
	fillSpeed                             // ln of the charge mass for each 1000 rpm above 3000
	phasing                               // crank degrees by which best torque wants more spark than the model says
	drift                                 // ln of the autoignition rate: what grows from speed to speed, driftSteps each way
	beyondFit      = drift + 2*driftSteps // ln of the autoignition rate, for each step outside the fit of the delay
	parameterCount = beyondFit + 1
)

// priorDeviations is how far an engine may lie from the model, one standard deviation each;
// zero takes the default named beside the field.
type priorDeviations struct {
	Temperature float64 // K at inlet closing; 10
	Filling     float64 // relative, charge mass; 0.03
	// Burn is relative, both burn angles together; 0.13, which with the shape spans the
	// 17 to 28 and 24 to 40 degrees of old chambers, or 0.07 where the engine gives its own
	// angles instead of the class's.
	Burn        float64
	BurnShape   float64 // relative, each burn angle by itself; 0.08
	Octane      float64 // octane numbers: the fuel, how it rates in this engine, and deposits; 2
	Wall        float64 // relative, wall heat; 0.25
	Delay       float64 // relative, autoignition delay; 0.20
	Pressure    float64 // pressure exponent of the delay; 0.3
	Activation  float64 // K, activation temperature of the delay; 700
	DelaySpeed  float64 // exponent of the delay against speed; 0.15
	BurnSpeed   float64 // exponent of the burn angles against speed; 0.08
	Residual    float64 // relative, residual gas; 0.25
	OctanePower float64 // exponent of the delay against octane; 0.8
	Flame       float64 // relative, how strongly flame speed governs the burn; 0.2
	BurnLoad    float64 // exponent of the burn angles against inlet pressure; 0.08
	HeatSpeed   float64 // K at inlet closing for each 1000 rpm; 7
	// FillSpeed is relative, charge mass for each 1000 rpm above 3000; 0.06, or 0.01 where
	// the engine gives its own Filling. Up to there an old two-valve engine fills about
	// evenly; beyond, cam and valves decide: at 5000 rpm nine in ten lie between some 0.58
	// and 0.88 (common practice, no source). What was told below says nothing of it.
	FillSpeed float64
	Phasing   float64 // crank degrees of best torque; 1.5
	// Drift is how far the logarithm of the autoignition rate may have wandered from one
	// speed to another, per root of the logarithm of their ratio; 0.25. It stands for what
	// no law of the model has a name for, and widens the band away from where it was told.
	Drift float64
}

// sigma returns the deviations in the order of the parameters.
// A known burn or filling is the engine's own and not its class's.
func (s priorDeviations) sigma(burnKnown, fillingKnown bool) parameters {
	pick := func(value, otherwise float64) float64 {
		if value == 0 {
			return otherwise
		}
		return value
	}
	class, filling := 0.13, 0.06
	if burnKnown {
		class = 0.07
	}
	if fillingKnown {
		filling = 0.01
	}
	shape := pick(s.BurnShape, 0.08)
	p := parameters{
		heat: pick(s.Temperature, 10), fill: pick(s.Filling, 0.03), burnBoth: pick(s.Burn, class),
		burnDev: shape, burnRapid: shape, octane: pick(s.Octane, 2), wall: pick(s.Wall, 0.25),
		delay: pick(s.Delay, 0.20), pressure: pick(s.Pressure, 0.3), arrhenius: pick(s.Activation, 700),
		delaySpeed: pick(s.DelaySpeed, 0.15), burnSpeed: pick(s.BurnSpeed, 0.08),
		residue: pick(s.Residual, 0.25), octanePow: pick(s.OctanePower, 0.8), flame: pick(s.Flame, 0.2),
		burnLoad: pick(s.BurnLoad, 0.08), heatSpeed: pick(s.HeatSpeed, 7), fillSpeed: pick(s.FillSpeed, filling), phasing: pick(s.Phasing, 1.5),
		beyondFit: 0.4,
	}
	for k := range 2 * driftSteps {
		p[drift+k] = pick(s.Drift, 0.25) * math.Sqrt(driftStep)
	}
	return p
}

// check refuses a negative or absurd deviation.
func (s priorDeviations) check() error {
	b := func(field string, value, hi float64) valid.Range {
		return valid.In("deviation of "+field, value, "", 0, hi)
	}
	return valid.Check(errRange, b("temperature, K", s.Temperature, 60), b("filling", s.Filling, 0.3), b("burn angles", s.Burn, 0.5),
		b("burn shape", s.BurnShape, 0.4), b("octane", s.Octane, 12), b("wall heat", s.Wall, 1), b("delay", s.Delay, 1.5),
		b("pressure exponent", s.Pressure, 1), b("activation temperature, K", s.Activation, 2500),
		b("delay against speed", s.DelaySpeed, 1), b("burn against speed", s.BurnSpeed, 0.5), b("residual", s.Residual, 1),
		b("octane exponent", s.OctanePower, 3), b("flame speed", s.Flame, 0.8), b("burn against load", s.BurnLoad, 0.5),
		b("temperature against speed, K per 1000 rpm", s.HeatSpeed, 30), b("filling above 3000 rpm, per 1000 rpm", s.FillSpeed, 0.2), b("phasing, deg", s.Phasing, 15), b("drift over speed", s.Drift, 2))
}
