package recipes

import (
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// Post is one way to hook a spring: where its two ends go.
type Post struct {
	Name string
	A, B flyweights.Anchor
}

// Position is a place that holds one spring. Each of its posts is a way to hook
// it there; a bent or moved post is simply another one. Two positions may name the
// same posts: two springs side by side on one pair of pins, one above the other,
// pull as the sum of both. Whether the pins are long enough and the coils clear
// each other and the weights is for whoever names the positions to see.
type Position struct {
	Name  string
	Posts []Post
	Empty bool // the place may also be left without a spring
}

// SpringPart is one kind of spring in the drawer.
type SpringPart struct {
	Name   string
	Spring springs.Spring
	Count  int // pieces at hand, 1 or more

	// MaxTension is the pull in N that the wire bears, for example
	// [design.Wire.Force] of a permissible stress; 0 where it is not known.
	MaxTension float64

	// Standard uncertainties (one sigma) of what is written above.
	RateSigma    float64 // of the rate, as a fraction
	TensionSigma float64 // of the initial tension, N
	LengthSigma  float64 // of the take-up length, m
}

// WeightPart is one set of weights in the drawer.
type WeightPart struct {
	Name      string
	Weights   []flyweights.Weight
	MassSigma float64 // standard uncertainty of the moment of each weight, as a fraction
}

// Drawer is what there is to build from.
type Drawer struct {
	Springs []SpringPart
	Weights []WeightPart
}

// Span is a range of settings in steps that a builder can really set. A Step of
// 0 stands for the default of the field; Low equal to High is one setting.
type Span struct{ Low, High, Step float64 }

// Steps that a careful builder can set, in crank degrees (common practice, no
// source): half a degree of slot is about 0.1 mm at a radius of 25 mm.
const (
	defaultStep = 0.5
	maxSettings = 100_000   // of one field
	maxPairs    = 1_000_000 // travel times static timing
)

func (s Span) step() float64 {
	if s.Step == 0 {
		return defaultStep
	}
	return s.Step
}

// count is the number of settings, both ends included.
func (s Span) count() int { return int(math.Floor((s.High-s.Low)/s.step()+1e-9)) + 1 }

// at is setting number i.
func (s Span) at(i int) float64 { return s.Low + float64(i)*s.step() }

func (s Span) check(field string, lo, hi float64) error {
	if err := firstOf(within(field+" low", s.Low, "deg crank", lo, hi),
		within(field+" high", s.High, "deg crank", s.Low, hi),
		within(field+" step", s.Step, "deg crank", 0, hi-lo)); err != nil {
		return err
	}
	if n := s.count(); n > maxSettings {
		return outOfRange(field+" settings", float64(n), "settings", fmt.Sprintf("at most %d", maxSettings))
	}
	return nil
}

// Problem is a distributor to be set up: the mechanism without its springs, the
// drawer, and what the engine wants and tolerates. It is only read.
//
// All angles are crank degrees and all speeds engine rpm; inside the mechanism,
// springs and slot the units are SI.
type Problem struct {
	// Mechanism gives linkage, drag and friction. Its springs are ignored and
	// its weights are replaced by the drawer's; Stop is the largest swing (rad)
	// that the hardware allows and must reach the largest travel.
	Mechanism flyweights.Mechanism
	// Shares, where given, stand in place of Mechanism, of the posts and of the laws and
	// weights of the drawer, which then names and counts the parts only. ShareDraws are
	// equally likely sets of them, from which [Problem.Tolerance] draws.
	Shares     *Shares
	ShareDraws []Shares

	Drive     advance.Drive
	Positions []Position // one or more, at most 6
	Drawer    Drawer

	// Slot is the slot as it is. It tells the closing in mm and which travel
	// needs the file. The zero value leaves both unknown.
	Slot flyweights.Slot

	Travel Span // mechanical advance at the stop, crank degrees: Low more than 0
	// PresentTravel is the travel as it is where readings tell it and no Slot does, crank
	// degrees, 0 where nothing tells; a recipe then leaves it alone or takes
	// LeastRemoval or more away.
	PresentTravel, LeastRemoval float64
	// What a file or a bush can hit, m: where SlotStep is more than 0 and the slot
	// is known, the slot's length goes in whole steps of it instead of Travel.Step,
	// and it is left alone or closed by LeastClosing or more. A tenth of a
	// millimetre and three of them are common practice, no source.
	SlotStep, LeastClosing float64

	Static Span    // static timing, crank degrees BTDC
	Idle   float64 // engine rpm

	Present *Choice // parts that are in it now; nil where nothing is known

	Target Target
	Limits Limits
}

// Choice says which parts go in.
type Choice struct {
	Springs []int // for each position the index in Drawer.Springs, -1 for none
	Posts   []int // for each position the index in its Posts, 0 where there is no spring
	Weights int   // index in Drawer.Weights
}

// maxPositions keeps a choice small; no mechanism known to the author has more
// than four springs.
const maxPositions = 6

// check returns an error that wraps [valid.ErrRange], or an error of the package that
// owns the part, for the first thing in the problem that cannot be calculated.
func (p *Problem) check() error {
	if p == nil {
		return refuse("problem is nil")
	}
	if err := firstOf(p.Drive.Check(), p.Travel.check("travel", 0, 120), p.Static.check("static timing", -60, 90),
		within("idle speed", p.Idle, "rpm crank", 0, maxSpeed)); err != nil {
		return err
	}
	if n := float64(p.Travel.count()) * float64(p.Static.count()); n > maxPairs {
		return outOfRange("travel times static settings", n, "settings", fmt.Sprintf("at most %d", maxPairs))
	}
	if !(p.Travel.Low > 0) {
		return outOfRange("travel low", p.Travel.Low, "deg crank", "more than 0")
	}
	if n := len(p.Positions); n < 1 || n > maxPositions {
		return outOfRange("number of spring positions", float64(n), "positions", fmt.Sprintf("1 to %d", maxPositions))
	}
	for i, pos := range p.Positions {
		if len(pos.Posts) == 0 {
			return refuse("position %d (%s) has no posts, valid is one or more", i+1, pos.Name)
		}
	}
	if err := firstOf(p.Drawer.check(p.Shares != nil), p.checkShares()); err != nil {
		return err
	}
	if p.Present != nil {
		if err := p.checkChoice(*p.Present); err != nil {
			return fmt.Errorf("present parts: %w", err)
		}
	}
	if err := firstOf(within("present travel", p.PresentTravel, "deg crank", 0, 180), within("least removal", p.LeastRemoval, "deg crank", 0, 90)); err != nil {
		return err
	}
	return firstOf(p.checkSlotSteps(), p.Target.check(), p.Limits.check())
}

// checkSlotSteps refuses steps of the slot that nobody can make, or nobody tell
// apart.
func (p *Problem) checkSlotSteps() error {
	if err := within("least slot closing", p.LeastClosing, "m", 0, 0.02); err != nil || p.SlotStep == 0 {
		return err
	}
	if err := firstOf(within("slot step", p.SlotStep, "m", 1e-5, 0.02), within("slot radius", p.Slot.Radius, "m", 0, 1)); err != nil {
		return err
	}
	if len(p.travels()) == 0 {
		return refuse("no slot length in steps of %.3g mm has a travel from %.4g to %.4g deg crank", p.SlotStep*1e3, p.Travel.Low, p.Travel.High)
	}
	return nil
}

func (d *Drawer) check(namesOnly bool) error {
	if len(d.Springs) == 0 || len(d.Weights) == 0 {
		return refuse("drawer holds %d springs and %d sets of weights, valid is one or more of each", len(d.Springs), len(d.Weights))
	}
	for i, s := range d.Springs {
		name := fmt.Sprintf("spring %d (%s)", i+1, s.Name)
		if err := s.Spring.Check(); err != nil && !namesOnly {
			return fmt.Errorf("%s: %w", name, err)
		}
		if s.Count < 1 {
			return outOfRange(name+" count", float64(s.Count), "pieces", "1 or more")
		}
		if err := firstOf(within(name+" largest tension", s.MaxTension, "N", 0, 1e9),
			within(name+" rate sigma", s.RateSigma, "of the rate", 0, 0.3),
			within(name+" tension sigma", s.TensionSigma, "N", 0, 1e6),
			within(name+" length sigma", s.LengthSigma, "m", 0, 1)); err != nil {
			return err
		}
	}
	for i, w := range d.Weights {
		name := fmt.Sprintf("weights %d (%s)", i+1, w.Name)
		if len(w.Weights) == 0 && !namesOnly {
			return refuse("%s: set is empty, valid is one or more weights", name)
		}
		if err := within(name+" mass sigma", w.MassSigma, "of the mass", 0, 0.3); err != nil {
			return err
		}
	}
	return nil
}

// checkChoice refuses a choice that names parts or posts which are not there.
func (p *Problem) checkChoice(c Choice) error {
	if len(c.Springs) != len(p.Positions) || len(c.Posts) != len(p.Positions) {
		return refuse("choice names %d springs and %d posts, valid is one of each for all %d positions", len(c.Springs), len(c.Posts), len(p.Positions))
	}
	if c.Weights < 0 || c.Weights >= len(p.Drawer.Weights) {
		return refuse("choice names weights %d, valid is 0 to %d", c.Weights, len(p.Drawer.Weights)-1)
	}
	for i, pos := range p.Positions {
		if c.Springs[i] < -1 || c.Springs[i] >= len(p.Drawer.Springs) {
			return refuse("choice names spring %d at position %d, valid is -1 (none) to %d", c.Springs[i], i+1, len(p.Drawer.Springs)-1)
		}
		if c.Posts[i] < 0 || c.Posts[i] >= len(pos.Posts) {
			return refuse("choice names post %d at position %d, valid is 0 to %d", c.Posts[i], i+1, len(pos.Posts)-1)
		}
	}
	return nil
}

// assemble returns the mechanism with the chosen parts in it, its slot ending at
// a travel in crank degrees.
func (p *Problem) assemble(c Choice, travel float64) (*flyweights.Mechanism, error) {
	if err := p.checkChoice(c); err != nil {
		return nil, err
	}
	m := p.Mechanism
	m.Weights = p.Drawer.Weights[c.Weights].Weights
	m.Springs = nil
	for i, s := range c.Springs {
		if s >= 0 {
			post := p.Positions[i].Posts[c.Posts[i]]
			m.Springs = append(m.Springs, flyweights.Spring{Law: p.Drawer.Springs[s].Spring, A: post.A, B: post.B})
		}
	}
	stop, err := p.swing(travel)
	if err != nil {
		return nil, err
	}
	m.Stop = stop
	return &m, nil
}
