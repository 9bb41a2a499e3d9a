package mapping

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/vacuum"
)

// Situation is what [Advise] needs to know. Vacuums are those of the manifold,
// warm engine, in Pa below the ambient air.
type Situation struct {
	Unit  vacuum.Unit
	Drive advance.Drive

	IdleVacuum   float64 // Pa
	CruiseVacuum float64 // Pa, light load on a level road
	Scatter      float64 // Pa by which a vacuum may differ from the figures above; 0 means 1.5 inHg

	Static           float64 // crank degrees, weights at rest
	MechanicalIdle   float64 // crank degrees of centrifugal advance at idle less the ignition's delay, 0 if none has begun
	MechanicalCruise float64 // crank degrees of the same at cruise speed
	WantedCruise     float64 // crank degrees of total advance wanted at light cruise
	WantedIdle       float64 // crank degrees wanted at idle; 0 = no wish

	Screw vacuum.Adjuster // of the unit's spring; a Pitch of 0 = none, or not known

	// Light are the speeds up to the top at which the engine may run at light load, with
	// the unit fully pulled; the limiter is sized by the worst of them. None = only the
	// cruise is looked at.
	Light  []LightLoad
	Margin float64 // crank degrees wanted below the knock limit at light load, 0 to 30

	// HeavyVacuum is the manifold vacuum of heavy load in Pa, at which no advance is
	// wanted; 0 means 2.5 inHg (common practice, no source).
	HeavyVacuum float64
	// Uncertain is half the width of the interval of onset and full pull in Pa, where
	// they were read with a hand pump. It adds to Scatter, as a root of squares.
	Uncertain float64
}

// LightLoad is one speed at light load.
type LightLoad struct {
	RPM         float64     // engine rpm, 200 to 20000
	Mechanical  float64     // crank degrees of centrifugal advance less the ignition's delay
	Requirement Requirement // what the engine wants and tolerates there; an MBT of 0 = not known
}

// defaultScatter is how far the vacuum of an engine wanders with heat, load of
// the accessories and weather: common practice, no source.
const defaultScatter = 1.5 * vacuum.InchOfMercury

// defaultHeavy is the vacuum near full throttle: common practice, no source.
const defaultHeavy = 2.5 * vacuum.InchOfMercury

// usualLow and usualHigh are the largest totals with the hose on, in crank degrees at
// light load, beyond which the trade warns: common practice, no source.
const usualLow, usualHigh = 50.0, 54.0

// LightError is the error of a timing light and the eye in crank degrees either
// way, which every [Window] of an [Advice] allows: common practice, no source.
const LightError = 1.0

// flat is how far off best torque the spark may be before it is worth a word:
// torque is flat there (about 0.5 per cent at 4 degrees; common practice, no
// source).
const flat = 4.0

// check refuses a situation whose parts refuse themselves or whose values lie
// outside any engine's.
func (s *Situation) check() error {
	if s == nil {
		return missing("situation")
	}
	if err := s.Unit.Check(); err != nil {
		return fmt.Errorf("mapping: vacuum unit: %w", err)
	}
	if err := s.Drive.Check(); err != nil {
		return fmt.Errorf("mapping: %w", err)
	}
	for i, l := range s.Light {
		name := fmt.Sprintf("of light load %d", i+1)
		err := check(
			within("speed "+name, l.RPM, "rpm crank", 200, 20000),
			within("mechanical advance "+name, l.Mechanical, "deg crank", -60, 90),
			within("MBT "+name, l.Requirement.MBT, "deg crank", -90, 180),
			within("KLSA "+name, l.Requirement.KLSA, "deg crank", -180, 180),
		)
		if err != nil {
			return err
		}
	}
	return check(
		within("knock margin", s.Margin, "deg crank", 0, 30),
		within("vacuum of heavy load", s.HeavyVacuum, "Pa", 0, 50e3),
		within("uncertainty of the unit", s.Uncertain, "Pa", 0, 50e3),
		within("idle vacuum", s.IdleVacuum, "Pa", 0, vacuum.MostVacuum),
		within("cruise vacuum", s.CruiseVacuum, "Pa", 0, vacuum.MostVacuum),
		within("scatter of the vacuum", s.Scatter, "Pa", 0, 50e3),
		within("static timing", s.Static, "deg crank", -60, 90),
		within("mechanical advance at idle", s.MechanicalIdle, "deg crank", -30, 90),
		within("mechanical advance at cruise", s.MechanicalCruise, "deg crank", -30, 90),
		within("wanted cruise total", s.WantedCruise, "deg crank", -60, 90),
		within("wanted idle timing", s.WantedIdle, "deg crank", -60, 90),
	)
}

