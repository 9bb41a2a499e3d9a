package readings

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
)

// Shared says what a run has in common with the first run of a joint fit.
type Shared int

const (
	// ShareStatic: the distributor was not turned between the runs.
	ShareStatic Shared = 1 << iota
	// ShareTravel: the slot and its bushing are the same.
	ShareTravel
	// ShareSprings: springs and weights are the same, hence the speeds of start,
	// knee and all-in, the bends and the hysteresis.
	ShareSprings
)

// Run is a set of readings taken with nothing changed between them.
type Run struct {
	Name     string    // for messages and reports
	Readings []Reading // hose-on readings are set aside, see [Result.HoseOn]
	Shares   Shared    // with the first run; of no effect on the first run itself
}

func (r *Run) label(i int) string {
	if r.Name != "" {
		return fmt.Sprintf("run %d (%s)", i+1, r.Name)
	}
	return fmt.Sprintf("run %d", i+1)
}

// checkRuns refuses runs that no curve can be fitted to.
func checkRuns(runs []Run, s *Settings) error {
	if len(runs) == 0 {
		return fmt.Errorf("%w: there are no runs, valid is 1 to %d", ErrRange, MaxRuns)
	}
	if len(runs) > MaxRuns {
		return fmt.Errorf("%w: there are %d runs, valid is 1 to %d", ErrRange, len(runs), MaxRuns)
	}
	total := 0
	for i := range runs {
		total += len(runs[i].Readings)
	}
	if total > MaxReadings {
		return fmt.Errorf("%w: there are %d readings, valid is at most %d: thin the table first", ErrRange, total, MaxReadings)
	}
	for i := range runs {
		run := &runs[i]
		used := 0
		low, high := math.Inf(1), math.Inf(-1)
		for k, r := range run.Readings {
			if err := r.Check(); err != nil {
				return fmt.Errorf("%s, reading %d: %w", run.label(i), k+1, err)
			}
			if r.HoseOn {
				continue
			}
			used++
			low, high = math.Min(low, r.RPM), math.Max(high, r.RPM)
		}
		if i > 0 && used > 0 && run.Shares != 0 {
			continue // the first run carries what this one lacks
		}
		if used < 3 {
			return fmt.Errorf("%w: %s has %d readings with the vacuum hose off, valid is 3 or more", ErrRange, run.label(i), used)
		}
		if !(high-low >= 4*s.SigmaRPM) {
			return fmt.Errorf("%w: the readings of %s lie between %.6g and %.6g rpm crank, valid is a spread of %.6g rpm or more: readings at one speed show no curve",
				ErrRange, run.label(i), low, high, 4*s.SigmaRPM)
		}
	}
	return nil
}

// MaxRuns is the most runs that one joint fit takes.
const MaxRuns = 8

// observations returns the hose-off readings of a run with their errors filled
// in, and the place of each in the run's list.
func observations(run *Run, s *Settings) (obs []observed, places []int) {
	for k, r := range run.Readings {
		if r.HoseOn {
			continue
		}
		o := observed{rpm: r.RPM, deg: r.Degrees, sigmaRPM: r.SigmaRPM, sigmaDeg: r.SigmaDegrees, falling: r.Direction == flyweights.Falling}
		if o.sigmaRPM == 0 {
			o.sigmaRPM = s.SigmaRPM
		}
		if o.sigmaDeg == 0 {
			o.sigmaDeg = s.SigmaDegrees
		}
		obs = append(obs, o)
		places = append(places, k)
	}
	return obs, places
}
