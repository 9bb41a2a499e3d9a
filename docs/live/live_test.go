package live

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
)

func demo(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("../../examples/recurve/demo.json")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func ask1[T any](t *testing.T, s *Session, name string, request any) T {
	t.Helper()
	in, ok := request.([]byte)
	if !ok {
		var err error
		if in, err = json.Marshal(request); err != nil {
			t.Fatal(err)
		}
	}
	data, err := s.Call(t.Context(), name, in, nil)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var out T
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// The knobs as the job has them give the curve of the library itself.
func TestMechanismIsTheJobs(t *testing.T) {
	var s Session
	start := ask1[Start](t, &s, "open", demo(t))
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	fitted := j.Mechanism
	fitted.Weights = j.Drawer.Weights[j.Fitted.Weights].Weights
	for i, s := range j.Fitted.Springs {
		post := j.Places[i].Posts[0]
		fitted.Springs = append(fitted.Springs, flyweights.Spring{Law: j.Drawer.Springs[s].Spring, A: post.A, B: post.B})
	}
	want, err := fitted.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	got := ask1[Mechanism](t, &s, "mechanism", start.Knobs)
	for i, rpm := range got.RPM {
		theta := j.Drive.CrankDegrees(want.Theta(j.Drive.Omega(rpm), flyweights.Rising))
		if !(math.Abs(got.Rising[i]-start.Knobs.Static-theta) <= 1e-9) {
			t.Errorf("%g rpm: %g less static, the library says %g", rpm, got.Rising[i], theta)
		}
		if !(got.Falling[i] >= got.Rising[i]-1e-9) {
			t.Errorf("%g rpm: falling %g below rising %g", rpm, got.Falling[i], got.Rising[i])
		}
		if !(got.Low[i] <= got.Rising[i] && got.Rising[i] <= got.High[i]) {
			t.Errorf("%g rpm: %g outside its band %g to %g", rpm, got.Rising[i], got.Low[i], got.High[i])
		}
	}
	if !(math.Abs(got.Start-j.Drive.RPM(want.Start(flyweights.Rising))) <= 1e-9) || len(got.Events) < 4 {
		t.Errorf("start %g, %d events", got.Start, len(got.Events))
	}
	if got.Margin != nil {
		t.Error("a margin without an engine")
	}
}

// Each knob does what its physics says: start speed goes as one over the root of
// the mass, static timing and vacuum shift the whole curve.
func TestKnobsMove(t *testing.T) {
	var s Session
	start := ask1[Start](t, &s, "open", demo(t))
	before := ask1[Mechanism](t, &s, "mechanism", start.Knobs)
	knobs := start.Knobs
	knobs.Mass *= 2
	if got := ask1[Mechanism](t, &s, "mechanism", knobs); !(math.Abs(got.Start-before.Start/math.Sqrt2) <= 0.2*before.Start) || !(got.AllIn < before.AllIn) {
		t.Errorf("twice the mass starts at %g after %g", got.Start, before.Start)
	}
	knobs = start.Knobs
	knobs.Static += 3
	if got := ask1[Mechanism](t, &s, "mechanism", knobs); !(math.Abs(got.Total-before.Total-3) <= 1e-9) {
		t.Errorf("3 deg more static makes the total %g after %g", got.Total, before.Total)
	}
	knobs = start.Knobs
	knobs.Vacuum = 20
	if got := ask1[Mechanism](t, &s, "mechanism", knobs); !(got.Pulled > 5) || !(math.Abs(got.Rising[40]-before.Rising[40]-got.Pulled) <= 1e-9) {
		t.Errorf("20 inHg pull %g", got.Pulled)
	}
	knobs = start.Knobs
	knobs.Slot = 5
	in, _ := json.Marshal(knobs)
	if _, err := s.Call(t.Context(), "mechanism", in, nil); !errors.Is(err, ErrCall) {
		t.Errorf("a slot without travel: %v", err)
	}
}

// The engine's limits are those of the report, and the margin is measured from
// them.
func TestEngineIsTheReports(t *testing.T) {
	var s Session
	start := ask1[Start](t, &s, "open", demo(t))
	engine := ask1[Engine](t, &s, "engine", start.Pump)
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	report, err := j.Run(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(engine.Want) != len(report.Engine.Want) {
		t.Fatalf("%d speeds, the report has %d", len(engine.Want), len(report.Engine.Want))
	}
	for i, w := range report.Engine.Want {
		got := engine.Want[i]
		if got.RPM != w.RPM || !(math.Abs(got.MBT-w.MBT) <= 0.005) || !(math.Abs(got.Limit-w.Limit) <= 0.005) {
			t.Errorf("%g rpm: %+v, the report says %+v", w.RPM, got, w)
		}
	}
	if m := ask1[Mechanism](t, &s, "mechanism", start.Knobs); m.Margin == nil {
		t.Error("no margin with an engine")
	}
	weaker := start.Pump
	weaker.RON, weaker.MON = 88, 80
	if less := ask1[Engine](t, &s, "engine", weaker); !(less.Want[1].Limit < engine.Want[1].Limit) {
		t.Errorf("with less octane the limit is %g after %g", less.Want[1].Limit, engine.Want[1].Limit)
	}
}

func TestFit(t *testing.T) {
	var s Session
	start := ask1[Start](t, &s, "open", demo(t))
	fit := ask1[Fit](t, &s, "readings", Light{Readings: start.Readings, Angle: start.Angle, Speed: start.Speed, Band: true})
	if len(fit.Residuals) != len(start.Readings) || len(fit.Low) != len(fit.BandRPM) || len(fit.Low) < 20 {
		t.Errorf("%d residuals of %d readings, %d points of the band", len(fit.Residuals), len(start.Readings), len(fit.Low))
	}
	for _, e := range fit.Estimates {
		if e.Name == "Total" && !(math.Abs(e.Value-39.7) <= 1) {
			t.Errorf("total %g", e.Value)
		}
	}
}

func TestRefused(t *testing.T) {
	var s Session
	for _, c := range []struct{ name, in string }{
		{"mechanism", "{}"}, {"open", "{"}, {"what", "{}"}, {"readings", "["},
	} {
		if _, err := s.Call(t.Context(), c.name, []byte(c.in), nil); !errors.Is(err, ErrCall) {
			t.Errorf("%s %s: %v", c.name, c.in, err)
		}
	}
}
