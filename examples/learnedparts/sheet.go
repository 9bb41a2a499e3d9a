package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/workers"
)

// sheetScore is what a study of whole sheets found: shares of builds.
type sheetScore struct {
	Passed float64 // every line together, parts and all
	Parts  float64 // the parts are said not to be what was predicted
	Named  float64 // with spring a among what explains it
	Lines  float64 // of all readings those within their window
}

// wantedTotal is what every builder sets, crank degrees.
const wantedTotal = 30.0

// sheetAll draws n distributors, of both linkages in turn, and works the job of a builder
// who read aa and bb, or has his parts listed, fitted ab with a spring a of a rate so many
// times what it was, set the total with his light, and read the whole curve again.
func sheetAll(ctx context.Context, factor float64, listed bool, n int) (sheetScore, error) {
	all, err := workers.Map(ctx, workers.Pool{}, n, func(i int) (*job.RunsPart, error) {
		rng := rand.New(rand.NewPCG(seed+6, uint64(i)))
		d := simulated.Draw(rng, i%2 == 1, false)
		text, err := json.Marshal(sheetJob(rng, d, factor, listed))
		if err != nil {
			return nil, err
		}
		j, err := job.Read(text, nil)
		if err != nil {
			return nil, fmt.Errorf("distributor %d: %w", i, err)
		}
		r, err := j.Run(ctx, nil)
		if err != nil {
			return nil, fmt.Errorf("distributor %d: %w", i, err)
		}
		if r.Runs == nil || r.Runs.Passed == nil {
			return nil, fmt.Errorf("distributor %d: the newest run is not judged", i)
		}
		return r.Runs, nil
	})
	if err != nil {
		return sheetScore{}, err
	}
	var s sheetScore
	for _, r := range all {
		s.Passed += share(*r.Passed, n)
		do := strings.Join(r.Do, " ")
		s.Parts += share(strings.Contains(do, "do not do what was predicted"), n)
		s.Named += share(strings.Contains(do, "spring a pulls"), n)
		for _, x := range r.Check {
			s.Lines += share(x.Passes, n*len(r.Check))
		}
	}
	return s, nil
}

// sheetJob is the file that such a builder writes.
func sheetJob(rng *rand.Rand, d *simulated.Distributor, factor float64, listed bool) map[string]any {
	light := simulated.Usual
	run := func(of *simulated.Distributor, pair, clamp string) map[string]any {
		c := simulated.Parts(pair, "")
		var rows []any
		for _, x := range of.Read(rng, c, light, clamp).Readings {
			rows = append(rows, map[string]any{"at": fmt.Sprintf("%.0f rpm crank", x.RPM), "shows": fmt.Sprintf("%.1f deg crank", x.Degrees)})
		}
		return map[string]any{"label": pair, "springs": c.Springs, "readings": rows}
	}
	runs := []any{run(d, "aa", "")}
	if !listed {
		runs = append(runs, run(d, "bb", ""))
	}
	out := map[string]any{
		"title": "a simulated distributor", "target": map[string]any{"total": fmt.Sprintf("%g deg crank", wantedTotal)},
		"light": map[string]any{
			"angle_error": fmt.Sprintf("%g deg crank", light.SigmaDegrees), "speed_error": fmt.Sprintf("%g rpm crank", light.SigmaRPM),
		},
	}
	if listed {
		out["distributor"], out["drawer"] = listedSections(rng, d)
		for _, r := range runs {
			r.(map[string]any)["weights"] = "plain"
		}
	}
	// The total is read while it is set: what it then is has the error of one reading.
	built := d.Off("a", factor)
	built.Static = wantedTotal + light.SigmaDegrees*rng.NormFloat64() - drive.CrankDegrees(d.Curve(simulated.Parts("ab", "")).Travel())
	last := run(built, "ab", "as set")
	if listed {
		last["weights"] = "plain"
	}
	out["runs"] = append(runs, last)
	return out
}

// listedSections are the distributor as it was measured and the drawer as it is listed.
func listedSections(rng *rand.Rand, d *simulated.Distributor) (distributor, drawer map[string]any) {
	l := d.Listed(rng, nil)
	mm := func(m float64) string { return fmt.Sprintf("%.6g mm", 1e3*m) }
	point := func(x, y float64) []any { return []any{mm(x), mm(y)} }
	m := l.Mechanism
	pivot := m.Weights[0].Pivot.X
	spring := m.Springs[0]
	var places []any
	for i, name := range []string{"one", "two"} {
		places = append(places, map[string]any{
			"name": name, "weight": i + 1,
			"plate_post": point(spring.A.Point.X, spring.A.Point.Y), "weight_post": point(spring.B.Point.X, spring.B.Point.Y),
		})
	}
	const radius, pin = 0.020, 0.005 // m; the calliper's error is a twentieth of a millimetre
	theta, _, _ := m.Linkage.Cam(d.Mechanism.Stop)
	distributor = map[string]any{
		"pivot_radius": mm(pivot), "weights": "plain", "springs": []any{"a", "b"}, "spring_places": places,
		"slot":     map[string]any{"length": mm(radius*math.Abs(theta) + pin + 5e-5*rng.NormFloat64()), "pin": mm(pin), "radius": mm(radius)},
		"cam_drag": fmt.Sprintf("%.6g mN m", 1e3*m.Drag), "friction": fmt.Sprintf("%.6g mN m", 1e3*m.Friction.Moment),
	}
	switch linkage := m.Linkage.(type) {
	case flyweights.Ratio:
		distributor["cam_per_swing"] = fmt.Sprintf("%.6g:1", linkage.K)
	case flyweights.PinInSlot:
		distributor["cam_pin"] = point(linkage.Pin.X, linkage.Pin.Y)
	}
	var list []any
	for _, kind := range kinds {
		law := l.Springs[kind].Law
		list = append(list, map[string]any{
			"name": kind, "count": 2, "rate": fmt.Sprintf("%.6g N/mm", law.Rate*1e-3),
			"free_length": mm(law.FreeLength), "initial_tension": fmt.Sprintf("%.6g N", law.InitialTension),
		})
	}
	w := l.Weights[""].Weights[0]
	drawer = map[string]any{
		"springs": list,
		"weights": []any{map[string]any{"name": "plain", "mass": fmt.Sprintf("%.6g g", 1e3*w.Mass), "centre": point(w.Centre.X, w.Centre.Y)}},
	}
	return distributor, drawer
}

func sheets(ctx context.Context, w io.Writer, n int, only string) error {
	fmt.Fprintf(w, "\nthe whole sheet of ab, set to a total with the light, %%\n%-10s %7s %7s %11s %6s %13s\n", "parts", "factor", "passed", "parts blamed", "named", "lines passed")
	for _, known := range []before{befores[0], befores[2]} {
		if !strings.Contains(known.name, only) {
			continue
		}
		for _, factor := range factors {
			s, err := sheetAll(ctx, factor, known.listed, n)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, "%-10s %7.2f %7.1f %11.1f %6.1f %13.1f\n", known.name, factor, 100*s.Passed, 100*s.Parts, 100*s.Named, 100*s.Lines)
		}
	}
	return nil
}
