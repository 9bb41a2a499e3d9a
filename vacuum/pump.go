package vacuum

import (
	"fmt"
	"math"
	"slices"
)

// PumpReading is one reading with a hand pump on the unit.
type PumpReading struct {
	Vacuum float64 // Pa on the gauge, 0 to MostVacuum
	Theta  float64 // rad at the distributor shaft by which the plate has turned from rest, 0 to 0.5
	// Falling says that the vacuum was let down to here, and not pumped up.
	Falling bool
	// Event says what the plate did at this vacuum; the zero value is a plate at
	// rest under a vacuum that is held.
	Event PumpEvent
}

// PumpEvent is what the plate does at a reading.
type PumpEvent int

const (
	// Held is a vacuum that is held while the angle is read.
	Held PumpEvent = iota
	// Starts is the vacuum at which the plate begins to move: it leaves rest while
	// the vacuum rises, the limiter while it falls. Theta is not used.
	Starts
	// Stops is the vacuum at which the plate comes to its end: to the limiter while
	// the vacuum rises, to rest while it falls. Theta is not used.
	Stops
)

// MeasurementError holds the errors of the readings, one standard deviation. A
// scale that rounds to a division errs by 0.29 of it.
type MeasurementError struct {
	Vacuum float64 // Pa, 1 to 20 000; 0 means 0.5 inHg
	Theta  float64 // rad, 1e-5 to 0.2; 0 means half a degree at the distributor shaft
}

// PumpEstimate is a value with its interval of 95 per cent. An end that the
// readings do not show is marked: Low or High is then only the end of what was
// searched, and Value leans on what is usual.
type PumpEstimate struct {
	Value, Low, High float64
	NoLow, NoHigh    bool
}

// Identification is a unit as hand-pump readings show it.
type Identification struct {
	Onset      PumpEstimate // Pa at which the plate begins to move, vacuum rising
	Full       PumpEstimate // Pa at which the limiter is met, vacuum rising
	Most       PumpEstimate // rad at the distributor shaft at the limiter
	Hysteresis PumpEstimate // Pa between the lines of rising and falling vacuum; unknown if no reading was taken while it fell
	// Misfit is the sum of squared residuals in units of the errors, at the values
	// found, for each reading beyond the number of parameters: about 1 where the errors
	// are as stated, much more where a reading is an outlier or the plate sticks. 0
	// where there are no readings to spare.
	Misfit float64
	// Notes says in words what the readings leave open, and what to read next.
	Notes []string
}

// ramp is the model of a unit: rest, a straight line, the limiter. The hysteresis
// shifts all of it for a falling vacuum. An arm's sine is taken as its angle: at
// 10 degrees that is half a per cent.
type ramp struct{ onset, full, most, hysteresis float64 }

// mostTurn is the largest turn in rad of any plate.
const mostTurn = 0.5

// Identify returns onset, full pull, greatest angle and hysteresis of a unit from
// readings with a hand pump: a plateau, a straight ramp and a plateau, with dry
// friction between rising and falling vacuum. Two readings or more (see
// [PumpReading]), of which one has moved or is an event.
//
// Both gauges err: the likelihood of a reading is the integral over all vacuums
// that the gauge may have meant. Value is the median, Low and High the 2.5 and 97.5
// per cent points of the posterior. Its prior is what is usual, wide and common
// practice without a source: an onset anywhere from 0 to 25 inHg, a ramp of 5.5
// inHg within a factor of 1.6 (one standard deviation), 8 degrees at the distributor
// shaft within a factor of 1.8. An end that the readings do not show is open:
// without a reading at rest the onset has no lower end, without the limiter seen
// the full pull and the greatest angle have no upper one. Events alone tell onset and
// full pull and nothing of the greatest angle: both its ends are open.
//
// The best five readings: twice the vacuum at which the plate starts, twice that
// at which it stops, and the angle at a deep vacuum. With errors of 0.5 inHg and half
// a degree they find onset and full pull within 0.3 inHg in the mean; five held
// vacuums within 0.8 inHg. A test holds both, and the intervals, on simulated units.
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
	p := posterior{readings: readings, errors: errors}
	for _, r := range readings {
		p.falling = p.falling || r.Falling
	}
	id := p.estimate()
	id.open(&p)
	id.remark(&p)
	return id, nil
}

func checkReadings(readings []PumpReading, errors MeasurementError) error {
	err := check(
		within("error of the vacuum gauge", errors.Vacuum, "Pa", 1, 20e3),
		within("error of the angle", errors.Theta, "rad", 1e-5, 0.2),
		within("number of readings", float64(len(readings)), "", 2, 200),
	)
	if err != nil {
		return err
	}
	moves := 0
	for i, r := range readings {
		if r.Event < Held || r.Event > Stops {
			return refuse(fmt.Sprintf("event of reading %d", i+1), float64(r.Event), "", "Held, Starts or Stops")
		}
		err := check(
			within(fmt.Sprintf("vacuum of reading %d", i+1), r.Vacuum, "Pa", 0, MostVacuum),
			within(fmt.Sprintf("angle of reading %d", i+1), r.Theta, "rad", 0, mostTurn),
		)
		if err != nil {
			return err
		}
		if r.Event != Held || moved(r, errors) {
			moves++
		}
	}
	if moves == 0 {
		return refuse("number of readings that have moved", 0, "", "1 or more: an event, or held beyond twice the angle's error")
	}
	return nil
}

