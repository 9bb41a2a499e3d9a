package vacuum

import (
	"fmt"
	"math"
	"sort"
)

// PumpReading is one reading with a hand pump on the unit: the vacuum on the gauge and
// how far the plate has turned from rest.
type PumpReading struct {
	Vacuum float64 // Pa
	Theta  float64 // rad at the distributor shaft
	// Falling says that the vacuum was let down to here, and not pumped up.
	Falling bool
}

// MeasurementError are the errors of the readings, one standard deviation.
type MeasurementError struct {
	Vacuum float64 // Pa, 1 to 20 000; 0 means 0.5 inHg
	Theta  float64 // rad, 1e-5 to 0.2; 0 means half a degree at the distributor shaft
}

// PumpEstimate is a value with its interval of 95 per cent. An end that the readings
// do not bound is marked: Low or High is then only the end of what was searched.
type PumpEstimate struct {
	Value, Low, High float64
	NoLow, NoHigh    bool
}

// Identification is a unit as hand-pump readings show it.
type Identification struct {
	Onset      PumpEstimate // Pa at which the plate begins to move, vacuum rising
	Slope      PumpEstimate // rad at the distributor shaft per Pa
	Full       PumpEstimate // Pa at which the limiter is met, vacuum rising
	Most       PumpEstimate // rad at the limiter
	Hysteresis PumpEstimate // Pa between the lines up and down; unbounded if no reading was taken with the vacuum let down
	// Misfit is the mean square of the misfit in units of the errors' errors, per
	// reading beyond the number of parameters: about 1 where the errors are as
	// stated, much more where a reading is a blunder or the plate sticks. 0 where
	// there are no readings to spare.
	Misfit float64
	// Notes says in words what the readings leave open.
	Notes []string
}

// ramp is the model: rest, a straight line, the limiter. The band shifts the line
// for vacuum let down. An arm's sine is taken as its angle: at 10 degrees that is
// half a per cent.
type ramp struct{ onset, full, most, band float64 }

func (r ramp) slope() float64 { return r.most / (r.full - r.onset) }

// at is the angle at a reading's vacuum, and the slope there.
func (r ramp) at(p PumpReading) (theta, slope float64) {
	v := p.Vacuum
	if p.Falling {
		v += r.band
	}
	switch {
	case v <= r.onset:
		return 0, 0
	case v >= r.full:
		return r.most, 0
	}
	return (v - r.onset) * r.slope(), r.slope()
}

// Bounds of the search: no plate turns by half a radian, no ramp is steeper than
// its whole travel in 200 Pa.
const (
	mostTurn  = 0.5
	leastRamp = 200.0
)

func (r ramp) possible() bool {
	return r.onset >= -MostVacuum/2 && r.full-r.onset >= leastRamp && r.full <= 2*MostVacuum && r.most > 0 && r.most <= mostTurn && r.band >= 0 && r.band <= MostVacuum
}

// Identify fits onset, slope, full pull and friction band to readings of a hand
// pump, and gives intervals of 95 per cent from the profile of the likelihood:
// errors in the angle and, through the slope, in the vacuum. Three readings or
// more, of which two have moved; none negative. What the readings do not show is
// left open and said so: without a reading at rest the onset has no lower end,
// without two on the limiter the full pull has no upper one.
func Identify(readings []PumpReading, errors MeasurementError) (*Identification, error) {
	if errors.Vacuum == 0 {
		errors.Vacuum = 0.5 * InchOfMercury
	}
	if errors.Theta == 0 {
		errors.Theta = 0.5 * math.Pi / 180
	}
	if err := checkReadings(readings, errors); err != nil {
		return nil, err
	}
	f := fit{readings: readings, errors: errors}
	for _, p := range readings {
		f.down = f.down || p.Falling
	}
	f.search()
	best := f.best
	id := &Identification{}
	for _, e := range []struct {
		to     *PumpEstimate
		of     quantity
		lo, hi float64
	}{
		{&id.Onset, byOnset, 0, MostVacuum},
		{&id.Slope, bySlope, 1e-3 * mostTurn / MostVacuum, mostTurn / leastRamp},
		{&id.Full, byFull, 0, 2 * MostVacuum},
		{&id.Most, byMost, 1e-4, mostTurn},
		{&id.Hysteresis, byBand, 0, MostVacuum},
	} {
		if e.of == byBand && !f.down {
			*e.to = PumpEstimate{0, 0, MostVacuum, true, true}
			continue
		}
		*e.to = f.interval(best, e.of, e.lo, e.hi)
	}
	// The end of the line is known from above only where the limiter is.
	id.Full.NoHigh = id.Full.NoHigh || id.Most.NoHigh
	free := 3
	if f.down {
		free = 4
	}
	if spare := len(readings) - free; spare > 0 {
		sum, _ := f.squares(best)
		id.Misfit = sum / float64(spare)
	}
	id.remark(len(readings) - free)
	return id, nil
}

