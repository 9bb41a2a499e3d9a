package motion

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// The slider: a weight on a radial guide with its spring along the guide makes
// every term linear, J phi” + K phi = M, so that everything has a closed form.
const (
	mass  = 0.05  // kg
	reach = 0.05  // m per rad
	out   = 0.02  // m from the axis at rest
	rate  = 4000. // N/m
	ahead = 0.004 // m of preload
	stop  = 0.2   // rad, 10 mm
)

func slider(friction float64) *Model {
	return &Model{Mechanism: &flyweights.Mechanism{
		Weights: []flyweights.Weight{{Mass: mass, Centre: r2.Vec{X: out}, Slide: r2.Vec{X: reach}}},
		Springs: []flyweights.Spring{{
			Law: springs.Spring{Rate: rate, FreeLength: 0.03 + out - ahead},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.03}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{X: out}},
		}},
		Linkage:  flyweights.Ratio{K: 1},
		Stop:     stop,
		Friction: flyweights.Friction{Moment: friction},
	}}
}

// stiffness and push of the slider at a speed: J phi” = push - stiffness phi.
func linear(omega float64) (inertia, stiffness, push float64) {
	return mass * reach * reach, (rate - mass*omega*omega) * reach * reach, (mass*omega*omega*out - rate*ahead) * reach
}

