package corpus

import (
	"strings"
	"testing"

	"example.org/bobweight/advance"
)

// givenOf reads texts as the values of a Given.
func givenOf(t *testing.T, texts map[string]string) *Given {
	t.Helper()
	g := &Given{values: map[string]value{}}
	for name, text := range texts {
		var v value
		if err := v.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		g.values[name] = v
	}
	return g
}

// TestGiven takes values of every kind out of a Given.
func TestGiven(t *testing.T) {
	g := givenOf(t, map[string]string{"mass": "18.5 g", "count": "8 1", "ends": "squared and ground", "turn": "6 deg dist", "speed": "1300 rpm dist"})
	g.lists = map[string][]value{"loads": {{quantity: SI(1, dimForce)}, {quantity: SI(2, dimForce)}}}
	g.groups = map[string][]map[string]value{"outline": {{"x": {quantity: SI(3, dimLength)}, "y": {quantity: SI(4, dimLength)}}}}
	if m := g.SI("mass", dimMass); m != 0.0185 {
		t.Errorf("mass %v", m)
	}
	if n := g.Whole("count"); n != 8 {
		t.Errorf("count %v", n)
	}
	if w := g.Word("ends", "plain", "squared and ground"); w != "squared and ground" {
		t.Errorf("ends %q", w)
	}
	if deg := g.CrankDegrees("turn", advance.FourStroke); deg != 12 {
		t.Errorf("turn %v deg crank", deg)
	}
	if rpm := g.CrankRPM("speed", advance.FourStroke); rpm != 2600 {
		t.Errorf("speed %v rpm crank", rpm)
	}
	if l := g.List("loads", dimForce); len(l) != 2 || l[1] != 2 {
		t.Errorf("loads %v", l)
	}
	if p := g.Points("outline", dimLength); len(p) != 1 || p[0] != [2]float64{3, 4} {
		t.Errorf("outline %v", p)
	}
	if x := g.SIOr("gap", dimLength, 7); x != 7 {
		t.Errorf("gap %v", x)
	}
	if w := g.WordOr("material", "steel"); w != "steel" {
		t.Errorf("material %q", w)
	}
	if err := g.problem(); err != nil {
		t.Error(err)
	}
}

// TestGivenProblems takes values wrongly and checks that the first mistake is
// noted in words.
func TestGivenProblems(t *testing.T) {
	texts := map[string]string{"mass": "18.5 g", "count": "8.5 1", "ends": "squared", "turn": "6 deg dist", "bare": "6 deg"}
	for _, c := range []struct {
		says string
		take func(g *Given)
	}{
		{`"load" is missing`, func(g *Given) { g.SI("load", dimForce) }},
		{`"mass" is in kg, wanted is m`, func(g *Given) { g.SI("mass", dimLength) }},
		{`"ends" is a word`, func(g *Given) { g.SI("ends", dimLength) }},
		{`"ends" is a word`, func(g *Given) { g.Any("ends") }},
		{`"turn" names a shaft`, func(g *Given) { g.SI("turn", dimAngle) }},
		{`wanted is a whole number`, func(g *Given) { g.Whole("count") }},
		{`"mass" is a quantity, wanted is a word`, func(g *Given) { g.Word("mass") }},
		{`wanted is one of plain, ground`, func(g *Given) { g.Word("ends", "plain", "ground") }},
		{`does not say on which shaft`, func(g *Given) { g.CrankDegrees("bare", advance.FourStroke) }},
		{`wanted is an angle`, func(g *Given) { g.CrankDegrees("mass", advance.FourStroke) }},
		{`wanted is a speed of rotation`, func(g *Given) { g.CrankRPM("turn", advance.FourStroke) }},
		{`list "mass" is missing`, func(g *Given) { g.List("mass", dimMass) }},
		{`groups "mass" are missing`, func(g *Given) { g.Points("mass", dimMass) }},
		{`"bare" is not used`, func(g *Given) {}},
	} {
		g := givenOf(t, texts)
		c.take(g)
		if err := g.problem(); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("got %v, want a note that says %s", err, c.says)
		}
	}

	g := givenOf(t, map[string]string{"x": "1 N"})
	g.groups = map[string][]map[string]value{"parts": {{"shape": {word: "circle"}}}}
	g.SI("x", dimForce)
	g.Groups("parts")
	if err := g.problem(); err == nil || !strings.Contains(err.Error(), `"shape" is not used`) {
		t.Errorf("got %v, want a note that the part's shape is not used", err)
	}
}