// Window is what a timing light must show, and between what it still passes.
type Window struct{ Degrees, Low, High float64 } // crank degrees BTDC

// How the unit stands at a vacuum that wanders: below its onset with all of the scatter,
// between, where the advance follows every wander, or against the limiter with all of it.
const (
	pulledNot    = "not pulled"
	pulledPartly = "on its ramp"
	pulledFully  = "fully pulled"
)

// Advice is the answer of [Advise].
type Advice struct {
	Source vacuum.Source
	Why    string // why this source, in a sentence

	Unit    vacuum.Unit // with its limiter set
	Degrees float64     // crank degrees at which to set the limiter, hand pump on; 0 = leave the hose off
	AtIdle  string      // "not pulled", "on its ramp" or "fully pulled", on manifold vacuum
	AtDrive string      // the same at cruise

	Idle    Window  // hose on, at idle, on the source advised
	Cruise  Window  // hose on, at cruise
	Deficit float64 // crank degrees that the cruise total stays below the wanted one; negative = above

	// Largest is the largest total with the hose on at any light-load speed, and at
	// which; the cruise's where no Light was given.
	Largest    float64 // crank degrees
	LargestRPM float64 // engine rpm; 0 = at the cruise
	// SizedBy is the engine rpm that holds the limiter below what the cruise wants; 0 =
	// none does.
	SizedBy float64
	// Heavy are the crank degrees that the unit may still add at the vacuum of heavy
	// load, with scatter and friction against it.
	Heavy float64
	// IdleDeficit are the crank degrees that idle stays below the wanted timing; negative
	// = above; 0 without a wish.
	IdleDeficit float64

	Warnings []string // what may hurt the engine
	Notes    []string // what else to know, in order
}

// Advise chooses the hose's source, sets the limiter and says what the timing
// light must show with the hose on.
//
// The limiter is set so that static, mechanical and vacuum advance make the total
// wanted at cruise, and is held back where the same pull would be too much at another
// light-load speed: beyond best torque by more than its flat top of 4 degrees, or
// beyond the knock limit less its margin. A total above the usual 50 to 54 degrees
// is warned of.
//
// The source follows from the idle: a unit that is fully pulled there with margin
// gives a steady idle on manifold vacuum; one that is on its ramp belongs on a ported
// source, where idle leaves it alone. Where either would do, the one whose idle is
// nearer to the wanted timing is taken, and the ported one if there is no wish, since
// it leaves idle as it was set. No setting of the spring is advised that begins the
// ramp at a vacuum of heavy load. A wish that cannot be met is answered in Notes.
func Advise(s Situation) (*Advice, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if s.Scatter == 0 {
		s.Scatter = defaultScatter
	}
	if s.HeavyVacuum == 0 {
		s.HeavyVacuum = defaultHeavy
	}
	s.Scatter = math.Hypot(s.Scatter, s.Uncertain)
	a := &Advice{Unit: s.Unit}
	if err := a.limit(&s); err != nil {
		return nil, err
	}
	a.AtIdle = a.pull(s.IdleVacuum, s.Scatter)
	a.AtDrive = a.pull(s.CruiseVacuum, s.Scatter)
	var err error
	if a.Cruise, err = a.window(&s, s.Static+s.MechanicalCruise, s.CruiseVacuum); err != nil {
		return nil, err
	}
	a.Deficit = s.WantedCruise - a.Cruise.Degrees
	full, err := a.window(&s, s.Static+s.MechanicalIdle, s.IdleVacuum)
	if err != nil {
		return nil, err
	}
	a.choose(&s, full)
	a.idleWish(&s, full)
	a.cruiseNotes(&s)
	a.lightLoad(&s)
	return a, a.heavyLoad(&s)
}

