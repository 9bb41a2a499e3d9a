package design

import (
	"fmt"
	"math"
	"sort"

	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// Wanted is the work a spring is to do: what [Springs] looks for.
type Wanted struct {
	Rate    float64 // N/m, more than 0
	Tension float64 // N, at Length, more than 0
	Length  float64 // m inside the loops, the spring fitted at rest
	Longest float64 // m, the spring at the end of its travel, more than Length
	Slack   float64 // m, play of a slotted loop, 0 or more; it is taken up before Length
}

// Stock is what there is to make it of.
type Stock struct {
	Material Material
	Wires    []float64 // m, wire diameters at hand
	// TurnStep is the fraction of a turn by which the loops can be set against
	// each other, 0.25 where it is 0.
	TurnStep float64
	// TurnsLeast is the smallest number of body turns that winds well, 3 where it
	// is 0 (common practice, no source).
	TurnsLeast float64
	// OutsideMost is the largest outside diameter in m that has room, no limit
	// where it is 0.
	OutsideMost float64
	// StretchLeast is how far in m the spring must be stretched beyond take-up at
	// the wanted length. Where it is 0, the choice may hang so near its free
	// length that a loop a little long leaves it slack: ask for as much as the
	// length may lie off ([Tolerances]).
	StretchLeast float64
	// LoopMost is the height in m to which loops may be drawn out on straight
	// shanks, full loops only where it is 0.
	LoopMost float64
	// IndexLeast and IndexMost bound the spring index, 4 and 14 where they are
	// 0. They must lie within 4 to 16, the range of [InitialStress].
	IndexLeast, IndexMost float64
	// Endurance of the wire, that of [Zimmerli] unpeened where it is zero.
	Endurance Endurance
}

// Choice is one spring that does what is wanted.
type Choice struct {
	Part    Part
	Spring  springs.Spring // its law at 20 degrees Celsius
	Static  Locations      // static factors of safety at the longest length
	Fatigue Fatigue        // in fatigue, between fitted and longest length
	// Safety is the least factor of safety, static, in fatigue or against yield: above 1 the
	// spring lives.
	Safety  float64
	Stretch float64 // m beyond take-up at the wanted length
	// Winding is where its initial tension lies in the range that close winding
	// holds well ([InitialStress]): -1 at the low edge, 0 in the middle, 1 at
	// the high edge.
	Winding float64
}

// Springs returns the close-wound springs of the stock's wires and turns that
// pull as wanted at a length and have the wanted rate, best first: the one with
// the largest factor of safety.
//
// For each wire and each number of turns the rate fixes the mean diameter
// (cube root of G d^4/(8 k Na)). With full loops the diameter fixes the free
// length, and free length and tension the initial tension that must be wound in.
// Loops that may be drawn out leave it a choice, which is taken as near the
// middle of what close winding holds well as they reach; their shanks are drawn
// straight and count as rigid. What can be wound (|Winding| <= 1), has room and
// takes no set is kept: no search, every answer exact, the same every time.
//
// It refuses data out of range, and says so with an error wrapping [valid.ErrRange] if
// nothing in the stock will do.
func Springs(want Wanted, stock Stock) ([]Choice, error) {
	stock, err := stock.filled()
	if err != nil {
		return nil, err
	}
	if err := want.check(); err != nil {
		return nil, err
	}
	var found []Choice
	for _, d := range stock.Wires {
		some, err := designWire(want, stock, d)
		if err != nil {
			return nil, err
		}
		found = append(found, some...)
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("%w: rate %.6g N/m with %.6g N at %.6g m cannot be wound of the %d wires at hand, valid is another rate, tension, length or wire",
			valid.ErrRange, want.Rate, want.Tension, want.Length, len(stock.Wires))
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].Safety > found[j].Safety })
	return found, nil
}

func (w Wanted) check() error {
	return valid.Check(valid.ErrRange,
		valid.Above("wanted rate", w.Rate, "N/m", 0, maxRate),
		valid.Above("wanted tension", w.Tension, "N", 0, maxForce),
		valid.Above("fitted length", w.Length, "m", 0, maxLength),
		valid.Above("longest length", w.Longest, "m", w.Length, maxLength),
		valid.In("slack", w.Slack, "m", 0, w.Length),
	)
}

