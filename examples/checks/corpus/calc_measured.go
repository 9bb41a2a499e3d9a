package corpus

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock"
)

func init() {
	register("octane need at best torque", "knock.Model.OctaneRequirement at the MBT of knock.Model.SparkRequirement", octaneNeedAtBest)
	register("part load against full load", "knock.Model.SparkRequirement, knock.Model.TorqueLoss", partAgainstFull)
	register("best spark at full load", "knock.Model.SparkRequirement", measuredBest)
	register("mean pressure at a fixed spark", "knock.Model.SparkRequirement, knock.Model.TorqueLoss", pressureAtSpark)
}

// toldEngine is an engine of which a source tells little. Its size or, where that is told,
// its stroke against its bore is tried at both ends and in the middle of what road engines
// had, and the bands are put together.
type toldEngine struct {
	model     *knock.Model
	rpm       float64
	displaced float64 // m3, all cylinders
}

// toldEngines reads the states of a case: compression ratio and speed of each, with one
// displacement of all cylinders or, where none is told, that of three sizes. Best torque
// does not ask for the octane of the fuel, and the octane needed is found.
func toldEngines(g *Given) []toldEngine {
	cylinders := g.Whole("cylinders")
	type shape struct{ size, long float64 } // m3 of one cylinder, stroke over bore
	shapes := []shape{{0.35e-3, 1.2}, {0.6e-3, 1.2}, {1.2e-3, 1.2}}
	if g.Has("displacement") {
		size := g.SI("displacement", dimVolume) / float64(max(cylinders, 1))
		shapes = []shape{{size, 1}, {size, 1.2}, {size, 1.45}}
	}
	var out []toldEngine
	for _, state := range g.Groups("states") {
		for _, s := range shapes {
			bore := math.Cbrt(4 * s.size / (math.Pi * s.long))
			stroke := s.long * bore
			e := knock.NewEngine(cylinders, bore, stroke, 1.8*stroke, state.Number("compression ratio"), knock.Fuel{RON: 80, MON: 80})
			m, err := knock.New(e)
			if err != nil {
				g.fail("%w", err)
				return nil
			}
			out = append(out, toldEngine{m, state.CrankRPM("speed", advance.FourStroke), s.size * float64(cylinders)})
		}
	}
	if len(out) == 0 {
		g.fail("wanted is a state at least")
	}
	return out
}

// hull is a band that grows around others; its estimate is the mean of theirs.
type hull struct {
	sum, low, high float64
	n              int
}

func (h *hull) add(estimate, low, high float64) {
	if h.n == 0 {
		h.low, h.high = low, high
	}
	h.sum, h.n = h.sum+estimate, h.n+1
	h.low, h.high = min(h.low, low), max(h.high, high)
}

// into writes the band in its unit.
func (h *hull) into(f Found, name string, unit func(float64) quantity.Quantity) {
	if h.n > 0 {
		f.Band(name, unit(h.sum/float64(h.n)), unit(h.low), unit(h.high))
	}
}

// octaneNeedAtBest is the octane at which the spark of best torque just knocks.
func octaneNeedAtBest(g *Given) (Found, error) {
	var need hull
	for _, o := range toldEngines(g) {
		w, err := o.model.SparkRequirement(knock.Condition{RPM: o.rpm})
		if err != nil {
			return nil, err
		}
		n, low, high, err := o.model.OctaneRequirement(knock.Condition{RPM: o.rpm}, w.MBT)
		if err != nil {
			return nil, err
		}
		need.add(n, low, high)
	}
	found := Found{}
	need.into(found, "octane", Number)
	return found, nil
}

// measuredBest is the spark of best torque at full load.
func measuredBest(g *Given) (Found, error) {
	var best hull
	for _, o := range toldEngines(g) {
		w, err := o.model.SparkRequirement(knock.Condition{RPM: o.rpm})
		if err != nil {
			return nil, err
		}
		best.add(w.MBT, w.MBTLow, w.MBTHigh)
	}
	found := Found{}
	best.into(found, "spark", CrankDegrees)
	return found, nil
}

