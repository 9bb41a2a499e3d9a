package vacuum

// Habit is a range that the trade goes by. It is not a standard and no source
// stands behind it: compare with it, do not calculate with it.
type Habit struct {
	Name      string
	Low, High float64 // Pa of vacuum, at sea level
	Basis     string  // always "common practice, no source"
}

const habit = "common practice, no source"

// Habits returns the usual ranges of vacuum at sea level: the idle with cams of
// rising overlap, light cruise, the overrun, and the full pull of a vacuum unit.
// Take off about one inch of mercury per 1000 ft of altitude. The cam rows show
// how a longer cam lowers the idle vacuum: by burned gas that flows back through the
// overlap ([Engine.Burned], 3 to 4 inHg of it), by an inlet that closes later and so
// fills less at low speed ([Engine.Filling]), and by a diluted charge that burns
// slower ([Load.Efficiency]). Give the measured figure where there is one.
func Habits() []Habit {
	of := func(name string, low, high float64) Habit {
		return Habit{Name: name, Low: low * InchOfMercury, High: high * InchOfMercury, Basis: habit}
	}
	return []Habit{
		of("idle, mild cam", 16, 21),
		of("idle, medium cam", 12, 16),
		of("idle, long cam", 7, 12),
		of("light cruise", 12, 18),
		of("overrun", 21, 25),
		of("full pull of a vacuum unit", 10, 16),
	}
}
