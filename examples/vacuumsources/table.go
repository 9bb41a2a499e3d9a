package main

import (
	"fmt"
	"io"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/vacuum"
)

// table prints the idle on either source at both altitudes, for a mild and a long
// camshaft, and what follows for the hose.
func table(out io.Writer) error {
	d, err := distributor()
	if err != nil {
		return err
	}
	for _, overlap := range []float64{0.4, 2.2} {
		for _, altitude := range altitudes {
			s, err := system(altitude)
			if err != nil {
				return err
			}
			s.Intake.OverlapFactor = overlap
			s.Source = vacuum.FromManifold
			before, err := mapping.Idle(idling(d, s, overlap))
			if err != nil {
				return err
			}
			advice, err := mapping.Advise(mapping.Situation{
				Unit: unit(), Drive: d.Drive, IdleVacuum: before.Vacuum, CruiseVacuum: before.Vacuum - 2*vacuum.InchOfMercury,
				Static: d.Static, MechanicalCruise: 22, WantedCruise: 46, WantedIdle: 22,
			})
			if err != nil {
				return err
			}
			fmt.Fprintf(out, "overlap %.1f deg/m, %s: limiter at %.0f deg crank, hose on the %s source: %s\n", overlap, place(altitude), advice.Degrees, advice.Source, advice.Why)
			set := *d
			set.Vacuum = &advice.Unit
			for _, source := range []vacuum.Source{vacuum.FromManifold, vacuum.FromPort} {
				s.Source = source
				state, err := mapping.Idle(idling(&set, s, overlap))
				if err != nil {
					return err
				}
				fmt.Fprintf(out, "  %s source: idle at %.1f deg; steady: %t; %s\n", source, state.Spark, state.Steady, state.Why)
			}
		}
	}
	return nil
}