// filled returns the stock with its defaults, checked.
func (s Stock) filled() (Stock, error) {
	if s.TurnStep == 0 {
		s.TurnStep = 0.25
	}
	if s.TurnsLeast == 0 {
		s.TurnsLeast = 3
	}
	if s.OutsideMost == 0 {
		s.OutsideMost = maxLength
	}
	if s.IndexLeast == 0 {
		s.IndexLeast = 4
	}
	if s.IndexMost == 0 {
		s.IndexMost = 14
	}
	if s.Endurance == (Endurance{}) {
		s.Endurance = Zimmerli(false)
	}
	if err := s.Material.check(); err != nil {
		return s, err
	}
	if len(s.Wires) == 0 {
		return s, valid.Refuse(valid.ErrRange, "wires at hand", 0, "", "1 or more")
	}
	return s, valid.Check(valid.ErrRange,
		valid.In("turn step", s.TurnStep, "turns", 1.0/64, 1),
		valid.Above("smallest number of turns", s.TurnsLeast, "turns", 0, 1e4),
		valid.Above("largest outside diameter", s.OutsideMost, "m", 0, maxLength),
		valid.In("least stretch", s.StretchLeast, "m", 0, maxLength),
		valid.In("longest loop", s.LoopMost, "m", 0, maxLength),
		valid.In("smallest index", s.IndexLeast, "", 4, 16),
		valid.In("largest index", s.IndexMost, "", s.IndexLeast, 16),
	)
}

// designWire returns the choices of one wire.
func designWire(want Wanted, stock Stock, d float64) ([]Choice, error) {
	shear, young, err := stock.Material.Elastic(d, roomTemperature)
	if err != nil {
		return nil, err
	}
	if _, err := stock.Material.Tensile(d); err != nil {
		return nil, err
	}
	loops := shear / young // active turns of the two loops
	turnsAt := func(index float64) float64 {
		return shear*d/(8*index*index*index*want.Rate) - loops
	}
	var found []Choice
	// The body alone must be shorter than the space: a bound on the turns as good
	// as the index's.
	most := math.Min(turnsAt(stock.IndexLeast), want.Length/d)
	first := math.Ceil(math.Max(turnsAt(stock.IndexMost), stock.TurnsLeast) / stock.TurnStep)
	for step := first; step*stock.TurnStep <= most; step++ {
		turns := step * stock.TurnStep
		mean := math.Cbrt(shear * d * d * d * d / (8 * want.Rate * (turns + loops)))
		c, ok, err := choice(want, stock, d, mean, turns)
		if err != nil {
			return nil, err
		}
		if ok {
			found = append(found, c)
		}
	}
	return found, nil
}

// choice completes one spring and reports whether it can be made and lives.
func choice(want Wanted, stock Stock, d, mean, turns float64) (Choice, bool, error) {
	if c := mean / d; !(c >= stock.IndexLeast && c <= stock.IndexMost) {
		return Choice{}, false, nil // by the last bit of the turns at the edge
	}
	_, middle, most, err := (Wire{Diameter: d, MeanDiameter: mean}).initialTension()
	if err != nil {
		return Choice{}, false, err
	}
	part := Part{Material: stock.Material, Diameter: d, MeanDiameter: mean, BodyCoils: turns}
	loop := FullLoop(d, mean)
	stretch := max((want.Tension-middle)/want.Rate, stock.StretchLeast) // with the middle of the band wound in
	closed := want.Length - want.Slack - stretch
	loop.Height = min(max((closed-(turns+1)*d)/2, loop.Height), max(stock.LoopMost, loop.Height))
	part.Loops = [2]Loop{loop, loop}
	part.Loops[1].Slot = want.Slack
	takeUp := part.freeLength() + want.Slack
	part.InitialTension = want.Tension - want.Rate*(want.Length-takeUp)
	stretch = want.Length - takeUp
	if !(stretch > 0 && stretch >= stock.StretchLeast*(1-edge) && part.InitialTension > 0 && mean+d <= stock.OutsideMost) {
		return Choice{}, false, nil
	}
	c := Choice{Part: part, Stretch: stretch, Winding: (part.InitialTension - middle) / (most - middle)}
	if !(math.Abs(c.Winding) <= 1) {
		return Choice{}, false, nil
	}
	if c.Spring, err = part.Spring(roomTemperature); err != nil {
		return Choice{}, false, err
	}
	low, high := c.Spring.Tension(want.Length), c.Spring.Tension(want.Longest)
	if want.Slack > 0 {
		low = 0 // a spring with play goes slack on the way back
	}
	if c.Static, err = part.Static(high); err != nil {
		return Choice{}, false, err
	}
	if !(c.Static.least() > 1) {
		return Choice{}, false, nil
	}
	if c.Fatigue, err = part.Fatigue(low, high, stock.Endurance, Gerber); err != nil {
		return Choice{}, false, err
	}
	c.Safety = min(c.Static.least(), c.Fatigue.Safety.least(), c.Fatigue.Yield)
	return c, true, nil
}

// MusicWireSizes returns the diameters in m of the music wire series from 0.010
// to 0.100 in (spring makers' stock list).
func MusicWireSizes() []float64 {
	mils := []float64{
		10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 24, 26, 28, 30, 32, 34, 36, 38, 40, 42, 45, 48,
		51, 55, 59, 63, 67, 72, 76, 80, 85, 90, 95, 100,
	}
	sizes := make([]float64, len(mils))
	for i, m := range mils {
		sizes[i] = m * inch / 1000
	}
	return sizes
}
