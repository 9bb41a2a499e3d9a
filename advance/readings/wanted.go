package readings

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/springs/valid"
)

// Wanted is what the engine wants and what is known of the distributor from
// elsewhere, for [Diagnose]. A zero field is not asked for and makes no finding.
type Wanted struct {
	Idle       float64       // the engine's idle speed, rpm
	Static     float64       // timing wanted below the start, crank degrees
	Total      float64       // timing wanted all in, crank degrees
	TotalOf    string        // whose total that is, such as "of the best recipe"; "" means wanted by the reader
	AllIn      float64       // speed wanted for all-in, rpm
	SlotRadius float64       // m: radius of the advance slot's centre line about the shaft axis
	Drive      advance.Drive // of the distributor; 0 means [advance.FourStroke]
	// SetAtIdle is a timing set at idle without regard to what the weights do there,
	// crank degrees; the finding says what total it leaves.
	SetAtIdle float64
	// Expected is the curve that this distributor should give by its parts, or
	// gave before. Readings that lie beside it point to the ring, the mark, the
	// tachometer or the hose.
	Expected *advance.Curve
	// SetStatic is the static timing as it was set with the engine at rest or
	// cranking, and SlotTravel the travel measured at the slot, crank degrees, for
	// comparison with what the light shows; nil if not known.
	SetStatic, SlotTravel *Known
	// DegreesWithin and RPMWithin are how near is near enough; 0 means 1 crank
	// degree and 150 rpm.
	DegreesWithin, RPMWithin float64
}

// check refuses fields outside their ranges.
func (w Wanted) check() error {
	err := valid.Check(errRange,
		valid.In("idle speed", w.Idle, rpmCrank, 0, maxRPM),
		valid.In("wanted all-in speed", w.AllIn, rpmCrank, 0, maxRPM),
		valid.In("wanted static timing", w.Static, degCrank, -maxDegrees, maxDegrees),
		valid.In("wanted total timing", w.Total, degCrank, -maxDegrees, maxDegrees),
		valid.In("timing at idle", w.SetAtIdle, degCrank, -maxDegrees, maxDegrees),
		valid.In("slot radius", w.SlotRadius, "m", 0, 0.5),
		valid.In("tolerance of angles", w.DegreesWithin, degCrank, 0, maxDegrees),
		valid.In("tolerance of speeds", w.RPMWithin, rpmCrank, 0, maxRPM))
	if err != nil {
		return err
	}
	if w.Drive != 0 {
		if err := w.Drive.Check(); err != nil {
			return fmt.Errorf("readings: wanted: %w", err)
		}
	}
	if err := w.SetStatic.check("static timing as set", "deg crank"); err != nil {
		return err
	}
	return w.SlotTravel.check("travel of the slot", "deg crank")
}

func (w Wanted) resolved() Wanted {
	if w.TotalOf == "" {
		w.TotalOf = "wanted"
	}
	if w.DegreesWithin == 0 {
		w.DegreesWithin = 1
	}
	if w.RPMWithin == 0 {
		w.RPMWithin = 150
	}
	if w.Drive == 0 {
		w.Drive = advance.FourStroke
	}
	return w
}

// millimetres returns how much of the slot's length, in mm along its centre
// line, so many crank degrees of travel take: arc = radius times angle.
func (w Wanted) millimetres(degrees float64) float64 {
	const perMetre = 1000
	return perMetre * w.SlotRadius * w.Drive.ShaftRadians(degrees)
}
