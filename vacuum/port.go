package vacuum

import (
	"math"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
)

// Port is a hole in the throttle's bore that feeds the vacuum unit. With the
// plate closed it lies on the air side of the edge that swings past it, so the
// unit feels no vacuum at idle; a little way open, the edge has passed and the
// hole lies on the manifold's side. The zero value is refused.
type Port struct {
	Height   float64 // m from the closed edge to the hole's centre along the bore, against the flow, > 0
	Diameter float64 // m of the hole, > 0
}

// check refuses sizes that are not positive, and a port so high that the edge of
// the throttle's plate, checked before, never passes its centre.
func (p Port) check(th airpath.Throttle) error {
	_, err := p.opens(th)
	return err
}

// opens returns the throttle angle in rad at which the plate's edge passes the
// hole's centre. It refuses what [Port.check] refuses.
func (p Port) opens(th airpath.Throttle) (float64, error) {
	if err := check(size("port height", p.Height, "m", 1), size("port diameter", p.Diameter, "m", 1)); err != nil {
		return 0, err
	}
	sine := math.Sin(th.Closed) + p.Height*math.Cos(th.Closed)/(th.Bore/2)
	if !(math.Abs(sine) < 1) {
		return 0, refuse("port height", p.Height, "m", "low enough for the throttle's edge to pass")
	}
	return math.Asin(sine), nil
}

// passed is the share of the hole, 0 to 1, that lies on the manifold's side of the
// plate's edge at a throttle angle in rad. The edge has moved along the bore by
//
//	z = D/2 (sin angle - sin Closed)/cos Closed
//
// and cuts the round hole straight across: the share is that of a circle's
// segment. That the edge also draws away from the wall is left out.
func (p Port) passed(th airpath.Throttle, angle float64) float64 {
	z := th.Bore / 2 * (math.Sin(angle) - math.Sin(th.Closed)) / math.Cos(th.Closed)
	h := math.Max(-1, math.Min(1, (z-p.Height)/(p.Diameter/2))) // edge from the hole's centre, in radii
	return 0.5 + (math.Asin(h)+h*math.Sqrt(1-h*h))/math.Pi
}

// pressure is that at the port in Pa when the manifold is at manifold (Pa absolute):
// that of the ambient air before the edge has passed, that of the manifold after,
// and between them where the flow through the open part on the air side equals
// that through the part on the manifold side. The small depression of the air's
// speed before the plate is left out.
func (p Port) pressure(th airpath.Throttle, angle float64, a air.Ambient, manifold float64) float64 {
	share := p.passed(th, angle)
	return air.Between(1-share, a.Pressure, share, manifold)
}
