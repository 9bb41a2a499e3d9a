package corpus

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"example.org/bobweight/advance/quantity"
)

// noCheck is the part of the plausible range from which a band is too wide to be a
// check: a guess would do as well.
const noCheck = 0.6

// Band makes the found values of a measured engine: the estimate and its band.
func (f Found) Band(name string, estimate, low, high quantity.Quantity) {
	f[name], f[name+" low"], f[name+" high"] = estimate, low, high
}

// measure holds a measured value against the band that the model states for it. The
// measurement's own last digit widens the band.
func (c *Case) measure(t target, found Found) Row {
	r := c.row()
	r.Name, r.Published, r.Tolerance, r.Outside = t.name, t.published, t.tolerance, t.outside
	low, okLow := found[t.name+" low"]
	high, okHigh := found[t.name+" high"]
	if !okLow || !okHigh {
		r.Outcome, r.Why = Broken, fmt.Sprintf("the calculation finds no band of %q", t.name)
		return r
	}
	for _, end := range []quantity.Quantity{low, high} {
		if err := t.fits(end); err != nil {
			r.Outcome, r.Why = Broken, err.Error()
			return r
		}
	}
	width := high.SI - low.SI
	if !(width > 0) || !(t.span > 0) {
		r.Outcome, r.Why = Broken, fmt.Sprintf("the band %s to %s has no width", low, high)
		return r
	}
	value := (t.low.SI + t.high.SI) / 2
	r.Width = width / t.span
	r.Distance = (value - (low.SI+high.SI)/2) / width
	from, err := low.In(t.unit)
	to, err2 := high.In(t.unit)
	if err != nil || err2 != nil {
		r.Computed = low.String() + " to " + high.String()
	} else {
		r.Computed = fmt.Sprintf("%.3g to %.3g %s", from, to, t.unit)
	}
	r.Difference = fmt.Sprintf("%+.2f of the band", r.Distance)
	r.Allowed = fmt.Sprintf("band %.0f %% of the plausible range", 100*r.Width)
	inside := t.high.SI+t.allowed >= low.SI && t.low.SI-t.allowed <= high.SI
	switch {
	case inside && t.outside != "":
		r.Outcome, r.Why = Returned, "the case says: "+t.outside
	case inside && r.Width > noCheck:
		r.Outcome = TooWide
	case inside:
		r.Outcome = Inside
	case t.outside != "":
		r.Outcome = KnownOutside
	default:
		r.Outcome = Strays
	}
	return r
}

// MeasuredCount sums up the measured values: how many were checked, how many of
// those lie inside their bands, how many bands are too wide to be a check, and the
// median width of the bands that are one, as a part of the plausible range.
type MeasuredCount struct {
	Checked, Inside, TooWide int
	MedianWidth              float64
}

// MeasuredCounts returns the sum over the rows of the report.
func (r Report) MeasuredCounts() MeasuredCount {
	var n MeasuredCount
	var widths []float64
	for _, row := range r.Rows {
		switch row.Outcome {
		case TooWide:
			n.TooWide++
		case Inside, Returned, KnownOutside, Strays:
			n.Checked++
			widths = append(widths, row.Width)
			if row.Outcome == Inside || row.Outcome == Returned {
				n.Inside++
			}
		}
	}
	slices.Sort(widths)
	if len(widths) > 0 {
		n.MedianWidth = (widths[(len(widths)-1)/2] + widths[len(widths)/2]) / 2
	}
	return n
}

// MeasuredSummary writes that sum as a sentence, and nothing where no value was
// measured.
func (r Report) MeasuredSummary(w io.Writer) error {
	n := r.MeasuredCounts()
	if n.Checked+n.TooWide == 0 {
		return nil
	}
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "measured values checked\tinside their band\tmedian band over plausible range\tband too wide to be a check\n")
	fmt.Fprintf(tab, "%d\t%d\t%.0f %%\t%d\n\n", n.Checked, n.Inside, math.Round(100*n.MedianWidth), n.TooWide)
	return tab.Flush()
}
