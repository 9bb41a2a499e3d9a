package knock

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// TorqueLoss returns the share of the best torque at the crankshaft that a spark in
// crank degrees before top centre gives up, 0 to 1. It refuses a running point at
// which the engine makes no torque, and a spark outside -20 to 80.
func (m *Model) TorqueLoss(cond Condition, spark float64) (float64, error) {
	if err := checkSpark(spark); err != nil {
		return 0, err
	}
	p, err := m.at(cond)
	if err != nil {
		return 0, err
	}
	var c charge
	_, top, err := p.driving(&c)
	if err != nil {
		return 0, err
	}
	return math.Max(0, math.Min(1, 1-c.brakeWork(&p.engine, spark)/top)), nil
}

func checkSpark(spark float64) error {
	return valid.Check(errRange, valid.In("spark", spark, "deg crank before top centre", -20, 80))
}

// driving fills a charge and returns MBT and its work; it refuses an engine that
// does not drive.
func (p *point) driving(c *charge) (mbt, top float64, err error) {
	p.fill(c, &p.model.torque.mean)
	mbt, top, _ = c.bestTorqueSpark(&p.engine)
	if !(top > 0) {
		return 0, 0, outOfRange("torque at engine speed", p.cond.RPM, "rpm crank", "a running point at which the engine drives")
	}
	return mbt, top, nil
}
