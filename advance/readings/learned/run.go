package learned

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/valid"
)

// Combination is a set of parts that can be fitted together. A name stands for one
// kind of part; two parts of one name, such as a pair of springs, are taken to be
// alike.
type Combination struct {
	Springs []string // the kind of spring at each place, "" for an empty place; 1 to 6 places
	Weights string   // name of the set of weights
	Stop    string   // name of the slot or bush setting that ends the travel
}

// String names the parts, for a report.
func (c Combination) String() string {
	names := make([]string, len(c.Springs))
	for i, s := range c.Springs {
		names[i] = s
		if s == "" {
			names[i] = "no spring"
		}
	}
	text := strings.Join(names, " + ")
	if c.Weights != "" {
		text += ", weights " + c.Weights
	}
	if c.Stop != "" {
		text += ", stop " + c.Stop
	}
	return text
}

const (
	maxPlaces   = 6
	maxRuns     = 64
	maxReadings = 2000
)

func (c Combination) check() error {
	if len(c.Springs) == 0 || len(c.Springs) > maxPlaces {
		return fmt.Errorf("%w: %d places for springs, valid is 1 to %d", errRange, len(c.Springs), maxPlaces)
	}
	for _, s := range c.Springs {
		if s != "" {
			return nil
		}
	}
	return fmt.Errorf("%w: no spring is fitted, valid is at least one", errRange)
}

// Run is what was read with one combination of parts, and nothing changed.
type Run struct {
	Name string // for messages
	Combination
	// Clamp names a position of the distributor's clamp: runs of one name were read
	// without turning the distributor between them. "" is a position of its own.
	Clamp string
	// From and Turned are set where the distributor was turned to Clamp from another
	// position by crank degrees that were measured, advance positive: at one steady speed
	// with the light, or by marks. From counts only if an earlier run was read there.
	From   string
	Turned readings.Known
	// Tachometer names the instrument; all runs of one name share its error. Curves
	// are given as the first run's tachometer shows them.
	Tachometer string
	// Bench is set for a distributor machine, whose zero mark is its own. Its
	// readings are brought to the crankshaft by its drive ratio.
	Bench    bool
	Readings []readings.Reading // those with the hose on are set aside
}

func (r *Run) label(i int) string {
	if r.Name != "" {
		return fmt.Sprintf("run %d (%s)", i+1, r.Name)
	}
	return fmt.Sprintf("run %d (%s)", i+1, r.Combination)
}

// Mass is a set of weights on a scale.
type Mass struct {
	Value, Sigma float64 // of the whole set and its standard error, in one unit for all sets; more than 0
	// OtherShape is set where the weights differ in shape from the other sets, so that
	// their effect may change along the travel.
	OtherShape bool
}

// Settings steer a fit; nil means the defaults, and so does a zero field.
type Settings struct {
	// SigmaRPM and SigmaDegrees are the standard errors of one reading that has none
	// of its own: 25 rpm and 1 crank degree (common practice, no source).
	SigmaRPM, SigmaDegrees float64
	Travels                map[string]readings.Known // full travel by name of the stop, crank degrees
	Statics                map[string]readings.Known // static timing by name of the clamp position, crank degrees
	Masses                 map[string]Mass           // by name of the set of weights
	// Slack says of a kind of spring whether it was seen to hang loose on its post while
	// the weights rest. Of the others the readings decide. [FitListed] takes it from the
	// list.
	Slack map[string]bool
	// PlacesDiffer is set where the springs' places are not alike, such as where one
	// post was bent: each kind is then learned at each place by itself.
	PlacesDiffer bool
	// SigmaTachometer is the relative standard error between two tachometers: 0.02
	// (common practice, no source).
	SigmaTachometer float64
	Draws           int // equally likely draws kept, 100 to 10,000: 400
}

func (s *Settings) resolved() (Settings, error) {
	var r Settings
	if s != nil {
		r = *s
	}
	fill := func(v *float64, std float64) {
		if *v == 0 {
			*v = std
		}
	}
	fill(&r.SigmaRPM, 25)
	fill(&r.SigmaDegrees, 1)
	fill(&r.SigmaTachometer, 0.02)
	if r.Draws == 0 {
		r.Draws = 400
	}
	return r, valid.Check(errRange,
		valid.Above("speed error", r.SigmaRPM, "rpm crank", 0, 1000),
		valid.Above("advance error", r.SigmaDegrees, "deg crank", 0, 30),
		valid.Above("error between tachometers", r.SigmaTachometer, "", 0, 0.5),
		valid.In("number of draws", float64(r.Draws), "", 100, 10000))
}

