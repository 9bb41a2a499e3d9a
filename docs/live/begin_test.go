package live

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
)

// The shape for the drawing is the mechanism of the job: posts where it has them, and
// the cam turned as its linkage turns it.
func TestShape(t *testing.T) {
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	s := ShapeOf(j)
	if s == nil || len(s.Weights) != len(j.Mechanism.Weights) || len(s.Places) != len(j.Places) {
		t.Fatalf("the shape is %+v", s)
	}
	for i, p := range j.Places {
		for _, c := range []struct {
			got  PostShape
			want flyweights.Anchor
		}{{s.Places[i].A, p.Posts[0].A}, {s.Places[i].B, p.Posts[0].B}} {
			if !(math.Abs(c.got.At[0]*1e-3-c.want.Point.X) <= 1e-12 && math.Abs(c.got.At[1]*1e-3-c.want.Point.Y) <= 1e-12) {
				t.Errorf("%s: %+v for %+v", p.Name, c.got, c.want)
			}
			if on := c.got.On == "weight" && c.want.Body == flyweights.OnWeight(c.got.Weight-1); !on && !(c.got.On == "plate" && c.want.Body == flyweights.Plate) {
				t.Errorf("%s: on %s %d for %v", p.Name, c.got.On, c.got.Weight, c.want.Body)
			}
		}
	}
	for _, row := range s.Cam {
		if turn, _, _ := j.Mechanism.Linkage.Cam(row[0]); !(math.Abs(turn-row[1]) <= 1e-12) {
			t.Errorf("at a swing of %g the cam turns %g, not %g", row[0], row[1], turn)
		}
	}
	if s.Stop != j.Mechanism.Stop {
		t.Errorf("stop %g", s.Stop)
	}
}

// A job of readings alone opens for the page of the readings; nothing of it moves.
func TestReadingsAlone(t *testing.T) {
	var s Session
	o := Opening{Job: `{"readings_csv": "light.csv"}`, Files: map[string]string{"light.csv": "rpm crank,deg crank\n700,10\n2800,34\n3600,34\n"}}
	start := ask1[Start](t, &s, "begin", o)
	if start.Shape != nil || len(start.Readings) != 3 {
		t.Errorf("%+v", start)
	}
	if fit := ask1[Fit](t, &s, "readings", Light{Readings: start.Readings, Angle: start.Angle, Speed: start.Speed}); len(fit.Residuals) != 3 {
		t.Errorf("%+v", fit)
	}
	for _, c := range []struct {
		name    string
		request any
	}{
		{"mechanism", Knobs{}}, {"begin", Opening{Job: `{"readings_csv": "light.csv"}`}},
		{"begin", Opening{Job: string(demo(t)), Recipe: &Recipe{Springs: map[string]string{"north": "no such"}}}},
		{"begin", Opening{Job: string(demo(t)), Recipe: &Recipe{Weights: "no such"}}},
	} {
		in, err := json.Marshal(c.request)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Call(t.Context(), c.name, in, nil); !errors.Is(err, ErrCall) {
			t.Errorf("%s %+v: %v", c.name, c.request, err)
		}
	}
}
