package knock

import "example.org/bobweight/springs/lines"

// OctaneByRatio returns as an observation what every owner knows: the research octane that
// carburetted engines of this compression ratio ask for at full throttle, 81, 87, 92, 96,
// 100, 104 at 6 to 11 to 1 (a table that public gasoline references print without naming
// its tests: common practice). Engines of the time were set some eight degrees late of best
// torque at 2000 rpm to live with such fuel (common practice). One ratio's engines differ
// by some 4 numbers, a degree each, and so do the sparks that they were set to: Sigma is 6.5.
// Hand it to [Model.Calibrate] with what was heard on the engine, or alone. It refuses a
// ratio outside 6 to 11.
func (m *Model) OctaneByRatio() (Observation, error) {
	const rpm, late, sensitivity, sigma = 2000.0, 8.0, 9.0, 6.5
	w, err := m.SparkRequirement(Condition{RPM: rpm})
	if err != nil {
		return Observation{}, err
	}
	table, err := lines.New([]float64{6, 7, 8, 9, 10, 11}, []float64{81, 87, 92, 96, 100, 104})
	if err != nil {
		return Observation{}, err
	}
	ratio := m.engine.CompressionRatio
	ron, err := table.Strict(ratio)
	if err != nil {
		return Observation{}, outOfRange("compression ratio", ratio, "", "6 to 11 for an octane requirement by ratio")
	}
	return Observation{Condition: Condition{RPM: rpm}, Fuel: &Fuel{RON: ron, MON: ron - sensitivity}, Spark: w.MBT - late, Sigma: sigma}, nil
}