// limit sets the limiter to the advance that is missing at cruise, or to what the
// worst light-load speed leaves of it.
func (a *Advice) limit(s *Situation) error {
	missing := s.WantedCruise - s.Static - s.MechanicalCruise
	if missing <= 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("Without vacuum the cruise total is %.1f deg already, %.1f deg wanted: leave the hose off and plugged.", s.Static+s.MechanicalCruise, s.WantedCruise))
		return nil
	}
	room, at := s.room()
	if room < missing {
		a.SizedBy = at.RPM
		a.Notes = append(a.Notes, fmt.Sprintf("At %.0f rpm and light load the engine leaves room for %.1f deg of vacuum advance, the cruise asks for %.1f deg: the limiter follows the worst speed.", at.RPM, math.Max(0, room), missing))
	}
	if room < leastPull {
		a.Notes = append(a.Notes, "That is next to nothing: leave the hose off and plugged, or take off mechanical advance.")
		return nil
	}
	asked := math.Min(missing, room)
	most := s.Unit
	if s.Unit.Stroke > 0 {
		most.Travel = s.Unit.Stroke
		if most.Check() != nil { // the arm ends before the stroke
			most.Travel = s.Unit.Travel
		}
	}
	if reach := s.Drive.CrankDegrees(most.Most()); asked >= reach {
		// The limiter at its end, not by way of its degrees: their rounding can ask for more.
		if asked > reach {
			a.Notes = append(a.Notes, fmt.Sprintf("The unit gives at most %.1f deg crank of the %.1f deg that the cruise total asks of it.", reach, asked))
		}
		a.Degrees, a.Unit = reach, most
		return nil
	}
	a.Degrees = asked
	set, err := s.Unit.Limited(s.Drive.ShaftRadians(a.Degrees))
	if err != nil {
		return fmt.Errorf("mapping: limiter: %w", err)
	}
	a.Unit = set
	return nil
}

// leastPull is the least setting of a limiter that is worth a hose, crank degrees (a
// choice of ours).
const leastPull = 1.0

// room is the vacuum advance that the worst light-load speed leaves, and which it is.
func (s *Situation) room() (least float64, at LightLoad) {
	least = math.Inf(1)
	for _, l := range s.Light {
		r := l.Requirement
		most := math.Inf(1)
		if r.MBT > 0 {
			most = r.MBT + flat
		}
		if r.KnockLimited {
			most = math.Min(most, r.KLSA-s.Margin)
		}
		if room := most - s.Static - l.Mechanical; room < least {
			least, at = room, l
		}
	}
	return least, at
}

// pull says how the limited unit stands at a vacuum with its scatter.
func (a *Advice) pull(v, scatter float64) string {
	switch {
	case a.Degrees == 0 || v+scatter <= a.Unit.Onset():
		return pulledNot
	case v-scatter >= a.Unit.Full():
		return pulledFully
	}
	return pulledPartly
}

// window is the reading at a vacuum on top of a base: lowest while the vacuum is
// low and has risen, highest while it is high and has fallen.
func (a *Advice) window(s *Situation, base, v float64) (Window, error) {
	if a.Degrees == 0 {
		return Window{base, base - LightError, base + LightError}, nil
	}
	mid, err := a.Unit.Advance(v)
	if err != nil {
		return Window{}, err
	}
	low, err := a.Unit.Advance(math.Max(0, v-s.Scatter))
	if err != nil {
		return Window{}, err
	}
	high, err := a.Unit.Retreat(math.Min(vacuum.MostVacuum, v+s.Scatter))
	if err != nil {
		return Window{}, err
	}
	d := s.Drive.CrankDegrees
	return Window{base + d(mid), base + d(low) - LightError, base + d(high) + LightError}, nil
}

// choose takes the source. full is the idle reading on manifold vacuum.
func (a *Advice) choose(s *Situation, full Window) {
	bare := s.Static + s.MechanicalIdle
	a.Source, a.Idle = vacuum.FromPort, Window{bare, bare - LightError, bare + LightError}
	const inHg = vacuum.InchOfMercury
	if a.Degrees == 0 {
		a.Why = "no vacuum advance is wanted, so the hose stays off"
		return
	}
	switch a.AtIdle {
	case pulledPartly:
		where := "on its ramp"
		if s.IdleVacuum >= a.Unit.Full() || s.IdleVacuum <= a.Unit.Onset() {
			where = fmt.Sprintf("within %.1f inHg of its ramp", s.Scatter/inHg)
		}
		a.Why = fmt.Sprintf("at the idle's %.1f inHg the unit is %s (begins at %.1f, full at %.1f inHg): on manifold vacuum idle would wander, so it belongs on the ported source",
			s.IdleVacuum/inHg, where, a.Unit.Onset()/inHg, a.Unit.Full()/inHg)
	case pulledNot:
		a.Why = fmt.Sprintf("the idle's %.1f inHg do not reach the onset of %.1f inHg, so either source leaves idle alone; the ported one keeps it so when the idle vacuum rises",
			s.IdleVacuum/inHg, a.Unit.Onset()/inHg)
	case pulledFully:
		if s.WantedIdle != 0 && math.Abs(full.Degrees-s.WantedIdle) < math.Abs(bare-s.WantedIdle) {
			a.Source, a.Idle = vacuum.FromManifold, full
			a.Why = fmt.Sprintf("the unit is fully pulled at idle with margin (full at %.1f inHg, idle %.1f inHg), so idle is steady, and %.1f deg is nearer to the %.1f deg wanted than %.1f deg",
				a.Unit.Full()/inHg, s.IdleVacuum/inHg, full.Degrees, s.WantedIdle, bare)
			a.Notes = append(a.Notes, "With the hose on, idle speeds up: set the idle speed again, not the timing.")
			return
		}
		a.Why = fmt.Sprintf("idle stays at the %.1f deg that were set; manifold vacuum would be steady too (full at %.1f inHg, idle %.1f inHg) and show %.1f deg",
			bare, a.Unit.Full()/inHg, s.IdleVacuum/inHg, full.Degrees)
	}
}

