package job_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// callipered is the demo with its points replaced by the distances between them.
func callipered(t *testing.T) []byte {
	t.Helper()
	mm := func(x, y float64) string { return fmt.Sprintf(`"%.9f mm"`, math.Hypot(x, y)) }
	const pivot = 23
	text := string(demo(t))
	for _, k := range []struct{ old, new string }{
		{`"plate_post": ["6 mm", "13 mm"], "weight_post": ["13 mm", "-12 mm"]`,
			`"pivot_to_plate_post": ` + mm(6-pivot, 13) + `, "pivot_to_weight_post": ` + mm(13-pivot, -12) + `, "posts_apart": ` + mm(13-6, -12-13)},
		{`"centre": ["9 mm", "-13 mm"]`, `"centre_to_pivot": ` + mm(9-pivot, -13) + `, "centre_to_shaft": ` + mm(9, -13)},
		{`"centre": ["9.5 mm", "-14 mm"]`, `"centre_to_pivot": ` + mm(9.5-pivot, -14) + `, "centre_to_shaft": ` + mm(9.5, -14)},
	} {
		if !strings.Contains(text, k.old) {
			t.Fatalf("the demo holds no %q", k.old)
		}
		text = strings.ReplaceAll(text, k.old, k.new)
	}
	return []byte(text)
}

// Distances describe the same mechanism as the points that they were taken from:
// the same moments of weights and the same lengths of springs at every swing, hence
// the same curve.
func TestDistancesDoForPoints(t *testing.T) {
	t.Parallel()
	points, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	distances, err := job.Read(callipered(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	for part := range 11 {
		phi := points.Mechanism.Stop * float64(part) / 10
		for i := range points.Mechanism.Weights {
			a, b := points.Mechanism.WeightMoment(i, phi), distances.Mechanism.WeightMoment(i, phi)
			if !(math.Abs(a-b) <= 1e-9*math.Abs(a)) {
				t.Errorf("weight %d at %.3f rad: %g from points, %g from distances", i+1, phi, a, b)
			}
		}
	}
	a, err := points.Present()
	if err != nil {
		t.Fatal(err)
	}
	b, err := distances.Present()
	if err != nil {
		t.Fatal(err)
	}
	for rpm := 200.0; rpm <= 4000; rpm += 100 {
		x, y := a.Theta(points.Drive.Omega(rpm), 0), b.Theta(points.Drive.Omega(rpm), 0)
		if !(math.Abs(x-y) <= 1e-8) {
			t.Errorf("at %g rpm: %g rad from points, %g from distances", rpm, x, y)
		}
	}
}

// Distances that make no triangle, or both kinds, are refused with the field.
func TestDistancesRefused(t *testing.T) {
	t.Parallel()
	text := string(callipered(t))
	apart := `"posts_apart": "25.961509971 mm"`
	for _, k := range []struct{ old, new, want string }{
		{apart, `"posts_apart": "45 mm"`, "spring_places[0].posts_apart: is 45 mm, with 21.4 mm and 15.62 mm from the pivot to the posts: no triangle has such sides; valid is more than 5.78 mm and less than 37.02 mm"},
		{apart, `"posts_apart": "5 mm"`, "no triangle"},
		{apart, `"plate_post": ["6 mm", "13 mm"], ` + apart, "needs one of plate_post and posts_apart, and not both"},
		{`"centre_to_shaft": "15.811388301 mm"`, `"centre_to_shaft": "50 mm"`, "weights[0].centre_to_shaft: is 50 mm, with 19.1 mm to the pivot and 23 mm from pivot to shaft: no triangle"},
		{apart, `"plate_post": ["6 mm", "13 mm"], "weight_post": ["13 mm", "-12 mm"]`, "spring_places[0].pivot_to_plate_post: goes with posts_apart, which is not given"},
		{`"centre_to_pivot": "19.104973175 mm"`, `"centre": ["9 mm", "-13 mm"]`, "weights[0].centre_to_shaft: goes with centre_to_pivot, which is not given"},
	} {
		if !strings.Contains(text, k.old) {
			t.Fatalf("the job holds no %q", k.old)
		}
		_, err := job.Read([]byte(strings.Replace(text, k.old, k.new, 1)), nil)
		if !errors.Is(err, job.ErrJob) || !strings.Contains(err.Error(), k.want) {
			t.Errorf("%s: got %v, want %q", k.new, err, k.want)
		}
	}
}

// The whole job comes out the same.
func TestDistancesWholeJob(t *testing.T) {
	t.Parallel()
	j, err := job.Read(callipered(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := j.Run(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	want := work(t, demo(t))
	a, b := want.Recipes[0], got.Recipes[0]
	if len(got.Recipes) != len(want.Recipes) || a.Static != b.Static || a.Travel != b.Travel || !(math.Abs(a.AllIn-b.AllIn) <= 0.01) || !(math.Abs(a.Start-b.Start) <= 0.01) {
		t.Errorf("from points %+v, from distances %+v", a, b)
	}
}
