package knock

import "math"

const radPerDegree = math.Pi / 180

// crank is the slider-crank with an offset pin: J. B. Heywood, Internal Combustion
// Engine Fundamentals (1988), eqs. (2.4) to (2.6), with the offset e carried along:
//
//	s(theta) = a cos(theta') + sqrt(l^2 - (a sin(theta') - e)^2)
//
// theta counts from the piston's own top centre, where the timing mark is set, so
// theta' = theta + asin(e/(l+a)).
type crank struct {
	throw, rod, offset float64 // m
	shift              float64 // rad, crank past its own dead centre at piston top centre
	top                float64 // m, largest s
	area               float64 // m2, of the piston
	clearance, swept   float64 // m3
	rim, crown         float64 // m circumference; m2 of head and piston crown
}

func newCrank(e Engine) crank {
	c := crank{throw: e.Stroke / 2, rod: e.Rod, offset: e.PinOffset}
	c.area = math.Pi / 4 * e.Bore * e.Bore
	c.rim = math.Pi * e.Bore
	c.crown = 2 * c.area * 1.15 // head recess 30 % larger than the bore's disc (common practice)
	long, short := c.rod+c.throw, c.rod-c.throw
	c.shift = math.Asin(c.offset / long)
	c.top = math.Sqrt(long*long - c.offset*c.offset)
	bottom := math.Sqrt(short*short - c.offset*c.offset)
	c.swept = c.area * (c.top - bottom)
	c.clearance = c.swept / (e.CompressionRatio - 1)
	return c
}

// at returns volume in m3, its change per degree, and the wall area in m2 at a
// crank angle in degrees after top centre.
func (c *crank) at(degrees float64) (volume, slope, wall float64) {
	sin, cos := math.Sincos(degrees*radPerDegree + c.shift)
	lean := c.throw*sin - c.offset
	upright := math.Sqrt(c.rod*c.rod - lean*lean)
	travel := c.top - (c.throw*cos + upright)
	slope = c.area * c.throw * (sin + lean*cos/upright) * radPerDegree
	return c.clearance + c.area*travel, slope, c.crown + c.rim*travel
}