// idleWish answers a wish for the idle that the source advised does not meet.
func (a *Advice) idleWish(s *Situation, full Window) {
	if s.WantedIdle == 0 {
		return
	}
	a.IdleDeficit = s.WantedIdle - a.Idle.Degrees
	if math.Abs(a.IdleDeficit) <= 2*LightError {
		return
	}
	const inHg = vacuum.InchOfMercury
	note := fmt.Sprintf("Idle shows %.1f deg with the hose as advised, %.1f deg are wanted:", a.Idle.Degrees, s.WantedIdle)
	switch {
	case a.Degrees == 0:
		note += " without vacuum advance only static timing changes it, and that moves the whole curve."
	case a.Source == vacuum.FromManifold:
		note += fmt.Sprintf(" the limiter's %.1f deg are what cruise asks for; static timing would make up the rest and moves the whole curve.", a.Degrees)
	case a.AtIdle != pulledFully && s.IdleVacuum-s.Scatter-(a.Unit.Full()-a.Unit.Onset()) > s.HeavyVacuum:
		note += fmt.Sprintf(" a spring slackened to a full pull at %.1f inHg would give %.1f deg on manifold vacuum, steady.", (s.IdleVacuum-s.Scatter)/inHg, s.Static+s.MechanicalIdle+a.Degrees)
	case a.AtIdle != pulledFully:
		note += fmt.Sprintf(" the idle's %.1f inHg are too few for a full pull with this spring.", s.IdleVacuum/inHg)
	default:
		note += fmt.Sprintf(" manifold vacuum would show %.1f deg, which is further off.", full.Degrees)
	}
	a.Notes = append(a.Notes, note)
}

// cruiseNotes says what stands in the way at cruise.
func (a *Advice) cruiseNotes(s *Situation) {
	if a.Degrees == 0 {
		return
	}
	const inHg = vacuum.InchOfMercury
	switch a.AtDrive {
	case pulledPartly:
		a.Notes = append(a.Notes, fmt.Sprintf("At cruise, %.1f inHg, the unit is on its ramp (full at %.1f inHg): the total wanders with load.%s", s.CruiseVacuum/inHg, a.Unit.Full()/inHg, a.slacken(s)))
	case pulledNot:
		a.Notes = append(a.Notes, fmt.Sprintf("At cruise, %.1f inHg, the unit is not pulled at all: it begins at %.1f inHg.%s", s.CruiseVacuum/inHg, a.Unit.Onset()/inHg, a.slacken(s)))
	}
	if left := s.Drive.CrankDegrees(a.Unit.Stuck()); left > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("The plate's friction holds %.1f deg crank with no vacuum at all: free and oil the plate before setting anything.", left))
	}
}

// slacken says how far the spring may be slackened for a full pull at cruise, if it
// may: the ramp must not begin at the vacuum of heavy load.
func (a *Advice) slacken(s *Situation) string {
	const inHg = vacuum.InchOfMercury
	full := s.CruiseVacuum - s.Scatter
	onset := full - (a.Unit.Full() - a.Unit.Onset())
	preload := onset*a.Unit.Area - a.Unit.Friction
	switch {
	case preload < 0:
		return " Slackening alone does not reach a full pull there; a softer spring would."
	case onset < s.HeavyVacuum-1: // a pascal of rounding
		return fmt.Sprintf(" A spring slackened to a full pull at %.1f inHg would begin at %.1f inHg, near full throttle: leave it, a softer spring is needed.", full/inHg, onset/inHg)
	}
	return fmt.Sprintf(" Slacken the spring until it is fully pulled at %.1f inHg%s.", full/inHg, a.turns(s, preload))
}

