package knock

import (
	"math"

	"example.org/bobweight/knock/internal/lines"
)

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

// geometry is a crank with its path tabulated.
type geometry struct {
	crank              crank
	path               *path
	intakeHead, bottom float64
	filling            *lines.Table
}

func newGeometry(e Engine) *geometry {
	c := newCrank(e)
	g := &geometry{crank: c, path: newPath(&c), filling: e.fillings()}
	g.intakeHead, g.bottom = intakeHead(&e, &c)
	return g
}

// path is the crank's volume over angle in cubic pieces, for a cycle that reads it
// hundreds of times: two degrees each, from 180 before to 180 after top centre,
// with exact values and slopes at the joints. Volume is within 1e-7.
type path struct {
	cell [pathCells]piece
	rim  float64 // m2 of wall per m3 of cylinder, and the rest below
	base float64
}

// piece holds the volume, its logarithm and its power -1.3 as cubics in the
// cell's own coordinate, 0 to 1.
type piece struct{ v, log, power [4]float64 }

const (
	pathStep  = 2.0
	pathCells = 180
	polytrope = 1.3 // of a motored cylinder, J. B. Heywood (1988), ch. 9
)

func newPath(c *crank) *path {
	p := &path{rim: c.rim / c.area}
	p.base = c.crown - p.rim*c.clearance
	hermite := func(f0, f1, d0, d1 float64) [4]float64 {
		return [4]float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, 2*(f0-f1) + d0 + d1}
	}
	v0, d0, _ := c.at(-180)
	for i := range p.cell {
		v1, d1, _ := c.at(-180 + float64(i+1)*pathStep)
		a, b := d0*pathStep, d1*pathStep
		p.cell[i].v = hermite(v0, v1, a, b)
		p.cell[i].log = hermite(math.Log(v0), math.Log(v1), a/v0, b/v1)
		p0, p1 := math.Pow(v0, -polytrope), math.Pow(v1, -polytrope)
		p.cell[i].power = hermite(p0, p1, -polytrope*p0*a/v0, -polytrope*p1*b/v1)
		v0, d0 = v1, d1
	}
	return p
}

// at fills the geometry of a place.
func (p *path) at(degrees float64, pl *crankState) {
	u := (degrees + 180) * (1 / pathStep)
	i := min(max(int(u), 0), pathCells-1)
	u -= float64(i)
	c := &p.cell[i]
	pl.v = c.v[0] + u*(c.v[1]+u*(c.v[2]+u*c.v[3]))
	pl.dv = (c.v[1] + u*(2*c.v[2]+u*3*c.v[3])) * (1 / pathStep)
	pl.logV = c.log[0] + u*(c.log[1]+u*(c.log[2]+u*c.log[3]))
	pl.power = c.power[0] + u*(c.power[1]+u*(c.power[2]+u*c.power[3]))
	pl.wall = p.base + p.rim*pl.v
}
