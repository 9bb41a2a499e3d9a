package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
)

// cylinder is what the readings of one cylinder say: how far it stands ahead of the
// curve in the mean, and the squares left about that mean. Crank degrees.
type cylinder struct {
	number, readings int
	mean, squares    float64
}

// byCylinder parts the residuals of the readings by the cylinder that was noted; nil
// where fewer than two were. Outliers and readings with the hose on do not count.
func byCylinder(fit *readings.Result) []cylinder {
	residuals := map[int][]float64{}
	for i, x := range fit.Readings {
		if x.Cylinder > 0 && !x.HoseOn && !slices.Contains(fit.Outliers, i) {
			residuals[x.Cylinder] = append(residuals[x.Cylinder], fit.Residuals[i])
		}
	}
	if len(residuals) < 2 {
		return nil
	}
	var out []cylinder
	for number, list := range residuals {
		c := cylinder{number: number, readings: len(list)}
		for _, r := range list {
			c.mean += r / float64(len(list))
		}
		for _, r := range list {
			c.squares += (r - c.mean) * (r - c.mean)
		}
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b cylinder) int { return cmp.Compare(a.number, b.number) })
	return out
}

// Spread of the cylinders from which it is worth a word, crank degrees, and the chance
// below which it is none (common practice, no source).
const (
	leastApart    = 1.0
	mostlyNotLuck = 0.01
)

// cylindersApart says that the cylinders do not fire at one advance: their means differ
// by more than the readings of each scatter about its own (one-way analysis of
// variance: Fisher, Statistical Methods for Research Workers, 1925, chapter 7).
func cylindersApart(w *work) *Finding {
	list := byCylinder(w.fit.Result)
	n, mean, within := 0, 0.0, 0.0
	for _, c := range list {
		n += c.readings
		mean += float64(c.readings) * c.mean
		within += c.squares
	}
	between, least := float64(len(list)-1), float64(n-len(list))
	if len(list) < 2 || least < 1 {
		return nil
	}
	mean /= float64(n)
	among := 0.0
	for _, c := range list {
		among += float64(c.readings) * (c.mean - mean) * (c.mean - mean)
	}
	early := slices.MaxFunc(list, func(a, b cylinder) int { return cmp.Compare(a.mean, b.mean) })
	late := slices.MinFunc(list, func(a, b cylinder) int { return cmp.Compare(a.mean, b.mean) })
	apart := early.mean - late.mean
	// The scatter is at least what rounding to half degrees leaves.
	scatter := max(within/least, 0.5*0.5/12)
	chance := 1 - distuv.F{D1: between, D2: least}.CDF(among/between/scatter)
	if !(apart >= leastApart) || !(chance < mostlyNotLuck) {
		return nil
	}
	return &Finding{
		Code: "cylinders-apart", Severity: readings.Check, Unit: "deg crank", Size: text.Round(apart),
		Text: fmt.Sprintf("The cylinders stand %.1f deg crank apart: cylinder %d fires first, %.1f deg ahead of the curve, cylinder %d last. A mean hides it. Keep the knock margin for the first one, and look for worn bushes, a bent shaft, uneven lobes of the cam or a slack chain.",
			apart, early.number, math.Max(0, early.mean), late.number),
		Evidence: fmt.Sprintf("%d readings of %d cylinders", n, len(list)),
	}
}