func course(t *testing.T, m *Model, h SpeedProfile, s Settings) *Result {
	t.Helper()
	r, err := m.Run(context.Background(), h, &s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func kindsOf(es []event) (ks []string) {
	for _, e := range es {
		ks = append(ks, e.Kind.String())
	}
	return ks
}

// Free swing about the balance: a cosine of the closed form's frequency.
func TestFreeSwing(t *testing.T) {
	const omega = 150.
	j, k, push := linear(omega)
	centre, w := push/k, math.Sqrt(k/j)
	r := course(t, slider(0), steady(omega), Settings{Duration: 0.2, Phi: centre + 0.01, Every: 0.01})
	for i, at := range r.Times {
		within(t, "swing", r.Phi[i], centre+0.01*math.Cos(w*at), 1e-8)
		within(t, "rate", r.Rate[i], -0.01*w*math.Sin(w*at), 1e-8*w)
	}
	if len(r.Events) != 0 {
		t.Errorf("events %v in a free swing", r.Events)
	}
	if len(r.Times) != 21 {
		t.Errorf("%d samples, want 21", len(r.Times))
	}
}

// Coulomb friction moves the centre of every half swing by F/K against the
// motion, so the swings shrink by 2F/K and end inside the band: from 7.3 F/K by
// -5.3, 3.3 and -1.3 to rest at -0.7.
func TestDryFriction(t *testing.T) {
	const omega, friction = 150., 0.004
	j, k, push := linear(omega)
	centre, w := push/k, math.Sqrt(k/j)
	lost := friction / k
	r := course(t, slider(friction), steady(omega), Settings{
		Duration: 0.2, Phi: centre + 7.3*lost, Every: math.Pi / w, Relative: 1e-12, Absolute: 1e-14,
	})
	for i, want := range []float64{7.3, -5.3, 3.3, -1.3, -0.7, -0.7} {
		within(t, "turning point", (r.Phi[i]-centre)/lost, want, 1e-6)
	}
	if diff := cmp.Diff([]string{"stick"}, kindsOf(r.Events)); diff != "" {
		t.Fatal(diff)
	}
	within(t, "sticks after four half swings", r.Events[0].Time, 4*math.Pi/w, 1e-9)
	within(t, "stays", r.EndPhi, r.Events[0].Phi, 0)
	within(t, "at rest", r.EndRate, 0, 0)
}

// Stuck weights slip when the speed has risen to
// omega^2 m (out + reach phi) reach = restore + F, a closed form in time for a
// speed that rises evenly.
func TestSlip(t *testing.T) {
	const friction, phi = 0.02, 0.05
	slips := math.Sqrt((rate*(ahead+reach*phi) + friction/reach) / (mass * (out + reach*phi)))
	holds := math.Sqrt(rate * (ahead + reach*phi) / (mass * (out + reach*phi)))
	h, err := NewPoints([]float64{0, 1}, []float64{holds, holds + 10})
	if err != nil {
		t.Fatal(err)
	}
	r := course(t, slider(friction), h, Settings{Duration: 1, Phi: phi})
	if len(r.Events) == 0 || r.Events[0].Kind != slip {
		t.Fatalf("events %v", r.Events)
	}
	within(t, "time of the slip", r.Events[0].Time, (slips-holds)/10, 1e-12)
	within(t, "where", r.Events[0].Phi, phi, 0)
}

// The stops hold and let go at the speeds of the static balance, whatever the
// dynamics between.
func TestStopsHoldAndLetGo(t *testing.T) {
	begin := math.Sqrt(rate * ahead / (mass * out))
	all := math.Sqrt(rate * (ahead + reach*stop) / (mass * (out + reach*stop)))
	h, err := NewPoints([]float64{0, 1, 1.5, 2.5}, []float64{100, 250, 250, 100})
	if err != nil {
		t.Fatal(err)
	}
	m := slider(0)
	m.Damping = 0.05
	r := course(t, m, h, Settings{Duration: 2.5, Every: 0.01})
	if diff := cmp.Diff([]string{"leave", "arrive", "leave", "arrive"}, kindsOf(r.Events)); diff != "" {
		t.Fatal(diff)
	}
	within(t, "leaves rest", r.Events[0].Time, (begin-100)/150, 1e-12)
	within(t, "leaves the stop", r.Events[2].Time, 1.5+(250-all)/150, 1e-12)
	for i, want := range []float64{0, stop, stop, 0} {
		within(t, "event at", r.Events[i].Phi, want, 0)
	}
	if !(r.Events[1].Omega > all) || !(r.Events[3].Omega < begin) {
		t.Errorf("arrivals at %g and %g rad/s do not lag the balance at %g and %g", r.Events[1].Omega, r.Events[3].Omega, all, begin)
	}
	for i, phi := range r.Phi {
		if !(phi >= 0 && phi <= stop) {
			t.Errorf("swing %g outside its stops at %g s", phi, r.Times[i])
		}
	}
}

// Without friction a bounce takes the same speed back to the stop as it left
// with, so that every arrival is Restitution times the one before.
func TestRestitution(t *testing.T) {
	m := slider(0)
	m.Restitution = 0.5
	r := course(t, m, steady(60), Settings{Duration: 0.5, Phi: 0.1})
	if len(r.Events) < 4 {
		t.Fatalf("%d events, want several bounces", len(r.Events))
	}
	for i := 1; i < len(r.Events); i++ {
		if r.Events[i].Kind != arrive {
			t.Fatalf("event %v among bounces", r.Events[i])
		}
		within(t, "arrival", r.Events[i].Rate, 0.5*r.Events[i-1].Rate, 1e-7*math.Abs(r.Events[0].Rate))
	}
	within(t, "at rest in the end", r.EndPhi, 0, 0)
}

// A ripple of speed drives the damped slider as any linear oscillator: the
// amplitude of the response is the drive over |K - J w^2 + i D w|, to first order
// in the depth. Sparks tied to the wave see one phase of it and do not scatter;
// sparks at another pitch see all.
func TestRipple(t *testing.T) {
	const omega, depth = 150., 1e-4
	m := slider(0)
	m.Damping = 0.01
	j, k, push := linear(omega)
	centre := push / k
	// dM/domega * omega depth, at the balance
	drive := 2 * mass * omega * omega * depth * (out + reach*centre) * reach
	w := 2 * omega // two waves per turn
	want := drive / math.Hypot(k-j*w*w, m.Damping*w)
	r := course(t, m, Ripple{Mean: omega, Depth: depth, PerTurn: 2}, Settings{
		Duration: 3, Phi: centre, Every: 1e-4, Relative: 1e-10, Absolute: 1e-13, Sparks: 2,
	})
	var least, greatest = math.Inf(1), math.Inf(-1)
	for i, at := range r.Times {
		if at > 2.5 {
			least, greatest = math.Min(least, r.Phi[i]), math.Max(greatest, r.Phi[i])
		}
	}
	within(t, "amplitude", (greatest-least)/2, want, 1e-3*want)
	tied, err := ScatterOf(r.Sparks, 2.5)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "scatter of sparks tied to the wave", tied.Deviation, 0, 1e-3*want)

	loose := course(t, m, Ripple{Mean: omega, Depth: depth, PerTurn: 2}, Settings{
		Duration: 6, Phi: centre, Relative: 1e-10, Absolute: 1e-13, Sparks: 7,
	})
	all, err := ScatterOf(loose.Sparks, 2.5)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "scatter over all phases", all.Deviation, want/math.Sqrt2, 0.02*want)
}

