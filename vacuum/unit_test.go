package vacuum

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// plain is a unit of ordinary size (a scenario of our own): it begins at 6 inHg,
// is fully pulled at 12 inHg and turns the plate by 8 degrees.
func plain() Unit {
	const area, arm = 9e-4, 0.032
	travel := arm * math.Sin(8*math.Pi/180)
	return Unit{
		Area:      area,
		Preload:   6 * InchOfMercury * area,
		Rate:      6 * InchOfMercury * area / travel,
		Travel:    travel,
		ArmRadius: arm,
	}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %.3g", what, got, want, tol)
	}
}

// randomUnits are units with every kind of arm geometry.
func randomUnits(n int) []Unit {
	r := rand.New(rand.NewPCG(7, 11))
	var us []Unit
	for len(us) < n {
		u := plain()
		u.ArmAngle = 0.9 * (r.Float64() - 0.5)
		u.Travel = 0.2 * u.ArmRadius * (0.2 + r.Float64())
		u.Friction = 2 * r.Float64()
		if r.IntN(4) > 0 {
			u.RodLength = u.ArmRadius * (0.4 + 2*r.Float64())
			u.RodTilt = 0.6 * (r.Float64() - 0.5)
		}
		if u.Check() == nil {
			us = append(us, u)
		}
	}
	return us
}

func TestAdvanceIsAStraightRampBetweenOnsetAndFull(t *testing.T) {
	u := plain()
	near(t, "onset", u.Onset(), 6*InchOfMercury, 1e-9)
	near(t, "full pull", u.Full(), 12*InchOfMercury, 1e-9)
	for _, c := range []struct{ inHg, sine float64 }{{0, 0}, {6, 0}, {9, 0.5}, {12, 1}, {20, 1}} {
		got, err := u.Advance(c.inHg * InchOfMercury)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sine of the advance", math.Sin(got), c.sine*math.Sin(8*math.Pi/180), 1e-12)
	}
}

// The work of the vacuum on the swept volume is stored in the spring and spent
// on friction: an energy balance that knows nothing of the force balance.
func TestWorkOfTheVacuumIsStoredOrSpent(t *testing.T) {
	for _, u := range randomUnits(50) {
		const n = 2000
		work := 0.0
		for i := range n { // midpoint rule, exact for a straight line
			work += u.vacuum((float64(i)+0.5)/n*u.Travel, pulling) * u.Area * u.Travel / n
		}
		stored := u.Preload*u.Travel + u.Rate*u.Travel*u.Travel/2
		near(t, "work", work, stored+u.Friction*u.Travel, 1e-9*work)
	}
}

// Rod and arm are rigid: after any travel the pin stands on its circle and the
// rod has its length. The test places both points anew from the angle alone.
func TestArmKeepsItsRodAndRadius(t *testing.T) {
	for _, u := range randomUnits(300) {
		pin := func(theta float64) (x, y float64) {
			return u.ArmRadius * math.Sin(u.ArmAngle+theta), u.ArmRadius * math.Cos(u.ArmAngle+theta)
		}
		x0, y0 := pin(0)
		for _, share := range []float64{0, 0.1, 0.5, 1} {
			travel := share * u.Travel
			theta := u.angle(travel)
			near(t, "rod travel and back", u.pull(theta), travel, 1e-12)
			if u.RodLength == 0 {
				continue
			}
			x, y := pin(theta)
			sx, sy := x0+u.RodLength*math.Cos(u.RodTilt)+travel, y0-u.RodLength*math.Sin(u.RodTilt)
			near(t, "rod length", math.Hypot(sx-x, sy-y), u.RodLength, 1e-12)
		}
	}
}

// A longer and longer rod comes to the long-rod form, with a difference that
// falls as one over the length.
func TestLongRodIsTheLimit(t *testing.T) {
	u := plain()
	u.ArmAngle = -0.1
	want := u.Most()
	last := math.Inf(1)
	for _, length := range []float64{0.1, 1, 10, 100} {
		u.RodLength = length
		diff := math.Abs(u.Most() - want)
		if !(diff < last/5) {
			t.Errorf("rod of %g m differs by %g rad, before %g", length, diff, last)
		}
		last = diff
	}
}