func checkReadings(readings []PumpReading, errors MeasurementError) error {
	moved := 0
	for i, p := range readings {
		err := check(
			within(fmt.Sprintf("vacuum of reading %d", i+1), p.Vacuum, "Pa", 0, MostVacuum),
			within(fmt.Sprintf("angle of reading %d", i+1), p.Theta, "rad", 0, mostTurn),
		)
		if err != nil {
			return err
		}
		if p.Theta > 2*errors.Theta {
			moved++
		}
	}
	if len(readings) < 3 {
		return refuse("number of readings", float64(len(readings)), "", "3 or more")
	}
	if moved < 2 {
		return refuse("number of readings that have moved", float64(moved), "", "2 or more beyond twice the angle's error")
	}
	return check(
		within("error of the vacuum gauge", errors.Vacuum, "Pa", 1, 20e3),
		within("error of the angle", errors.Theta, "rad", 1e-5, 0.2),
	)
}

// remark says in words what stays open.
func (id *Identification) remark(spare int) {
	say := func(s string) { id.Notes = append(id.Notes, s) }
	if id.Onset.NoLow {
		say("No reading shows the plate at rest under vacuum: the onset is only known from above. Read at lower vacuum.")
	}
	if id.Full.NoHigh || id.Most.NoHigh {
		say("The limiter was not seen for certain: full pull and maximum are only known from below. Pump deeper.")
	}
	if id.Hysteresis.NoHigh {
		say("No reading was taken while the vacuum was let down: friction is unknown.")
	}
	if spare > 0 && id.Misfit > 4 {
		say(fmt.Sprintf("The readings scatter %.1f times as much as the errors should: look for a blunder, a sticking plate or a leak.", math.Sqrt(id.Misfit)))
	}
}

// Unit returns a unit that behaves as identified. A hand pump cannot tell area
// from spring, so the area (m^2) has to be given, with the arm's radius (m); rate,
// preload, travel and friction follow.
func (id *Identification) Unit(area, armRadius float64) (Unit, error) {
	if err := check(size("effective area", area, "m^2", 1), size("arm radius", armRadius, "m", 1), size("slope", id.Slope.Value, "rad/Pa", 1)); err != nil {
		return Unit{}, err
	}
	u := Unit{
		Area:      area,
		Travel:    armRadius * math.Sin(id.Most.Value),
		ArmRadius: armRadius,
		Friction:  id.Hysteresis.Value * area / 2,
	}
	if u.Travel > 0 {
		u.Rate = area * (id.Full.Value - id.Onset.Value) / u.Travel
	}
	u.Preload = math.Max(0, id.Onset.Value*area-u.Friction)
	if err := u.Check(); err != nil {
		return Unit{}, err
	}
	return u, nil
}

// candidates are vacuums at which the line may begin or end: between and beyond
// the readings.
func candidates(readings []PumpReading) []float64 {
	var vs []float64
	for _, p := range readings {
		vs = append(vs, p.Vacuum)
	}
	sort.Float64s(vs)
	out := []float64{0}
	for i, v := range vs {
		if i > 0 {
			out = append(out, (vs[i-1]+v)/2)
		}
		out = append(out, v)
	}
	last := vs[len(vs)-1]
	return append(out, 1.1*last, 1.4*last)
}
