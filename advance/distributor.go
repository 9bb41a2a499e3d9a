package advance

import (
	"fmt"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// Distributor is a distributor as it stands on an engine. Drive and Mechanism
// must be given; a zero Static is a timing of 0 degrees, a nil Vacuum is no unit
// and a zero Delay an ideal ignition.
type Distributor struct {
	Drive     Drive
	Static    float64           // crank degrees BTDC with the weights at rest, -60 to 90
	Mechanism *flyweights.Curve // advance of the cam over the speed of the shaft
	Vacuum    *vacuum.Unit      // turns the plate against the cam
	Delay     float64           // s from the pickup to the spark, 0 to 0.001
}

// Check refuses a distributor that cannot be calculated.
func (d *Distributor) Check() error {
	if d == nil {
		return fmt.Errorf("%w: distributor is nil", errRange)
	}
	if err := d.Drive.Check(); err != nil {
		return err
	}
	switch {
	case d.Mechanism == nil:
		return fmt.Errorf("%w: the distributor has no mechanism, valid is a prepared curve", errRange)
	case !(d.Static >= -60 && d.Static <= 90):
		return outOfRange("static timing", d.Static, "deg crank", "-60 to 90")
	case !(d.Delay >= 0 && d.Delay <= 1e-3):
		return outOfRange("electrical delay", d.Delay, "s", "0 to 0.001")
	}
	if d.Vacuum != nil {
		if err := d.Vacuum.Check(); err != nil {
			return fmt.Errorf("advance: vacuum unit: %w", err)
		}
	}
	return nil
}

// Total returns the crank degrees before top centre that a timing light shows at
// an engine speed (rpm, 0 to 20000, reached in the given direction) with a
// steady vacuum at the unit's port (Pa below ambient; 0 is hose off):
//
//	static + mechanical(rpm) + vacuum(port) - delay(rpm)
//
// The unit is taken on its rising side, see [vacuum.Unit.Advance].
func (d *Distributor) Total(rpm, port float64, dir flyweights.Direction) (float64, error) {
	if err := d.Check(); err != nil {
		return 0, err
	}
	if !(rpm >= 0 && rpm <= 20000) {
		return 0, outOfRange("speed", rpm, "rpm crank", "0 to 20000")
	}
	total := d.Static + d.Mechanical(rpm, dir) - DelayDegrees(d.Delay, rpm)
	switch {
	case d.Vacuum != nil:
		theta, err := d.Vacuum.Advance(port)
		if err != nil {
			return 0, fmt.Errorf("advance: vacuum unit: %w", err)
		}
		total += d.Drive.CrankDegrees(theta)
	case !(port >= 0 && port <= vacuum.MostVacuum):
		return 0, outOfRange("port vacuum", port, "Pa", fmt.Sprintf("0 to %.6g", vacuum.MostVacuum))
	}
	return total, nil
}

// Mechanical returns the crank degrees of centrifugal advance alone at an engine
// speed in rpm reached in the given direction: 0 below the start, the whole
// travel above all-in. A distributor without a mechanism gives 0, and so does one
// whose drive is out of range.
func (d *Distributor) Mechanical(rpm float64, dir flyweights.Direction) float64 {
	if d == nil || d.Mechanism == nil || d.Drive.Check() != nil {
		return 0
	}
	return d.Drive.CrankDegrees(d.Mechanism.Theta(d.Drive.Omega(rpm), dir))
}