func TestFrictionLoop(t *testing.T) {
	u := plain()
	u.Friction = 0.8
	near(t, "band", u.hysteresis(), 2*0.8/u.Area, 1e-9)
	x := 0.0
	for _, c := range []struct{ vacuum, want float64 }{
		{u.vacuum(0.6*u.Travel, pulling), 0.6 * u.Travel},
		{u.vacuum(0.6*u.Travel, pulling) - 0.9*u.hysteresis(), 0.6 * u.Travel}, // inside the play
		{u.vacuum(0.3*u.Travel, releasing), 0.3 * u.Travel},
		{u.vacuum(0.3*u.Travel, releasing) + 0.9*u.hysteresis(), 0.3 * u.Travel},
		{MostVacuum, u.Travel},
		{0, 0},
	} {
		x = u.follow(x, c.vacuum)
		near(t, "rod travel", x, c.want, 1e-12)
	}
	if u.Stuck() != 0 {
		t.Errorf("a preload of %g N overcomes %g N, but the plate sticks at %g rad", u.Preload, u.Friction, u.Stuck())
	}
	u.Friction = u.Preload + u.Rate*u.Travel/2
	near(t, "travel held by friction", u.pull(u.Stuck()), u.Travel/2, 1e-12)
	up, _ := u.Advance(0)
	down, _ := u.Retreat(0)
	if up != 0 || !(down == u.Stuck()) {
		t.Errorf("advance %g rad pulling, %g rad releasing", up, down)
	}
}

func TestBadUnitsAndVacuumsAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, spoil := range map[string]func(*Unit){
		"zero unit":                func(u *Unit) { *u = Unit{} },
		"no area":                  func(u *Unit) { u.Area = 0 },
		"rate not a number":        func(u *Unit) { u.Rate = nan },
		"infinite rate":            func(u *Unit) { u.Rate = inf },
		"negative preload":         func(u *Unit) { u.Preload = -1 },
		"negative friction":        func(u *Unit) { u.Friction = -1 },
		"limiter beyond stroke":    func(u *Unit) { u.Stroke = 0.9 * u.Travel },
		"limiter beyond arm":       func(u *Unit) { u.Travel = u.ArmRadius },
		"arm past its dead centre": func(u *Unit) { u.RodLength, u.ArmAngle, u.RodTilt = 0.05, 1, -0.6 },
		"arm past its dead end":    func(u *Unit) { u.RodLength, u.ArmAngle, u.Travel = 0.05, 1.2, 0.02 },
		"diaphragm on wrong side":  func(u *Unit) { u.RodLength, u.ArmAngle = 0.01, -1 },
	} {
		u := plain()
		spoil(&u)
		if err := u.Check(); !errors.Is(err, errRange) {
			t.Errorf("%s: error %v", name, err)
		}
		if a, err := u.Advance(1e4); a != 0 || err == nil {
			t.Errorf("%s: advance %g, error %v", name, a, err)
		}
		if u.Onset() != 0 || u.Full() != 0 || u.Stuck() != 0 {
			t.Errorf("%s: onset %g, full %g", name, u.Onset(), u.Full())
		}
	}
	for _, vac := range []float64{-1, nan, inf, -inf, MostVacuum + 1} {
		if _, err := plain().Advance(vac); !errors.Is(err, errRange) {
			t.Errorf("vacuum %g Pa: error %v", vac, err)
		}
	}
}

func TestNames(t *testing.T) {
	for got, want := range map[string]string{
		FromManifold.String(): "manifold", FromPort.String(): "ported", Source(-7).String(): "unknown",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// hysteresis returns the vacuum in Pa that lies between the lines of rising and
// falling vacuum at the same position: 2 Friction / Area, the width of the loop on
// a hand-pump diagram.
func (u Unit) hysteresis() float64 { return u.vacuum(0, pulling) - u.vacuum(0, releasing) }