// lightLoad finds the largest total with the hose on and warns where it is large.
func (a *Advice) lightLoad(s *Situation) {
	a.Largest = s.Static + s.MechanicalCruise + a.Degrees
	place := "cruise"
	for _, l := range s.Light {
		if total := s.Static + l.Mechanical + a.Degrees; total > a.Largest {
			a.Largest, a.LargestRPM = total, l.RPM
			place = fmt.Sprintf("%.0f rpm and light load", l.RPM)
		}
	}
	if a.Degrees == 0 {
		return
	}
	switch {
	case a.Largest > usualHigh:
		a.Warnings = append(a.Warnings, fmt.Sprintf("With the hose on the total reaches %.1f deg at %s, above the usual %.0f to %.0f deg (common practice): take off vacuum or mechanical advance.", a.Largest, place, usualLow, usualHigh))
	case a.Largest > usualLow:
		a.Warnings = append(a.Warnings, fmt.Sprintf("With the hose on the total reaches %.1f deg at %s, in the usual upper range of %.0f to %.0f deg (common practice): listen there, and for a surge at steady throttle.", a.Largest, place, usualLow, usualHigh))
	}
	if a.SizedBy > 0 && a.Deficit > flat {
		a.Notes = append(a.Notes, fmt.Sprintf("The cruise stays %.1f deg below the %.1f deg wanted: at %.0f rpm the same pull would be too much.", a.Deficit, s.WantedCruise, a.SizedBy))
	}
}

// heavyLoad warns of a unit that still pulls near full throttle.
func (a *Advice) heavyLoad(s *Situation) error {
	if a.Degrees == 0 {
		return nil
	}
	w, err := a.window(&Situation{Drive: s.Drive, Scatter: s.Uncertain}, 0, s.HeavyVacuum)
	if err != nil {
		return err
	}
	a.Heavy = w.High - LightError
	if a.Heavy > 0.5 {
		const inHg = vacuum.InchOfMercury
		a.Warnings = append(a.Warnings, fmt.Sprintf("At heavy load, %.1f inHg, the unit may still add %.1f deg (it begins at %.1f inHg): tighten its spring or leave the hose off.", s.HeavyVacuum/inHg, a.Heavy, a.Unit.Onset()/inHg))
	}
	return nil
}

// turns says how far the adjuster goes for a preload in N, if there is one.
func (a *Advice) turns(s *Situation, preload float64) string {
	if s.Screw.Pitch == 0 || a.Unit.Nominal {
		return ""
	}
	onset := (preload + a.Unit.Friction) / a.Unit.Area
	_, turns, err := a.Unit.Adjust(onset, a.Unit.Most(), s.Screw)
	if err != nil {
		return ", which its adjuster does not reach"
	}
	return fmt.Sprintf(", %.1f turns of its adjuster", math.Abs(turns))
}

// rod says the limiter's travel where it is known.
func (a *Advice) rod() string {
	if a.Unit.Nominal {
		return ""
	}
	return fmt.Sprintf(" (%.2f mm of rod)", a.Unit.Travel*1e3)
}

// Sentences returns the lines about the vacuum hose for a setting sheet, in the
// order of work.
func (a *Advice) Sentences() []string {
	if a == nil {
		return nil
	}
	out := []string{"Set the timing with the hose off and plugged."}
	if a.Degrees > 0 {
		const inHg = vacuum.InchOfMercury
		out = append(out,
			fmt.Sprintf("Limiter: with a hand pump at full pull the unit must give %.1f deg crank%s; it begins at %.1f inHg and is full at %.1f inHg.", a.Degrees, a.rod(), a.Unit.Onset()/inHg, a.Unit.Full()/inHg),
			fmt.Sprintf("Hose on the %s source: %s.", a.Source, a.Why),
			fmt.Sprintf("Hose on, idle: %.1f deg, passes from %.1f to %.1f deg.", a.Idle.Degrees, a.Idle.Low, a.Idle.High),
			fmt.Sprintf("Hose on, light cruise: %.1f deg, passes from %.1f to %.1f deg.", a.Cruise.Degrees, a.Cruise.Low, a.Cruise.High),
		)
	}
	return append(append(out, a.Warnings...), a.Notes...)
}
