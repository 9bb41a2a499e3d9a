package readings

// Direction says whether the speed was rising or falling towards a reading.
type Direction int

const (
	// Rising is the direction of a reading reached from a lower speed.
	Rising Direction = iota
	// Falling is the direction of a reading reached from a higher speed.
	Falling
)
