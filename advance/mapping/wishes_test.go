package mapping_test

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/vacuum"
)

// What is printed is held against the unit itself: of 3,000 units and engines drawn at
// random no spring setting that is advised begins to pull at the vacuum of heavy load, and
// no wish for cruise or idle that is missed by more than the light can tell goes without a
// sentence.
func TestAdviceOverRandomUnits(t *testing.T) {
	const inHg = vacuum.InchOfMercury
	setting := regexp.MustCompile(`(?:until it is fully pulled at|slackened to a full pull at) ([0-9.]+) inHg(.*)`)
	r := rand.New(rand.NewPCG(7, 0x7769736865)) // any seed
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	advised, missed := 0, 0
	for range 3000 {
		s := mapping.Situation{
			Unit: vacuum.Unit{Area: between(5e-4, 14e-4), Rate: between(1500, 9000), Preload: between(2, 30), Travel: 4e-3, Stroke: 6e-3,
				ArmRadius: between(25e-3, 40e-3), Friction: between(0, 0.6)},
			Drive: advance.FourStroke, IdleVacuum: between(6, 20) * inHg, CruiseVacuum: between(5, 17) * inHg,
			Scatter: between(0.5, 2.5) * inHg, HeavyVacuum: between(1, 5) * inHg,
			Static: between(4, 16), MechanicalCruise: between(5, 26), WantedCruise: between(30, 56), WantedIdle: between(8, 32),
		}
		a, err := mapping.Advise(s)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Join(a.Sentences(), "\n")
		for _, found := range setting.FindAllStringSubmatch(text, -1) {
			if strings.Contains(found[2], "near full throttle") {
				continue // told not to
			}
			full, err := strconv.ParseFloat(found[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			advised++
			// The spring's own law: slackened, it begins and ends its pull lower by the same.
			begins := full*inHg - s.Unit.Rate*a.Unit.Travel/s.Unit.Area
			if !(begins >= s.HeavyVacuum-0.06*inHg) { // the printed digit
				t.Errorf("advised %q: begins at %.2f inHg, heavy load is %.2f", found[0], begins/inHg, s.HeavyVacuum/inHg)
			}
		}
		if math.Abs(a.IdleDeficit) > 2*mapping.LightError && !strings.Contains(text, "are wanted:") {
			t.Errorf("idle %.1f deg off its wish, and no word of it in\n%s", a.IdleDeficit, text)
		}
		if a.Deficit > 2*mapping.LightError {
			missed++
			if len(a.Notes) == 0 {
				t.Errorf("cruise %.1f deg short, and no word of it in\n%s", a.Deficit, text)
			}
		}
	}
	if advised < 100 || missed < 100 {
		t.Errorf("%d settings advised, %d cruises short: too few to tell", advised, missed)
	}
}
