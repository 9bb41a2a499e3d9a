package readings

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// stuck is the lag in rpm between rising and falling marks that clean pivots do
// not exceed (common practice, no source).
const stuck = 60

// sticking reads the lag of the falling marks.
func (d *diagnosis) sticking() {
	h := d.r.Hysteresis
	if h.Bound == Unknown || h.Bound == AtMost {
		return
	}
	if h.Low > stuck {
		d.add("sticking", Act, h.Value, rpmCrank, "hysteresis "+h.Text(0, rpmCrank),
			"The falling marks lag %.0f rpm crank behind the rising ones (%.0f at least): the mechanism sticks. Clean and grease pivots, cam and bushings before any change of springs.", h.Value, h.Low)
	} else if h.Value > stuck {
		d.add("sticking", Check, h.Value, rpmCrank, "hysteresis "+h.Text(0, rpmCrank),
			"The falling marks lag about %.0f rpm crank behind the rising ones: the mechanism may be sticking.", h.Value)
	}
}

// steep is a slope in crank degrees per 1,000 rpm that two springs at work do not
// give (common practice, no source).
const steep = 45

// stages reads the shape of the curve: one spring alone at first, or a step.
func (d *diagnosis) stages() {
	r := d.r
	for k, s := range r.Slopes {
		if s.Bound != AtMost && s.Low > steep {
			d.add("step", Check, s.Value, degCrank+" per 1000 rpm", fmt.Sprintf("slope %d %s", k+1, s.Text(0, degCrank+" per 1000 rpm")),
				"The curve steps: it climbs %.0f deg crank per 1000 rpm or more on one part. Weights that stick and break free, or a spring that is slack until then, do that.", s.Low)
		}
	}
	if len(r.Slopes) == 2 && r.Slopes[0].Bound == Interval && r.Slopes[1].Bound == Interval && r.Slopes[0].Low > 1.3*r.Slopes[1].High {
		d.add("one-spring", Note, r.Knees[0].Value, rpmCrank, "slopes "+r.Slopes[0].Text(1, "deg crank per 1000 rpm")+", then "+r.Slopes[1].Text(1, "deg crank per 1000 rpm"),
			"The curve climbs in two stages: %.1f deg crank per 1000 rpm up to about %.0f rpm crank, then %.1f. That is what one spring alone does at first, with the second, in a long loop, taking part later.",
			r.Slopes[0].Value, r.Knees[0].Value, r.Slopes[1].Value)
	}
}

// doubtful names readings to take again and says if the errors are larger than
// stated.
func (d *diagnosis) doubtful() {
	r := d.r
	if len(r.Outliers) > 0 {
		var names []string
		worst := 0.0
		for _, k := range r.Outliers {
			o := r.Readings[k]
			names = append(names, fmt.Sprintf("reading %d (%.0f rpm crank, %.1f deg crank, %+.1f off the curve)", k+1, o.RPM, o.Degrees, r.Residuals[k]))
			worst = math.Max(worst, math.Abs(r.Residuals[k]))
		}
		d.add("outlier", Check, worst, degCrank, fmt.Sprintf("more than %.0f deg and 3 standard errors off", math.Floor(worst)),
			"Take again: %s. The curve leaves such readings out of account.", strings.Join(names, ", "))
	}
	if r.Scatter > 1.6 {
		d.add("scatter", Check, r.Scatter, "", fmt.Sprintf("root mean square error %.1f times the stated one", r.Scatter),
			"The readings scatter %.1f times as much as stated for light and tachometer: a loose chain or worn shaft, an unsteady speed, or a curve of another shape. The intervals allow for it.", r.Scatter)
	}
}

// hoseShift is the least shift, crank degrees, that a vacuum unit rather than a
// mark explains (common practice, no source).
const hoseShift = 7

