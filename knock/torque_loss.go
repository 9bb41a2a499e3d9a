package knock

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"example.org/bobweight/springs/valid"
)

// TorqueLoss returns the share of the best torque at the crankshaft that a spark in
// crank degrees before top centre gives up, 0 to 1. It refuses a running point at
// which the engine makes no torque, and a spark outside -20 to 80. For many sparks
// at one running point ask [Model.SparkHook] once.
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
	p.fill(c, &p.model.posterior.mean)
	mbt, top, _ = c.bestTorqueSpark(&p.engine)
	if !(top > 0) {
		return 0, 0, outOfRange("torque at engine speed", p.cond.RPM, "rpm crank", "a running point at which the engine drives")
	}
	return mbt, top, nil
}

// SparkHook is torque against spark at one running point, tabulated.
type SparkHook struct {
	mbt    float64
	lo, hi float64
	curve  interp.NaturalCubic
}

// Sparks at which a trade is tabulated, crank degrees from MBT.
const hookLate, hookEarly, hookStep = 44.0, 24.0, 4.0

// SparkHook tabulates the torque given up from 44 degrees late (20 degrees after top
// centre at most) to 24 degrees early of MBT. It refuses a running point at which the engine makes no torque.
func (m *Model) SparkHook(cond Condition) (*SparkHook, error) {
	p, err := m.at(cond)
	if err != nil {
		return nil, err
	}
	var c charge
	mbt, top, err := p.driving(&c)
	if err != nil {
		return nil, err
	}
	t := &SparkHook{mbt: mbt, lo: math.Max(mbt-hookLate, -20), hi: mbt + hookEarly}
	var x, y []float64
	for s := t.hi; s > t.lo+hookStep/2; s -= hookStep {
		x, y = append(x, s), append(y, 1-c.brakeWork(&p.engine, s)/top)
	}
	x, y = append(x, t.lo), append(y, 1-c.brakeWork(&p.engine, t.lo)/top)
	for i, j := 0, len(x)-1; i < j; i, j = i+1, j-1 {
		x[i], x[j], y[i], y[j] = x[j], x[i], y[j], y[i]
	}
	if err := t.curve.Fit(x, y); err != nil {
		return nil, fmt.Errorf("knock: torque against spark at %.6g rpm: %w", p.cond.RPM, err)
	}
	return t, nil
}

// MBT returns the spark of best torque, crank degrees before top centre; 0 for nil.
func (t *SparkHook) MBT() float64 {
	if t == nil {
		return 0
	}
	return t.mbt
}

// Range returns the latest and earliest spark tabulated; zeros for nil.
func (t *SparkHook) Range() (late, early float64) {
	if t == nil {
		return 0, 0
	}
	return t.lo, t.hi
}

// Loss returns the share of the best torque that a spark gives up, 0 to 1; within
// 0.0005 of [Model.TorqueLoss]. It refuses a spark outside [SparkHook.Range].
func (t *SparkHook) Loss(spark float64) (float64, error) {
	if t == nil {
		return 0, outOfRange("spark hook", 0, "", "one made with Model.SparkHook")
	}
	if !(spark >= t.lo && spark <= t.hi) || t.hi <= t.lo {
		return 0, outOfRange("spark", spark, "deg crank before top centre", fmt.Sprintf("%.4g to %.4g", t.lo, t.hi))
	}
	return math.Max(0, math.Min(1, t.curve.Predict(spark))), nil
}

// checkCurve refuses a curve without points, out of order or with an absurd spark.
func checkCurve(curve []Point) error {
	if len(curve) == 0 {
		return outOfRange("curve points", 0, "", "one or more")
	}
	last := 0.0
	for _, p := range curve {
		if !(p.RPM > last) || math.IsInf(p.RPM, 0) {
			return outOfRange("curve speed", p.RPM, "rpm crank", "above 0 and above the speed before")
		}
		if err := checkSpark(p.Degrees); err != nil {
			return err
		}
		last = p.RPM
	}
	return nil
}
