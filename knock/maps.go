package knock

import "context"

// Quantity is what an axis of a map varies.
type Quantity int

// The axes of a map. Octane moves RON and MON together and is the research number.
const (
	Speed            Quantity = iota // crank rpm
	Load                             // Pa absolute in the inlet manifold
	Octane                           // RON, MON kept at the same distance
	Compression                      // compression ratio
	InletTemperature                 // K
	Altitude                         // m, full load unless an inlet pressure is given
	Mixture                          // equivalence ratio
)

// Axis is one direction of a map.
type Axis struct {
	Quantity Quantity
	Values   []float64
}

// Map answers over a grid: the result's first index follows rows, the second
// columns; everything else is as in base. Mixtures are tabulated once each. It stops
// with the context and tells progress how many cells are done.
func (m *Model) Map(ctx context.Context, base Condition, rows, columns Axis, progress func(done, total int)) ([][]SparkRequirement, error) {
	if len(rows.Values) == 0 || len(columns.Values) == 0 {
		return nil, outOfRange("map values", 0, "", "one or more on each axis")
	}
	type cell struct {
		model *Model
		cond  Condition
	}
	width := len(columns.Values)
	cells := make([]cell, 0, len(rows.Values)*width)
	for _, r := range rows.Values {
		model, cond, err := rows.Quantity.set(m, base, r)
		if err != nil {
			return nil, err
		}
		for _, c := range columns.Values {
			model, cond, err := columns.Quantity.set(model, cond, c)
			if err != nil {
				return nil, err
			}
			cells = append(cells, cell{model, cond})
		}
	}
	flat := make([]SparkRequirement, len(cells))
	err := parallel(ctx, len(cells), progress, func(i int) (err error) {
		flat[i], err = cells[i].model.SparkRequirement(cells[i].cond)
		return err
	})
	if err != nil {
		return nil, err
	}
	out := make([][]SparkRequirement, len(rows.Values))
	for i := range out {
		out[i] = flat[i*width : (i+1)*width]
	}
	return out, nil
}

// set puts a value in its place.
func (q Quantity) set(m *Model, c Condition, value float64) (*Model, Condition, error) {
	var err error
	switch q {
	case Speed:
		c.RPM = value
	case Load:
		c.InletPressure = value
	case Octane:
		f := m.engine.Fuel
		f.RON, f.MON = value, value-(f.RON-f.MON)
		m, err = m.with(func(e *Engine) { e.Fuel = f })
	case Compression:
		m, err = m.WithCompressionRatio(value)
	case InletTemperature:
		c.InletTemperature = value
	case Altitude:
		c.Ambient, err = AmbientAt(value)
	case Mixture:
		c.Mixture = value
	default:
		err = outOfRange("map axis", float64(q), "", "one of the named quantities")
	}
	return m, c, err
}