// whole compares all readings with what was known before: all shifted, or all
// speeds scaled.
func (d *diagnosis) whole() {
	r, w := d.r, d.w
	if w.Expected != nil {
		if a, err := r.CompareTo(*w.Expected); err == nil {
			d.beside(a)
			return
		}
	}
	if w.SetStatic == nil || r.Static.Bound == Unknown {
		return
	}
	// Without a curve to compare, the static timing as set is the only witness; a
	// travel that agrees with the slot says that the rest of the curve is sound.
	off := r.Static.Value - w.SetStatic.Value
	margin := 2 * w.SetStatic.Sigma
	low, high := r.Static.Low-w.SetStatic.Value-margin, r.Static.High-w.SetStatic.Value+margin
	if r.Static.Bound == AtMost && high >= 0 || r.Static.Bound == Interval && low <= 0 && high >= 0 {
		return
	}
	evidence := fmt.Sprintf("static timing %s, set to %.1f", r.Static.Text(1, degCrank), w.SetStatic.Value)
	if w.SlotTravel != nil && r.Travel.Bound == Interval {
		evidence += fmt.Sprintf("; travel %s, slot %.1f", r.Travel.Text(1, degCrank), w.SlotTravel.Value)
	}
	d.shifted(off, evidence)
}

// unlike is the scatter about an expected curve, in stated standard errors and
// with the worst one in eight set aside, above which the readings are of another
// curve: normal errors of the size stated exceed it once in a thousand sets of ten
// readings (by simulation; 1.43 is the figure for 14).
const unlike = 1.5

// beside reads the comparison with the expected curve.
func (d *diagnosis) beside(a Against) {
	evidence := fmt.Sprintf("shift %s, tachometer scale %.2f; scatter %.1f times the stated errors, before that %.1f", a.Shift.Text(1, degCrank), a.Scale.Value, a.Scatter, a.Unchanged)
	shifted := a.Shift.Low > d.w.DegreesWithin || a.Shift.High < -d.w.DegreesWithin
	if a.Scatter > unlike {
		d.add("another-curve", Check, a.Scatter, "", evidence,
			"The readings do not follow the expected curve, not even shifted or with another tachometer scale: the distributor has other parts than thought, or the mechanism does not move freely.")
		return
	}
	if f := a.Scale; f.Value != 1 {
		d.add("speed-factor", Act, f.Value, "", evidence,
			"The advance comes in at %.2f times the expected speeds (95 %% interval %.2f to %.2f). A tachometer that shows %.2f times the true speed looks like that; so do springs with %.2f times the expected moment, or weights with %.2f times. Check the tachometer's setting for the number of cylinders, and its scale against another. If it is right, the parts are others than thought.",
			f.Value, f.Low, f.High, f.Value, f.Value*f.Value, 1/(f.Value*f.Value))
	}
	if shifted {
		d.shifted(a.Shift.Value, evidence)
	}
}

func (d *diagnosis) shifted(off float64, evidence string) {
	side := "more"
	if off < 0 {
		side = "less"
	}
	causes := "the distributor was turned, the damper ring has slipped, or the mark is not at top centre. Prove top centre with a piston stop before trusting any reading"
	code := "all-shifted"
	if off > hoseShift {
		code = "hose-or-mark"
		causes = "the vacuum hose was left on, or the distributor was turned, the damper ring has slipped, or the mark is not at top centre. Pull and plug the hose, read again, and prove top centre with a piston stop"
	}
	d.add(code, Act, off, degCrank, evidence, "All readings show %.1f deg crank %s than they should: %s.", math.Abs(off), side, causes)
}

// hose tells what the vacuum unit adds at the readings with the hose on.
func (d *diagnosis) hose() {
	for place, o := range d.r.Readings {
		adds, ok := d.r.HoseOn[place]
		if !ok || adds.Bound != Interval {
			continue
		}
		code, does := "vacuum-adds", fmt.Sprintf("adds %.1f deg crank (95 %% interval %.1f to %.1f)", adds.Value, adds.Low, adds.High)
		severity := Note
		if adds.Low <= 0 && adds.High >= 0 {
			does = "adds nothing that these readings could show: a torn diaphragm, a leaking hose, or a source without vacuum there"
			code, severity = "vacuum-idle", Check
		}
		d.add(code, severity, adds.Value, degCrank, fmt.Sprintf("reading %d, %.1f deg crank; vacuum advance %s", place+1, o.Degrees, adds.Text(1, degCrank)),
			"With the hose on at %.0f rpm crank and %.1f kPa (%.1f inHg) the vacuum unit %s.", o.RPM, o.Vacuum/1000, o.Vacuum/inHg, does)
	}
}

