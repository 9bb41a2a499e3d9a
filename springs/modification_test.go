package springs_test

import (
	"errors"
	"fmt"
	"testing"

	"example.org/bobweight/springs"

	"example.org/bobweight/springs/valid"
)

func TestRefusedModifications(t *testing.T) {
	s := demo
	for name, f := range map[string]func() error{
		"law, all coils cut":     func() error { _, err := s.CutCoils(8, 8, 1e-3); return err },
		"law, cut below nothing": func() error { _, err := s.CutCoils(800, 700, 1e-3); return err },
		"law, no coils":          func() error { _, err := s.CutCoils(0, 0, 1e-3); return err },
		"law, cut, bad spring":   func() error { _, err := springs.Spring{}.CutCoils(8, 1, 1e-3); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}

// What a bench can do to a spring of ten active coils that pulls too early: a
// longer loop, play in the loop, a post moved; and two coils cut off to make it
// stiffer.
func ExampleSpring_CutCoils() {
	s := springs.Spring{Rate: 1000, FreeLength: 0.020, InitialTension: 1}
	show := func(what string, s springs.Spring, err error) {
		fmt.Printf("%-16s %.2f N/mm, pulls from %.1f mm, %v\n", what, s.Rate/1e3, s.TakeUp()*1e3, err)
	}
	show("as it is", s, nil)
	bent, slotted := s, s
	bent.FreeLength += 0.5e-3
	show("loop bent", bent, bent.Check())
	slotted.Slack += 0.8e-3
	show("loop slotted", slotted, slotted.Check())
	changed, err := s.CutCoils(10, 2, 0.7e-3)
	show("two coils less", changed, err)
	length, err := s.Length(3)
	fmt.Printf("for 3 N move the post at 22.5 mm by %.1f mm, %v\n", (length-0.0225)*1e3, err)
	// Output:
	// as it is         1.00 N/mm, pulls from 20.0 mm, <nil>
	// loop bent        1.00 N/mm, pulls from 20.5 mm, <nil>
	// loop slotted     1.00 N/mm, pulls from 20.8 mm, <nil>
	// two coils less   1.25 N/mm, pulls from 18.6 mm, <nil>
	// for 3 N move the post at 22.5 mm by -0.5 mm, <nil>
}