// checkKnown refuses facts out of range about the labels that the runs use; order
// is that of the labels, so that the same mistake always gives the same message.
func (s *Settings) checkKnown(stops, clamps, weights []string) error {
	for _, name := range stops {
		if k, ok := s.Travels[name]; ok && !(k.Value > 0 && k.Value <= 120 && k.Sigma > 0 && k.Sigma <= 120) {
			return fmt.Errorf("%w: travel of stop %q is %.6g with standard error %.6g deg crank, valid is more than 0 and at most 120 for both", errRange, name, k.Value, k.Sigma)
		}
	}
	for _, name := range clamps {
		if k, ok := s.Statics[name]; ok && !(k.Value >= -60 && k.Value <= 90 && k.Sigma > 0 && k.Sigma <= 90) {
			return fmt.Errorf("%w: static timing of clamp position %q is %.6g with standard error %.6g deg crank, valid is -60 to 90 and more than 0 to 90", errRange, name, k.Value, k.Sigma)
		}
	}
	for _, name := range weights {
		if m, ok := s.Masses[name]; ok && !(m.Value > 0 && valid.Finite(m.Value) && m.Sigma > 0 && m.Sigma <= m.Value) {
			return fmt.Errorf("%w: mass of weights %q is %.6g with standard error %.6g, valid is more than 0 for both and an error no larger than the mass", errRange, name, m.Value, m.Sigma)
		}
	}
	return nil
}

// checkRuns refuses runs that nothing can be learned from.
func checkRuns(runs []Run, s *Settings) error {
	if len(runs) == 0 || len(runs) > maxRuns {
		return fmt.Errorf("%w: there are %d runs, valid is 1 to %d", errRange, len(runs), maxRuns)
	}
	total := 0
	for i := range runs {
		r := &runs[i]
		if err := r.check(); err != nil {
			return fmt.Errorf("%s: %w", r.label(i), err)
		}
		if len(r.Springs) != len(runs[0].Springs) {
			return fmt.Errorf("%w: %s has %d places for springs and %s has %d, valid is the same number in all: name an empty place \"\"",
				errRange, r.label(i), len(r.Springs), runs[0].label(0), len(runs[0].Springs))
		}
		if k := r.Turned; r.From != "" && !(k.Value >= -90 && k.Value <= 90 && k.Sigma > 0 && k.Sigma <= 90) {
			return fmt.Errorf("%w: %s was turned by %.6g with standard error %.6g deg crank, valid is -90 to 90 and more than 0 to 90", errRange, r.label(i), k.Value, k.Sigma)
		}
		low, high, used := math.Inf(1), math.Inf(-1), 0
		for k, x := range r.Readings {
			if err := x.Check(); err != nil {
				return fmt.Errorf("%s, reading %d: %w", r.label(i), k+1, err)
			}
			if x.HoseOn {
				continue
			}
			used++
			low, high = math.Min(low, x.RPM), math.Max(high, x.RPM)
		}
		total += used
		if used < 3 {
			return fmt.Errorf("%w: %s has %d readings with the vacuum hose off, valid is 3 or more", errRange, r.label(i), used)
		}
		if !(high-low >= 4*s.SigmaRPM) {
			return fmt.Errorf("%w: the readings of %s lie between %.6g and %.6g rpm crank, valid is a spread of %.6g rpm or more: readings at one speed show no curve",
				errRange, r.label(i), low, high, 4*s.SigmaRPM)
		}
	}
	if total > maxReadings {
		return fmt.Errorf("%w: there are %d readings, valid is at most %d: thin the tables first", errRange, total, maxReadings)
	}
	return nil
}

// place returns the place of a name in a list, and the list with the name in it.
func place(list []string, name string) ([]string, int) {
	if i := slices.Index(list, name); i >= 0 {
		return list, i
	}
	return append(list, name), len(list)
}
