package knock

import "example.org/bobweight/knock/internal/lines"

// Engines of one compression ratio ask for octane numbers that differ: those of one model
// by 6 numbers from end to end (B. Hamilton, Gasoline FAQ, 6.16), a deviation of 1.5; those
// of different designs by what one unit of ratio asks for (clean car engines on petrol of
// 62.5 stood 4.35 to 5.35 to 1: Refiner and Natural Gasoline Manufacturer, 1931), 9 numbers
// there, a deviation of 2.4. A number is a degree (S. Russ, SAE 960497). How late they were
// set differs by some 2 degrees (common practice, no source). Together 3.5. It does not halve
// the band by itself: best torque has a band of 20 degrees at 2000 rpm from bore and stroke, and
// that would remain at a deviation of nothing (34 degrees to 24 with 3.5, 14 with a best timing).
// Tied to a spark and not to best torque it left 13 and held 76 % of rival engines.
const belowBestSigma = 3.5

// OctaneByRatio returns as an observation what every owner knows: the research octane that
// carburetted engines of this compression ratio ask for at full throttle, 81, 87, 92, 96,
// 100, 104 at 6 to 11 to 1 (a table that public gasoline references print without naming
// its tests: common practice). Engines of the time were set some eight degrees late of best
// torque at 2000 rpm to live with such fuel (common practice). It ties the limit to best
// torque: where that is known by a burn or by a best timing found, it more than halves the
// band of the limit; where it is not, best torque's own band remains and nearly a third goes.
// Hand it to [Model.Calibrate] with what was heard on the engine, or alone. It refuses a
// ratio outside 6 to 11.
func (m *Model) OctaneByRatio() (Observation, error) {
	if m == nil {
		return Observation{}, outOfRange("model", 0, "engines", "one made with New")
	}
	const rpm, late, sensitivity = 2000.0, 8.0, 9.0
	table, err := lines.New([]float64{6, 7, 8, 9, 10, 11}, []float64{81, 87, 92, 96, 100, 104})
	if err != nil {
		return Observation{}, err
	}
	ratio := m.engine.CompressionRatio
	ron, err := table.Strict(ratio)
	if err != nil {
		return Observation{}, outOfRange("compression ratio", ratio, "", "6 to 11 for an octane requirement by ratio")
	}
	return Observation{Condition: Condition{RPM: rpm}, Fuel: &Fuel{RON: ron, MON: ron - sensitivity}, Kind: knockBelowBest, Spark: late}, nil
}