// moved says that a reading shows degrees.
func moved(r PumpReading, errors MeasurementError) bool {
	return r.Event == Held && r.Theta > 2*errors.Theta
}

// open marks the ends that no reading shows: a plateau counts as seen where a
// reading lies on it with 97.5 per cent, or where an event tells.
func (id *Identification) open(p *posterior) {
	rest, limit, turned := false, false, false
	for i, r := range p.readings {
		turned = turned || moved(r, p.errors)
		switch {
		case r.atOnset():
			rest = true
		case r.Event != Held:
			limit = true
		default:
			rest = rest || p.atRest[i] > 0.975 && r.Vacuum > 0
			limit = limit || p.atLimit[i] > 0.975
		}
	}
	if !rest {
		id.Onset.NoLow, id.Onset.Low = true, 0
	}
	if !limit {
		id.Full.NoHigh, id.Full.High = true, MostVacuum
		id.Most.NoHigh, id.Most.High = true, mostTurn
	}
	if !turned {
		id.Most.NoLow, id.Most.Low = true, 0
		id.Most.NoHigh, id.Most.High = true, mostTurn
	}
	if !p.falling {
		id.Hysteresis = PumpEstimate{0, 0, MostVacuum, true, true}
	}
}

// remark says in words what stays open.
func (id *Identification) remark(p *posterior) {
	say := func(format string, a ...any) { id.Notes = append(id.Notes, fmt.Sprintf(format, a...)) }
	still := slices.IndexFunc(p.readings, func(r PumpReading) bool { return r.Event == Held && r.Vacuum > 0 && !moved(r, p.errors) })
	switch {
	case id.Onset.NoLow && still >= 0:
		say("The gauge's error leaves open whether the plate was at rest at %.1f inHg: the onset is only known from above. Read the vacuum at which the plate starts to move.", p.readings[still].Vacuum/InchOfMercury)
	case id.Onset.NoLow:
		say("No reading shows the plate at rest under vacuum: the onset is only known from above. Read the vacuum at which the plate starts to move.")
	}
	if id.Most.NoLow {
		say("No reading shows degrees: how far the plate turns is unknown. Read the angle at a deep vacuum.")
	}
	if id.Full.NoHigh {
		say("The limiter was not seen for certain: full pull and greatest advance are only known from below. Pump deeper, and read the vacuum at which the plate stops.")
	}
	const wanted = 2 * InchOfMercury
	if !id.Onset.NoLow && id.Onset.High-id.Onset.Low > wanted {
		say("The onset is known within %.1f inHg. Read again the vacuum at which the plate starts to move.", (id.Onset.High-id.Onset.Low)/InchOfMercury)
	}
	if !id.Full.NoHigh && id.Full.High-id.Full.Low > wanted {
		say("The full pull is known within %.1f inHg. Read again the vacuum at which the plate stops.", (id.Full.High-id.Full.Low)/InchOfMercury)
	}
	if !p.falling {
		say("No reading was taken while the vacuum was let down: friction is unknown.")
	}
	if id.Misfit > 4 {
		say("The readings scatter %.1f times as much as their errors: probable outlier, sticking plate or leak.", math.Sqrt(id.Misfit))
	}
}

// Unit returns a unit that behaves as identified, within 0.002 degrees, for whatever
// asks for one: no advance up to the onset, a straight line to the greatest advance at
// full pull, constant beyond. Hysteresis is 0 where it is not known, and at most twice
// the onset: the plate went home. The arm is its radius in m (0.005 to 0.2; 0 = not
// known). A hand pump cannot tell area from spring: they are of ordinary size, and
// neither limiter nor adjuster depends on them. Without the arm the rod's travel is made
// up as well, and the unit says so ([Unit.Nominal]). Refused: nil, an onset below 0, a
// full pull less than 10 Pa above it and a greatest advance below 1e-4 rad.
func (id *Identification) Unit(arm float64) (Unit, error) {
	if id == nil {
		return Unit{}, fmt.Errorf("%w: there is no identification, valid is one of Identify", errRange)
	}
	nominal := arm == 0
	if nominal {
		arm = 32e-3
	}
	onset, full, most, hysteresis := id.Onset.Value, id.Full.Value, id.Most.Value, 0.0
	if !id.Hysteresis.NoHigh {
		hysteresis = math.Min(id.Hysteresis.Value, 2*onset)
	}
	err := check(
		within("arm radius", arm, "m", 0.005, 0.2),
		within("onset", onset, "Pa", 0, MostVacuum),
		within("full pull", full, "Pa", onset+10, 2*MostVacuum),
		within("greatest advance", most, "rad", 1e-4, mostTurn),
		within("hysteresis", hysteresis, "Pa", 0, 2*onset),
	)
	if err != nil {
		return Unit{}, err
	}
	const area = 9e-4
	u := Unit{Area: area, ArmRadius: arm, Nominal: nominal}
	// An arm that swings as far beyond square as it stands before it turns in
	// proportion to the rod but for a third-order term.
	u.ArmAngle = -most / 2
	u.Travel = 2 * arm * math.Sin(most/2)
	u.Friction = hysteresis * area / 2
	u.Preload = math.Max(0, onset*area-u.Friction)
	u.Rate = (full - onset) * area / u.Travel
	return u, u.Check()
}