// partAgainstFull finds how much more spark a share of the full torque wants than full
// load, and what that load gives up where it keeps the spark of full load. An engine that
// burns slowly does so at both loads, so the ends of the two bands of MBT belong together.
// Where the source tells how much more spark that was, only the loss is found.
func partAgainstFull(g *Given) (Found, error) {
	share := g.Number("share of full load")
	told := g.Has("extra advance")
	var extra, loss hull
	for _, o := range toldEngines(g) {
		full, err := o.model.SparkRequirement(knock.Condition{RPM: o.rpm})
		if err != nil {
			return nil, err
		}
		c, part, err := o.partLoad(share, full.Torque)
		if err != nil {
			return nil, err
		}
		mean, low, high := part.MBT-full.MBT, part.MBTLow-full.MBTLow, part.MBTHigh-full.MBTHigh
		if told {
			mean = g.CrankDegrees("extra advance", advance.FourStroke)
			give := g.CrankDegrees("give or take", advance.FourStroke)
			low, high = mean-give, mean+give
		} else {
			extra.add(mean, low, high)
		}
		if err := addLoss(&loss, o.model, c, part.MBT, 1, mean, low, high); err != nil {
			return nil, err
		}
	}
	found := Found{}
	extra.into(found, "extra advance", CrankDegrees)
	loss.into(found, "loss", Number)
	return found, nil
}

// partLoad finds the manifold pressure at which a share of the full torque is left, by
// secants: torque is nearly a straight line over pressure.
func (o *toldEngine) partLoad(share, full float64) (knock.Condition, knock.SparkRequirement, error) {
	const ambient, steps, close = 101325.0, 12, 1e-3
	p0, p1 := 0.98*ambient, (0.3+0.68*share)*ambient
	t0 := full
	for range steps {
		c := knock.Condition{RPM: o.rpm, InletPressure: p1}
		w, err := o.model.SparkRequirement(c)
		if err != nil {
			return c, w, err
		}
		if math.Abs(w.Torque-share*full) <= close*full {
			return c, w, nil
		}
		p0, p1, t0 = p1, p1+(share*full-w.Torque)*(p1-p0)/(w.Torque-t0), w.Torque
	}
	return knock.Condition{}, knock.SparkRequirement{}, fmt.Errorf("no manifold pressure found for %.3g of the full torque in %d steps", share, steps)
}

// addLoss adds what a spark gives up that is a mean retard late, between low and high. A
// retard below zero is a spark too early; a band around zero begins at no loss.
func addLoss(h *hull, m *knock.Model, c knock.Condition, mbt, scale, mean, low, high float64) error {
	var err error
	at := func(retard float64) float64 {
		x, e := m.TorqueLoss(c, mbt-retard)
		if e != nil {
			err = e
		}
		return scale * x
	}
	least := min(at(low), at(high))
	if low <= 0 && high >= 0 {
		least = 0
	}
	h.add(at(mean), least, max(at(low), at(high)))
	return err
}

// pressureAtSpark finds the brake mean pressure that full load gives up at a fixed spark.
func pressureAtSpark(g *Given) (Found, error) {
	spark := g.CrankDegrees("spark", advance.FourStroke)
	var loss hull
	for _, o := range toldEngines(g) {
		c := knock.Condition{RPM: o.rpm}
		w, err := o.model.SparkRequirement(c)
		if err != nil {
			return nil, err
		}
		mean := 4 * math.Pi * w.Torque / o.displaced // a cycle takes two turns
		if err := addLoss(&loss, o.model, c, w.MBT, mean, w.MBT-spark, w.MBTLow-spark, w.MBTHigh-spark); err != nil {
			return nil, err
		}
	}
	found := Found{}
	loss.into(found, "loss", func(x float64) quantity.Quantity { return SI(x, dimPressure) })
	return found, nil
}
