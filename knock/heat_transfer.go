package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// prepareHeatTransfer prepares the heat transfer of the charge.
func (c *charge) prepareHeatTransfer(e *Engine, w *parameters) {
	c.woschni = unchecked.LogWallFactor(e.Bore) + math.Log(e.WallHeat) + w[wall]
	c.logMean = math.Log(c.t0 / (c.p0 * c.v0))
	c.motoredScale = c.p0 * math.Pow(c.v0, polytrope)
	c.piston = unchecked.PistonShare * 2 * e.Stroke * c.rpm / 60
	c.logPiston = math.Log(c.piston)
	c.combustion = unchecked.CombustionShare(c.crank.swept, c.t0, c.p0, c.v0)
}
