package motion

import (
	"math"
	"testing"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/reference"
)

// Swings behind a shaft that approaches a new speed agree with Hamilton's
// equations in the resting frame, integrated by SciPy's DOP853.
func TestReferenceMotions(t *testing.T) {
	curves, motions, err := reference.Load("../testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	byName := map[string]*flyweights.Mechanism{}
	for _, c := range curves {
		byName[c.Name] = c.Mechanism
	}
	if len(motions) < 3 {
		t.Fatalf("%d motions, want 3 or more", len(motions))
	}
	for _, r := range motions {
		m := &Model{Mechanism: byName[r.Mechanism], CamInertia: r.CamInertia, Damping: r.Damping}
		every := r.Times[0]
		got := course(t, m, FirstOrderLag{From: r.From, To: r.To, Time: r.Time}, Settings{
			Duration: r.Times[len(r.Times)-1] + every/2, Phi: r.Phi, Every: every, Relative: 1e-10, Absolute: 1e-12,
		})
		if len(got.Events) != 0 {
			t.Fatalf("%s: event %v in a free motion", r.Mechanism, got.Events[0])
		}
		worst := 0.0
		for i, want := range r.Swing {
			worst = math.Max(worst, math.Abs(got.Phi[i+1]-want))
		}
		t.Logf("%s: worst difference %.2g rad", r.Mechanism, worst)
		if !(worst <= 1e-7) {
			t.Errorf("%s: differs from the reference by %g rad", r.Mechanism, worst)
		}
	}
}