// inHg is the conventional inch of mercury in Pa (NIST SP 811, 2008, appendix B.8).
const inHg = 3386.389

// contradicted is the probability of the listed parts below which the readings
// contradict them.
const contradicted = 0.1

// listed tells of listed parts that the readings contradict.
func (d *diagnosis) listed() {
	for _, c := range d.r.Criteria {
		if l := d.r.set.Listed; c.Model.Listed && c.Probability < contradicted {
			d.add("parts-contradict", Check, c.Probability, "", fmt.Sprintf("probability %.3f that the listed parts are the fitted ones", c.Probability),
				"The readings contradict the parts as listed, which would begin at %.0f and be all in at %.0f rpm crank. The fit leaves the list out of account. A spring or weight is another than noted, was measured wrong, or hangs in another hole.",
				l.Start, l.AllIn)
		}
	}
}

// surely is the number of standard errors of a difference beyond which chance makes
// one in some hundred sets of readings fall.
const surely = 3

// dips tells of single readings that fall although the speed rises, those named as
// outliers left out.
func (d *diagnosis) dips() {
	r := d.r
	p := r.fit
	last := -1
	for k, o := range p.obs {
		if o.falling || p.outlier[k] > namedFrom(len(p.obs)) {
			continue
		}
		if last >= 0 {
			b := p.obs[last]
			if fall := b.deg - o.deg; fall > surely*math.Hypot(b.sigmaDeg, o.sigmaDeg) {
				d.add("dip", Check, fall, degCrank, fmt.Sprintf("%.1f deg crank at %.0f rpm crank, %.1f at %.0f", b.deg, b.rpm, o.deg, o.rpm),
					"The light falls by %.1f deg crank from %.0f to %.0f rpm crank. Weights and springs do not go back while the speed rises. Read both speeds again; if it stays, look for play in the drive, a worn shaft, or a light that shows late.",
					fall, b.rpm, o.rpm)
			}
		}
		last = k
	}
}

// falls tells of readings that fall as the speed rises, by more than two standard
// errors and in an order that chance gives once in forty sets (Mann, Nonparametric
// tests against trend, Econometrica 13, 1945, pp. 245-259; the slope is the median of
// those between pairs: Theil 1950, Sen 1968). The causes named are common practice,
// no source.
func (d *diagnosis) falls() bool {
	obs := d.r.fit.obs
	n := float64(len(obs))
	order := 0.0
	var slopes []float64
	for i, o := range obs {
		for _, p := range obs[:i] {
			run, rise := o.rpm-p.rpm, o.deg-p.deg
			if math.Abs(run) < 2*d.r.set.SigmaRPM {
				continue
			}
			slopes = append(slopes, rise/run)
			switch {
			case rise/run > 0:
				order++
			case rise/run < 0:
				order--
			}
		}
	}
	if len(slopes) == 0 || !(order+1 < -1.96*math.Sqrt(n*(n-1)*(2*n+5)/18)) {
		return false
	}
	slices.Sort(slopes)
	low, high := d.lowest(), d.highest()
	fall := -slopes[len(slopes)/2] * (high - low)
	if !(fall > 2*d.r.set.SigmaDegrees) {
		return false
	}
	d.add("falls", Act, fall, degCrank, fmt.Sprintf("of %d pairs of readings %.0f more fall than rise", len(slopes), -order),
		"The readings fall as the speed rises, by about %.1f deg crank from %.0f to %.0f rpm crank. Weights and springs do the opposite, so look for the cause outside: marks read in the wrong order or retard noted as advance, a pickup connected with its polarity reversed, a light whose flash comes late by a fixed time, or another quantity in the column. Nothing else is said of these readings.",
		fall, low, high)
	return true
}
