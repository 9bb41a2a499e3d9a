package job

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/springs/design"
)

// noFitReport says what comes nearest where no recipe keeps the limits, what it
// breaks, and which spring would have fitted.
func (j *Job) noFitReport(found *recipes.Result, knockForbids bool, a *requirement) *NoFit {
	n := &NoFit{Text: "No combination of the drawer keeps every limit, so there is nothing to set."}
	if knockForbids {
		n.Knock = "It is knock that forbids: without the knock limit the drawer would have recipes."
		if j.Wish.Total > 0 {
			n.Knock += fmt.Sprintf(" Ask for less than a total of %.1f (target.total), or burn a fuel of more octane.", j.Wish.Total)
		} else {
			n.Knock += " Allow less static timing (target.static_range) or a later all-in (target.all_in), or burn a fuel of more octane."
		}
		n.Doubt = j.doubt(a)
	}
	near := found.Nearest
	if near == nil {
		return n
	}
	n.Text += fmt.Sprintf(" The nearest is %s with weights %s, static %.1f, travel %.1f deg crank. It breaks:",
		j.named(near.SpringNames), j.Drawer.Weights[near.Weights].Name, near.Static, near.Travel)
	for _, b := range found.Breaches {
		n.Reasons = append(n.Reasons, breach(b))
	}
	switch wish := found.Missing; {
	case wish == nil:
	case len(wish.Breaches) > 0:
		n.Spring = "No springs in these places can keep every limit: " + breach(wish.Breaches[0]) + ". Ease the limit, or change weights or slot."
	default:
		var list []string
		for _, s := range wish.Springs {
			list = append(list, j.toBuy(s))
		}
		n.Spring = fmt.Sprintf("What would fit, with static %.1f and travel %.1f deg crank: %s.", wish.Recipe.Static, wish.Recipe.Travel, strings.Join(list, "; "))
	}
	return n
}

// doubt says how wide the band of a knock limit is that no trace knock of this
// engine has narrowed and that forbids; empty where one has.
func (j *Job) doubt(a *requirement) string {
	if j.heard() {
		return ""
	}
	at := a.near(j.Wish.AllIn.High) // near which the curve is all in
	return fmt.Sprintf("The limit is reckoned without any knock heard on this engine, and recipes half-way up its band were tried too: at %.0f rpm the limit lies from %.1f to %.1f deg crank. A trace knock, or full load without knock, given under engine.observed, shows where; until then trust no timing beyond it.",
		at.RPM, at.KLSALow, at.KLSAHigh)
}

// breach says how far a limit is broken, to what a light or a tachometer can
// tell.
func breach(b recipes.Breach) string {
	decimals := 2
	if strings.HasPrefix(b.Unit, "rpm") {
		decimals = 1
	}
	show := func(x float64) string {
		s := strings.TrimRight(strconv.FormatFloat(x, 'f', decimals, 64), "0")
		return strings.TrimSuffix(s, ".")
	}
	where := b.Where
	if where != "" {
		where = " " + where
	}
	return fmt.Sprintf("%s%s: %s %s, allowed %s, off by %s", b.Limit, where, show(b.Value), b.Unit, show(b.Allowed), show(b.By))
}

// named lists springs with their places.
func (j *Job) named(names []string) string {
	var list []string
	for i, name := range names {
		list = append(list, name+" at "+j.Places[i].Name)
	}
	return strings.Join(list, ", ")
}

// toBuy describes a spring for the shelf or the winder: rate and tension, and
// wire, coil and turns where music wire can be wound so.
func (j *Job) toBuy(s recipes.FreeSpring) string {
	text := fmt.Sprintf("at %s a spring of %.2f N/mm (%.1f lbf/in) that pulls %.2f N at %.2f mm",
		j.Places[s.Position].Name, s.Rate/1e3, s.Rate/poundPerInch, s.Tension, s.Length*1e3)
	if s.Slack > 0 {
		text += fmt.Sprintf(", its loop leaving %.2f mm of play", s.Slack*1e3)
	}
	found, err := design.Springs(s.Wanted, design.Stock{
		Material: design.MusicWire(), Wires: design.MusicWireSizes(), OutsideMost: 12e-3, LoopMost: 10e-3, StretchLeast: 0.2e-3,
	})
	if err != nil {
		return text + " (not to be wound of music wire with ordinary loops)"
	}
	part := found[0].Part
	return text + fmt.Sprintf(", for example of %.2f mm music wire, %.1f mm outside, %.2f turns",
		part.Diameter*1e3, (part.MeanDiameter+part.Diameter)*1e3, part.BodyCoils)
}

// poundPerInch is one lbf/in in N/m (NIST SP 811).
const poundPerInch = 175.1268
