package drawing

import (
	"bytes"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
	_ "gonum.org/v1/plot/vg/vgimg" // "png"
)

// demo reads the program's own job, with a change if old is not empty.
func demo(t *testing.T, old, new string) *job.Job {
	t.Helper()
	text, err := os.ReadFile("../demo.json")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read([]byte(strings.Replace(string(text), old, new, 1)), nil)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// The picture names each dimension as the file does, with the file's own figures, and
// the same job gives the same bytes.
func TestDistributor(t *testing.T) {
	picture, err := Distributor(demo(t, "", ""), "svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"pivot_radius  23 mm (0.906 in)", "slot.length, end to end along its middle  10.6 mm", "slot.pin, diameter  5 mm", "slot.radius  20 mm",
		"posts_apart (north)", "pivot_to_plate_post", "pivot_to_weight_post", "centre_to_pivot", "centre_to_shaft", "spring at north: long soft", "At rest", "scale 2:1",
	} {
		if !bytes.Contains(picture, []byte(want)) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
	again, err := Distributor(demo(t, "", ""), "svg")
	if err != nil || !bytes.Equal(picture, again) {
		t.Errorf("the same job is drawn in another way, error %v", err)
	}
	other, err := Distributor(demo(t, `"weight_post": ["13 mm", "-12 mm"]`, `"weight_post": ["13 mm", "-14 mm"]`), "svg")
	if err != nil || bytes.Equal(picture, other) {
		t.Errorf("another post is drawn in the same way, error %v", err)
	}
	if _, err := Distributor(demo(t, "", ""), "png"); err != nil {
		t.Error(err)
	}
	if _, err := Distributor(&job.Job{}, "svg"); !errors.Is(err, ErrMechanism) {
		t.Errorf("a job without a mechanism: error is %v", err)
	}
	if _, err := Distributor(demo(t, "", ""), "nonsense"); err == nil {
		t.Error("an unknown format was drawn")
	}
}

// What moves is drawn where the library's own kinematics have it: a spring is as long
// as it reckons, through the change of its energy with the swing, and the pin meets
// the end of the slot at the stop.
func TestMoved(t *testing.T) {
	j := demo(t, "", "")
	m := &mechanism{weights: j.Mechanism.Weights, linkage: j.Mechanism.Linkage, clockwise: j.Mechanism.CamClockwise, slot: j.Slot}
	for i, p := range j.Places {
		m.places = append(m.places, place{name: p.Name, a: p.Posts[0].A, b: p.Posts[0].B})
		length := func(phi float64) float64 {
			return r2.Norm(r2.Sub(m.moved(m.places[i].a, phi), m.moved(m.places[i].b, phi)))
		}
		model := j.Mechanism
		const rate = 1000.0
		model.Springs = []flyweights.Spring{{Law: springs.Spring{Rate: rate, FreeLength: 1e-6}, A: m.places[i].a, B: m.places[i].b}}
		for _, part := range []float64{0.1, 0.5, 0.9} {
			phi, h := part*model.Stop, 1e-5
			// The spring's moment is rate·(L-L0)·dL/dphi; central difference, error h².
			want := rate * (length(phi) - 1e-6) * (length(phi+h) - length(phi-h)) / (2 * h)
			if got := model.SpringMoment(0, phi); !(math.Abs(got-want) <= 1e-6*math.Abs(want)) {
				t.Errorf("%s at %.2f rad: moment %g N m, by the drawing %g", p.Name, phi, got, want)
			}
		}
	}
	theta, _, _ := m.linkage.Cam(j.Mechanism.Stop)
	if sweep := m.slotSweep(); !(math.Abs(sweep-theta) <= 1e-9) {
		t.Errorf("the pin's way in the slot is %g rad, the cam turns %g", sweep, theta)
	}
}

func TestForm(t *testing.T) {
	picture, err := Form("svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Measuring form", "pivot_radius  ____", "slot.length", "free_length", "coil_outside", "date ____"} {
		if !bytes.Contains(picture, []byte(want)) {
			t.Errorf("the form lacks %q", want)
		}
	}
	if bytes.Contains(picture, []byte("mm (")) {
		t.Error("the form states figures of its own")
	}
}

// Every mechanism that a job can describe is drawn on the page: one to four weights, a
// pin in a slot of the cam, a wide or a tiny one.
func TestEveryLayout(t *testing.T) {
	for _, c := range []struct{ old, new string }{
		{`"weights_count": 2`, `"weights_count": 3`},
		{`"weights_count": 2`, `"weights_count": 4`},
		{`"cam_per_swing": "0.8:1"`, `"cam_pin": ["12 mm", "-1 mm"]`},
	} {
		j := demo(t, c.old, c.new)
		picture, err := Distributor(j, "svg")
		if err != nil || bytes.Contains(picture, []byte("NaN")) {
			t.Errorf("%s: error %v", c.new, err)
		}
	}
}

// The outline of points keeps every one of them inside, at its distance.
func TestAround(t *testing.T) {
	for _, points := range [][]r2.Vec{
		{{X: 1, Y: 1}}, {{X: 1, Y: 1}, {X: 1, Y: 1}}, {{}, {X: 3}}, {{}, {X: 1}, {X: 2}, {X: 3}},
		{{}, {X: 4}, {X: 4, Y: 3}, {Y: 3}, {X: 2, Y: 1}},
	} {
		for _, q := range convex(points) {
			if math.IsNaN(q.X) {
				t.Errorf("%v: %v", points, q)
			}
		}
		if n := len(convex(points)); n > 4 || n == 0 {
			t.Errorf("%v: a hull of %d points", points, n)
		}
		if len(around(points, 1)) == 0 {
			t.Errorf("%v has no outline", points)
		}
	}
}

// The figure of the theory carries its symbols, each twice: on the drawing and in the
// list beside it.
func TestSymbols(t *testing.T) {
	picture, err := Symbols("svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{">a<", ">c<", ">R<", ">L<", ">φ<", ">α<", ">θ<", ">ω<", ">r<"} {
		if n := bytes.Count(picture, []byte(want)); n != 2 {
			t.Errorf("%s stands %d times", want, n)
		}
	}
}

// The centres of every weight that is not like the first stand in the list, by the letters
// of the first: 9.5, -12 lies 15.3 mm from the shaft (Pythagoras).
func TestUnequalWeightsListed(t *testing.T) {
	j := demo(t, `"mass": "11 g", "centre": ["9 mm", "-13 mm"]`, `"each": [{"mass": "11 g", "centre": ["9 mm", "-13 mm"]}, {"mass": "12 g", "centre": ["9.5 mm", "-12 mm"]}]`)
	picture, err := Distributor(j, "svg")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(picture, []byte("weight 2: B ")) || !bytes.Contains(picture, []byte("C 15.3")) {
		t.Error("the second weight's centre is not listed")
	}
	if bytes.Contains(picture, []byte("weight 1: ")) {
		t.Error("the first weight is listed twice")
	}
}
