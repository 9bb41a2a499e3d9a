package design

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/valid"
)

// Static returns how many times a force in N, 1e-9 or more, can be raised before
// each site of the part takes set: allowable stress (the material's fractions of
// its tensile strength A/d^m) over stress.
func (p Part) Static(force float64) (Locations, error) {
	limits, stress, err := p.limits()
	if err != nil {
		return Locations{}, err
	}
	if err := valid.Check(valid.ErrRange, valid.In("force", force, "N", 1e-9, maxForce)); err != nil {
		return Locations{}, err
	}
	return Locations{
		Body:        limits.Body / (force * stress.Body),
		HookBending: limits.HookBending / (force * stress.HookBending),
		HookTorsion: limits.HookTorsion / (force * stress.HookTorsion),
	}, nil
}

// limits returns the allowable stress of each site and its stress per force.
func (p Part) limits() (limits, stress Locations, err error) {
	if err := p.check(); err != nil {
		return Locations{}, Locations{}, err
	}
	tensile, err := p.Material.Tensile(p.Diameter)
	if err != nil {
		return Locations{}, Locations{}, err
	}
	a := p.Material.Allowable
	return Locations{Body: a.Body * tensile, HookBending: a.HookBending * tensile, HookTorsion: a.HookTorsion * tensile}, p.stressPerForce(), nil
}

// Criterion is how a steady stress lowers the alternating stress that steel
// endures.
type Criterion string

const (
	// Gerber is the parabola through the strength.
	Gerber Criterion = "Gerber"
	// Goodman is the straight line to the strength.
	Goodman Criterion = "Goodman"
	// Sines says that a steady torsion does no harm. With [Zimmerli]'s data it
	// is the strictest of the three, because the strength at no steady stress is
	// then taken as what was measured at a high one.
	Sines Criterion = "Sines"
)

// Endurance is the torsional stress that spring wire endured for 10^6 cycles and
// more: alternating so much about a steady so much.
type Endurance struct {
	Alternating float64 // Pa
	Steady      float64 // Pa
}

// Zimmerli's data for wire under 10 mm, whatever its size, material and strength
// (F. P. Zimmerli, Human failures in spring applications, 1957, as given by
// Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eqs. 10-28 and
// 10-29): 35 about 55 kpsi, 57.5 about 77.5 kpsi for shot-peened wire. The
// close-wound coils of an extension spring cannot be peened inside.
func Zimmerli(peened bool) Endurance {
	if peened {
		return Endurance{Alternating: 57.5 * kpsi, Steady: 77.5 * kpsi}
	}
	return Endurance{Alternating: 35 * kpsi, Steady: 55 * kpsi}
}

// Factors that turn torsional strengths into others: ultimate torsion 0.67 of
// tensile (Budynas and Nisbett, Eq. 10-30), and 0.577 of bending endurance from
// distortion energy (the same, Example 10-7).
const (
	torsionOfTensile = 0.67
	torsionOfBending = 0.577
)

// SafetyFactor returns how many times an alternating and a steady stress in Pa can
// both be raised before fatigue, where the endurance was measured in the same
// kind of stress and ultimate is the strength in that kind, in Pa. The
// alternating stress and the endured one must be 1e-6 Pa or more, the steady 0 or more,
// and the endurance's steady stress below ultimate.
func (c Criterion) SafetyFactor(alternating, steady float64, e Endurance, ultimate float64) (float64, error) {
	if err := valid.Check(valid.ErrRange,
		valid.In("alternating stress", alternating, "Pa", 1e-6, 1e11),
		valid.In("steady stress", steady, "Pa", 0, 1e11),
		valid.In("endured alternating stress", e.Alternating, "Pa", 1e-6, 1e11),
		valid.Above("ultimate strength", ultimate, "Pa", 0, 1e12),
		valid.In("endured steady stress", e.Steady, "Pa", 0, ultimate*(1-1e-6)),
	); err != nil {
		return 0, err
	}
	if c != Gerber && c != Goodman && c != Sines {
		return 0, fmt.Errorf("%w: fatigue criterion is %q, valid is Gerber, Goodman or Sines", valid.ErrRange, c)
	}
	return c.safetyFactor(alternating, steady, c.reversed(e, ultimate), ultimate), nil
}

