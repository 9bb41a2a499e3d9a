package corpus

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/knock"
)

func init() {
	register("best spark", "knock.New, knock.Model.SparkRequirement", bestSpark)
}

// bestSpark asks the engine model for the best spark at full load and, where a
// manifold vacuum is given, at that part load and the same speed.
func bestSpark(g *Given) (Found, error) {
	m, err := engineModel(g)
	if err != nil {
		return nil, err
	}
	speed := knock.Condition{RPM: g.CrankRPM("speed", advance.FourStroke)}
	full, err := m.SparkRequirement(speed)
	if err != nil {
		return nil, fmt.Errorf("full load: %w", err)
	}
	found := Found{"full load": CrankDegrees(full.MBT), "knock limit": CrankDegrees(full.KLSA)}
	if !g.Has("manifold vacuum") {
		return found, nil
	}
	cruise := speed
	cruise.InletPressure = g.SI("ambient", dimPressure) - g.SI("manifold vacuum", dimPressure)
	cruise.Mixture = g.Number("cruise mixture")
	part, err := m.SparkRequirement(cruise)
	if err != nil {
		return nil, fmt.Errorf("part load: %w", err)
	}
	found["part load"] = CrankDegrees(part.MBT)
	found["part over full load"] = CrankDegrees(part.MBT - full.MBT)
	return found, nil
}