// At a steady speed in balance sparks come at an even pace and do not scatter.
func TestSparksOfASteadyShaft(t *testing.T) {
	const omega = 150.
	_, k, push := linear(omega)
	r := course(t, slider(0), steady(omega), Settings{Duration: 1, Phi: push / k, Sparks: 4})
	if n := int((omega + push/k) / (2 * math.Pi) * 4); len(r.Sparks) != n {
		t.Errorf("%d sparks, want %d", len(r.Sparks), n)
	}
	for i := 1; i < len(r.Sparks); i++ {
		within(t, "pace", r.Sparks[i].Time-r.Sparks[i-1].Time, 2*math.Pi/4/omega, 1e-9)
		within(t, "advance", r.Sparks[i].Theta, push/k, 1e-9)
	}
	// The cam's own angle at a spark is a whole number of pitches.
	turned := (omega*r.Sparks[0].Time + r.Sparks[0].Theta) / (math.Pi / 2)
	within(t, "position", turned, math.Round(turned), 1e-9)
}

func TestRunRefuses(t *testing.T) {
	good := Settings{Duration: 1}
	for name, c := range map[string]struct {
		spoil func(*Model, *Settings)
		h     SpeedProfile
	}{
		"no mechanism":  {func(m *Model, _ *Settings) { m.Mechanism = nil }, steady(1)},
		"bad mechanism": {func(m *Model, _ *Settings) { m.Mechanism.Stop = -1 }, steady(1)},
		"cam inertia":   {func(m *Model, _ *Settings) { m.CamInertia = -1 }, steady(1)},
		"damping":       {func(m *Model, _ *Settings) { m.Damping = math.NaN() }, steady(1)},
		"bounce":        {func(m *Model, _ *Settings) { m.Restitution = 1 }, steady(1)},
		"duration":      {func(_ *Model, s *Settings) { s.Duration = 0 }, steady(1)},
		"starting":      {func(_ *Model, s *Settings) { s.Phi = 1 }, steady(1)},
		"rate":          {func(_ *Model, s *Settings) { s.Rate = math.Inf(1) }, steady(1)},
		"relative":      {func(_ *Model, s *Settings) { s.Relative = -1 }, steady(1)},
		"samples":       {func(_ *Model, s *Settings) { s.Every = 1e-12 }, steady(1)},
		"no profile":    {func(*Model, *Settings) {}, nil},
		"steady":        {func(*Model, *Settings) {}, steady(-1)},
		"ripple":        {func(*Model, *Settings) {}, Ripple{Mean: 1, Depth: 1, PerTurn: 1}},
		"ripple phase":  {func(*Model, *Settings) {}, Ripple{Mean: 1, Phase: math.NaN(), PerTurn: 1}},
		"approach":      {func(*Model, *Settings) {}, FirstOrderLag{From: 1, To: 2}},
		"zero points":   {func(*Model, *Settings) {}, &points{}},
		"nil points":    {func(*Model, *Settings) {}, (*points)(nil)},
		"many sparks":   {func(_ *Model, s *Settings) { s.Sparks = 1000 }, steady(1e5)},
		"beyond speed":  {func(*Model, *Settings) {}, steady(1e17)},
		"beyond time":   {func(_ *Model, s *Settings) { s.Duration = 1e300 }, steady(1)},
	} {
		m, s := slider(0), good
		c.spoil(m, &s)
		if _, err := m.Run(context.Background(), c.h, &s); !errors.Is(err, errRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := slider(0).Run(context.Background(), steady(1), nil); !errors.Is(err, errRange) {
		t.Errorf("no settings: %v", err)
	}
	for name, c := range map[string][2][]float64{
		"short": {{0}, {1}}, "unequal": {{0, 1}, {1}}, "back": {{1, 0}, {1, 1}}, "negative": {{0, 1}, {1, -1}},
	} {
		if _, err := NewPoints(c[0], c[1]); !errors.Is(err, errRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A cancelled context ends the run with its error, and progress runs from 0 to 1.
func TestContextAndProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var shares []float64
	s := Settings{Duration: 1000, Phi: 0.01, Progress: func(x float64) {
		if shares = append(shares, x); len(shares) == 3 {
			cancel()
		}
	}}
	r, err := slider(0).Run(ctx, steady(150), &s)
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want cancelled", err)
	}
	if r == nil || !(r.EndTime > 0 && r.EndTime < 1000) || r.Steps == 0 || !(r.EndPhi >= 0 && r.EndPhi <= stop) {
		t.Errorf("a cancelled run came to %+v", r)
	}
	if len(shares) != 3 || shares[0] != 0 || !(shares[2] > shares[1]) {
		t.Errorf("progress %v", shares)
	}
}

// The last sample is not lost where the interval divides the duration but for
// rounding.
func TestLastSample(t *testing.T) {
	for _, parts := range []int{3, 7, 10, 49, 1000} {
		const duration = 0.3
		r := course(t, slider(0), steady(150), Settings{Duration: duration, Phi: 0.01, Every: duration / float64(parts)})
		if len(r.Times) != parts+1 || r.Times[parts] != duration {
			t.Errorf("%d parts: %d samples, the last at %.17g s", parts, len(r.Times), r.Times[len(r.Times)-1])
		}
	}
}

// A damping that only tiny steps follow is named as stiffness, not as a lack of
// accuracy; the run says how far it came.
func TestStiffness(t *testing.T) {
	m := slider(0)
	m.Damping = 1e5
	r, err := m.Run(context.Background(), steady(150), &Settings{Duration: 100, Phi: 0.01, Relative: 1e-3, Absolute: 1e-5})
	if !errors.Is(err, errRange) || !strings.Contains(err.Error(), "stiff") {
		t.Errorf("error %v, want stiffness named", err)
	}
	if r == nil || !(r.EndTime > 0) || r.Steps > 1e5 {
		t.Errorf("came to %+v", r)
	}
	var none context.Context
	if r, err := slider(0).Run(none, steady(1), &Settings{Duration: 1}); err == nil || r != nil {
		t.Errorf("no context: %v", err)
	}
}

// Every profile's acceleration is the derivative of its speed and its angle the
// integral, on both sides of its kinks.
func TestProfiles(t *testing.T) {
	points, err := NewPoints([]float64{0.2, 0.5, 0.9}, []float64{50, 80, 30})
	if err != nil {
		t.Fatal(err)
	}
	for name, h := range map[string]SpeedProfile{
		"steady": steady(70), "ripple": Ripple{Mean: 70, Depth: 0.05, PerTurn: 2, Phase: 0.3},
		"approach": FirstOrderLag{From: 40, To: 150, Time: 0.2, Delay: 0.3}, "points": points,
	} {
		if err := h.check(); err != nil {
			t.Error(name, err)
		}
		if !(h.scale() > 0) {
			t.Errorf("%s: scale %g", name, h.scale())
		}
		_, _, angle := h.at(0)
		within(t, name+" angle at 0", angle, 0, 0)
		for _, at := range []float64{0.1, 0.25, 0.4, 0.7, 1.3} {
			const d = 1e-6
			omega, alpha, _ := h.at(at)
			a, _, before := h.at(at - d)
			b, _, after := h.at(at + d)
			within(t, name+" acceleration", alpha, (b-a)/(2*d), 1e-5*(1+math.Abs(alpha)))
			within(t, name+" angle", omega, (after-before)/(2*d), 1e-6*omega)
		}
		for at := 0.0; ; {
			next := h.next(at)
			if math.IsInf(next, 1) {
				break
			}
			_, _, before := h.at(next - 1e-12)
			_, _, after := h.at(next)
			within(t, name+" angle across a kink", after, before, 1e-9)
			if !(next > at) {
				t.Fatalf("%s: next after %g is %g", name, at, next)
			}
			at = next
		}
	}
}

func TestEventKindString(t *testing.T) {
	if got := eventKind(42).String(); got != "event kind 42" {
		t.Error(got)
	}
}

func TestScatterRefuses(t *testing.T) {
	for _, sparks := range [][]Spark{nil, {{1, 1}}, {{1, math.NaN()}, {2, 1}}} {
		if _, err := ScatterOf(sparks, 0); !errors.Is(err, errRange) {
			t.Errorf("%v: %v", sparks, err)
		}
	}
}