// reversed is the endurance at no steady stress by which the criterion passes
// through the measured point.
func (c Criterion) reversed(e Endurance, ultimate float64) float64 {
	x := e.Steady / ultimate
	switch c {
	case Gerber:
		return e.Alternating / (1 - x*x)
	case Goodman:
		return e.Alternating / (1 - x)
	}
	return e.Alternating
}

// safetyFactor solves the criterion n a/e + f(n m/u) = 1 for n.
func (c Criterion) safetyFactor(alternating, steady, endurance, ultimate float64) float64 {
	a, m := alternating/endurance, steady/ultimate
	switch c {
	case Gerber:
		// (n m)^2 + n a - 1 = 0, written so that nothing cancels for m = 0.
		return 2 / (a + math.Sqrt(a*a+4*m*m))
	case Goodman:
		return 1 / (a + m)
	}
	return 1 / a
}

// Fatigue is what a part has in hand between the two ends of its travel.
type Fatigue struct {
	Safety Locations // times both stresses can be raised before fatigue, by site
	Yield  float64   // times the alternating stress can be raised before the coils take set
}

// Fatigue returns the factors of safety when its force runs between low and high in
// N, low from 0 (a spring that goes slack) to below high, and high above the
// initial tension. The stress of the initial tension never leaves the coils,
// which lie on each other under any smaller force: the body's stress runs from
// it, and so does the load line to yield. The hooks feel the whole range, and
// bend: there the endurance is that of torsion over 0.577 against the tensile
// strength (method: Budynas and Nisbett, Shigley's Mechanical Engineering
// Design, Example 10-7, where low is above the initial tension).
func (p Part) Fatigue(low, high float64, e Endurance, c Criterion) (Fatigue, error) {
	limits, stress, err := p.limits()
	if err != nil {
		return Fatigue{}, err
	}
	if err := valid.Check(valid.ErrRange,
		valid.In("low force", low, "N", 0, maxForce),
		valid.Above("high force", high, "N", max(low, p.InitialTension), maxForce),
	); err != nil {
		return Fatigue{}, err
	}
	tensile := limits.Body / p.Material.Allowable.Body
	shear := torsionOfTensile * tensile
	alternating, steady := (high-low)/2, (high+low)/2
	closed := max(low, p.InitialTension) // what the coils never fall below
	ta, tm := (high-closed)/2*stress.Body, (high+closed)/2*stress.Body

	var f Fatigue
	f.Safety.Body, err = c.SafetyFactor(ta, tm, e, shear)
	if err != nil {
		return Fatigue{}, fmt.Errorf("body: %w", err)
	}
	f.Safety.HookTorsion, err = c.SafetyFactor(alternating*stress.HookTorsion, steady*stress.HookTorsion, e, shear)
	if err != nil {
		return Fatigue{}, fmt.Errorf("hook torsion: %w", err)
	}
	bending := c.reversed(e, shear) / torsionOfBending
	f.Safety.HookBending = c.safetyFactor(alternating*stress.HookBending, steady*stress.HookBending, bending, tensile)

	// From (Ti, 0) along the load line: r = ta/(tm - ti), (Ssa)y = r/(r+1) (Ssy - ti).
	ti := p.InitialTension * stress.Body
	f.Yield = (limits.Body - ti) / (ta + tm - ti)
	if !(f.Yield > 0) {
		return Fatigue{}, valid.Refuse(valid.ErrRange, "initial tension", p.InitialTension, "N", fmt.Sprintf("less than the %.6g N at which the coils take set", limits.Body/stress.Body))
	}
	return f, nil
}
