package job_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
)

// swung is a mechanism worked out by hand: squared speed of balance and turn of the cam,
// both over the swing of the weights.
type swung struct {
	square, cam func(phi float64) float64
}

// pull is the moment of a spring of rate k and free length l0 about the swing, from its
// length over the swing: the tension times the change of the length (virtual work).
func pull(k, l0 float64, length func(phi float64) float64) func(phi float64) float64 {
	const h = 1e-5
	return func(phi float64) float64 {
		return k * (length(phi) - l0) * (length(phi+h) - length(phi-h)) / (2 * h)
	}
}

// arm is the distance from the shaft, by the law of cosines, of a point (x, y) on a
// weight whose pivot stands at p on the x axis.
func arm(p, x, y float64) func(phi float64) float64 {
	rho, gamma := math.Hypot(x-p, y), math.Atan2(y, x-p)
	return func(phi float64) float64 {
		return math.Sqrt(p*p + rho*rho + 2*p*rho*math.Cos(gamma+phi))
	}
}

// flings is m r dr/dphi of a mass at a distance r from the shaft.
func flings(m float64, r func(phi float64) float64) func(phi float64) float64 {
	const h = 1e-5
	return func(phi float64) float64 { return m * (r(phi+h)*r(phi+h) - r(phi-h)*r(phi-h)) / (4 * h) }
}

// sum adds functions.
func sum(list ...func(float64) float64) func(float64) float64 {
	return func(x float64) float64 {
		total := 0.0
		for _, f := range list {
			total += f(x)
		}
		return total
	}
}

// balanced is squared speed from the moments of springs and weights.
func balanced(springs, weights func(float64) float64) func(float64) float64 {
	return func(phi float64) float64 { return springs(phi) / weights(phi) }
}

// times is a ratio.
func times(k float64) func(float64) float64 { return func(phi float64) float64 { return k * phi } }

// layoutJob is a job of a mechanism alone, with springs of 3 N/mm and the places and
// weights given.
func layoutJob(distributor, weights string, fitted int, free float64) string {
	names := strings.TrimSuffix(strings.Repeat(`"s", `, fitted), ", ")
	return fmt.Sprintf(`{"title": "a layout", "distributor": {%s, "slot": {"length": "9 mm", "pin": "5 mm", "radius": "20 mm"},
		"weights": "w", "springs": [%s]}, "engine": {"top": "9000 rpm crank"},
		"drawer": {"springs": [{"name": "s", "count": 3, "rate": "3 N/mm", "free_length": "%g mm"}], "weights": [{"name": "w", %s}]}}`,
		distributor, names, free, weights)
}

const (
	rateOfS     = 3000.0 // N/m
	pivoted     = `"pivot_radius": "23 mm", "cam_per_swing": "0.8:1"`
	anchored    = `{"weight": %d, "plate_post": ["6 mm", "13 mm"], "weight_post": ["13 mm", "-12 mm"]}`
	evenWeights = `"mass": "12 g", "centre": ["9 mm", "-13 mm"]`
)

// Each layout that a job can say moves as its balance by hand: tension times change of
// length against mass times radius times change of radius, at every swing.
func TestLayouts(t *testing.T) {
	t.Parallel()
	const p = 23e-3
	usual := fmt.Sprintf(anchored, 1) + ", " + fmt.Sprintf(anchored, 2)
	// Distance from a plate's post at (6, 13) to a weight's at (13, -12).
	plateToWeight := func(phi float64) float64 {
		sin, cos := math.Sincos(phi)
		x, y := 13e-3-p, -12e-3
		return math.Hypot(p+cos*x-sin*y-6e-3, sin*x+cos*y-13e-3)
	}
	pair := pull(rateOfS, 25e-3, plateToWeight)
	mass := flings(12e-3, arm(p, 9e-3, -13e-3))
	// Posts of the plate at 12 mm and -100 deg, of the cam at 16 mm and 0 deg at rest.
	fromCam := func(phi float64) float64 {
		return math.Sqrt(12e-3*12e-3 + 16e-3*16e-3 - 2*12e-3*16e-3*math.Cos(0.8*phi+100*math.Pi/180))
	}
	camToWeight := func(phi float64) float64 {
		sin, cos := math.Sincos(phi)
		x, y := 13e-3-p, -12e-3
		camSin, camCos := math.Sincos(0.8 * phi)
		return math.Hypot(p+cos*x-sin*y+10e-3*camSin, sin*x+cos*y-10e-3*camCos)
	}
	onCam := fmt.Sprintf(`"cam_post": ["16 mm", "0 mm"], "plate_post": ["%.12f mm", "%.12f mm"]`, 12*math.Cos(-100*math.Pi/180), 12*math.Sin(-100*math.Pi/180))
	for name, c := range map[string]struct {
		text string
		want swung
	}{
		"plate to weight": {
			layoutJob(pivoted+`, "spring_places": [`+usual+`]`, evenWeights, 2, 25),
			swung{balanced(pair, mass), times(0.8)},
		},
		"opens clockwise, seen from the other side": {
			strings.ReplaceAll(layoutJob(pivoted+`, "opens": "clockwise", "spring_places": [`+
				strings.NewReplacer(`"13 mm"]`, `"-13 mm"]`, `"-12 mm"]`, `"12 mm"]`).Replace(usual)+`]`, evenWeights, 2, 25), `["9 mm", "-13 mm"]`, `["9 mm", "13 mm"]`),
			swung{balanced(pair, mass), times(0.8)},
		},
		"three weights": { // each with its own spring: as two
			layoutJob(pivoted+`, "weights_count": 3, "spring_places": [`+usual+", "+fmt.Sprintf(anchored, 3)+`]`, evenWeights, 3, 25),
			swung{balanced(pair, mass), times(0.8)},
		},
		"three weights, two springs": {
			layoutJob(pivoted+`, "weights_count": 3, "spring_places": [`+usual+`]`, evenWeights, 2, 25),
			swung{balanced(sum(pair, pair), sum(mass, mass, mass)), times(0.8)},
		},
		"unequal weights": {
			layoutJob(pivoted+`, "spring_places": [`+usual+`]`, `"each": [{"mass": "10 g", "centre": ["9 mm", "-13 mm"]}, {"mass": "17 g", "centre": ["8 mm", "-11 mm"]}]`, 2, 25),
			swung{balanced(sum(pair, pair), sum(flings(10e-3, arm(p, 9e-3, -13e-3)), flings(17e-3, arm(p, 8e-3, -11e-3)))), times(0.8)},
		},
		"outline": { // an L of two rectangles, 16 by 4 and 4 by 8 mm: centre (7, -14.6)
			layoutJob(pivoted+`, "spring_places": [`+usual+`]`, `"mass": "12 g", "outline": [["1 mm", "-17 mm"], ["17 mm", "-17 mm"], ["17 mm", "-13 mm"], ["5 mm", "-13 mm"], ["5 mm", "-5 mm"], ["1 mm", "-5 mm"]]`, 2, 25),
			swung{balanced(pair, flings(12e-3, arm(p, (64*9e-3+32*3e-3)/96, (64*-15e-3+32*-9e-3)/96))), times(0.8)},
		},
		"plate to cam": {
			layoutJob(pivoted+`, "cam_turns": "counter-clockwise", "spring_places": [{"weight": 1, `+onCam+`}]`, evenWeights, 1, 21),
			swung{balanced(pull(rateOfS, 21e-3, fromCam), sum(mass, mass)), times(0.8)},
		},
		"plate to cam, seen from the other side": {
			layoutJob(pivoted+`, "opens": "clockwise", "cam_turns": "clockwise", "spring_places": [{"weight": 1, `+strings.ReplaceAll(onCam, `, "-`, `, "`)+`}]`,
				strings.ReplaceAll(evenWeights, `"-13`, `"13`), 1, 21),
			swung{balanced(pull(rateOfS, 21e-3, fromCam), sum(mass, mass)), times(0.8)},
		},
		"cam to weight": {
			layoutJob(pivoted+`, "cam_turns": "counter-clockwise", "spring_places": [{"weight": 1, "cam_post": ["0 mm", "10 mm"], "weight_post": ["13 mm", "-12 mm"]}]`, evenWeights, 1, 24),
			swung{balanced(pull(rateOfS, 24e-3, camToWeight), sum(mass, mass)), times(0.8)},
		},
		"one spring between two weights": { // opposite posts: twice the distance to the shaft
			layoutJob(pivoted+`, "spring_places": [{"weight": 1, "weight_post": ["8 mm", "-12 mm"], "other_weight": 2, "other_weight_post": ["8 mm", "-12 mm"]}]`, evenWeights, 1, 27),
			swung{balanced(pull(rateOfS, 27e-3, func(phi float64) float64 { return 2 * arm(p, 8e-3, -12e-3)(phi) }), sum(mass, mass)), times(0.8)},
		},
		"table of the cam": { // on a straight line the table is the ratio
			layoutJob(`"pivot_radius": "23 mm", "cam_table": [["5 deg dist", "4 deg dist"], ["10 deg dist", "8 deg dist"], ["20 deg dist", "16 deg dist"]], "spring_places": [`+usual+`]`, evenWeights, 2, 25),
			swung{balanced(pair, mass), times(0.8)},
		},
		"weights that slide": { // a swing of 1 is the library's way of 20 mm
			layoutJob(`"slide_out": ["2 mm", "4 mm", "8 mm"], "slide_cam": ["4 deg dist", "8 deg dist", "16 deg dist"], "spring_places": [
				{"weight": 1, "plate_post": ["8 mm", "2 mm"], "weight_post": ["20 mm", "2 mm"]},
				{"weight": 2, "plate_post": ["8 mm", "2 mm"], "weight_post": ["20 mm", "2 mm"]}]`, `"mass": "20 g", "centre": ["15 mm", "0 mm"]`, 2, 11),
			swung{
				func(phi float64) float64 { s := 20e-3 * phi; return rateOfS * (1e-3 + s) / (20e-3 * (15e-3 + s)) },
				func(phi float64) float64 { return phi * 20e-3 * 2e3 * math.Pi / 180 },
			},
		},
		"slides with one spring on the cam": {
			layoutJob(`"slide_out": ["2 mm", "8 mm"], "slide_cam": ["4 deg dist", "16 deg dist"], "cam_turns": "counter-clockwise", "spring_places": [{"weight": 1, `+onCam+`}]`,
				`"mass": "20 g", "centre": ["15 mm", "0 mm"]`, 1, 21),
			swung{
				balanced(pull(rateOfS, 21e-3, func(phi float64) float64 {
					return math.Sqrt(12e-3*12e-3 + 16e-3*16e-3 - 2*12e-3*16e-3*math.Cos(phi*40*math.Pi/180+100*math.Pi/180))
				}), func(phi float64) float64 { return 2 * 20e-3 * (15e-3 + 20e-3*phi) * 20e-3 }),
				func(phi float64) float64 { return phi * 40 * math.Pi / 180 },
			},
		},
	} {
		j, err := job.Read([]byte(c.text), nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		curve, err := j.Present()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for part := 0.05; part < 1; part += 0.1 {
			phi := part * j.Mechanism.Stop
			square := c.want.square(phi)
			got := curve.Theta(math.Sqrt(square), flyweights.Rising)
			if want := c.want.cam(phi); !(math.Abs(got-want) <= 1e-5) {
				t.Errorf("%s: at %.3f of the swing, %.1f rad/s, the cam turns %.6f rad, by hand %.6f", name, part, math.Sqrt(square), got, want)
			}
		}
	}
}

// A piston stop that shows 30 before and 26 after says that the mark reads 2 degrees too
// much: every reading is 2 less.
func TestReadingsLessTheMark(t *testing.T) {
	t.Parallel()
	const text = `{"title": "a mark that is off", "engine": {%s}, "readings": [
		{"at": "700 rpm crank", "shows": "12 deg crank"}, {"at": "900 rpm crank", "shows": "12 deg crank"},
		{"at": "2000 rpm crank", "shows": "24 deg crank"}, {"at": "3000 rpm crank", "shows": "34 deg crank"}]}`
	j, err := job.Read(fmt.Appendf(nil, text, `"piston_stop": ["30 deg crank", "26 deg crank"]`), nil)
	if err != nil {
		t.Fatal(err)
	}
	bare, err := job.Read(fmt.Appendf(nil, text, ""), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range j.Readings {
		if want := bare.Readings[i].Degrees - 2; !(math.Abs(x.Degrees-want) <= 1e-12) {
			t.Errorf("reading %d: %g deg, want %g", i+1, x.Degrees, want)
		}
	}
	_, err = job.Read(fmt.Appendf(nil, text, `"piston_stop": ["30 deg crank"]`), nil)
	if err == nil || !strings.Contains(err.Error(), "has one angle, valid is two") {
		t.Errorf("one mark: %v", err)
	}
}

// Between the pairs of degree wheels the cam's table passes through each of them.
func TestCamTable(t *testing.T) {
	t.Parallel()
	usual := fmt.Sprintf(anchored, 1) + ", " + fmt.Sprintf(anchored, 2)
	j, err := job.Read([]byte(layoutJob(`"pivot_radius": "23 mm", "cam_table": [["4 deg dist", "2 deg dist"], ["9 deg dist", "6 deg dist"], ["16 deg dist", "14 deg dist"]], "spring_places": [`+usual+`]`, evenWeights, 2, 25)), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]float64{{0, 0}, {4, 2}, {9, 6}, {16, 14}} {
		if got, _, _ := j.Mechanism.Linkage.Cam(pair[0] * math.Pi / 180); !(math.Abs(got*180/math.Pi-pair[1]) <= 1e-9) {
			t.Errorf("at %g deg of swing the cam turns %g deg, measured %g", pair[0], got*180/math.Pi, pair[1])
		}
	}
}

// What a layout leaves open is asked for; what contradicts itself is refused.
func TestLayoutsAskAndRefuse(t *testing.T) {
	t.Parallel()
	slide := `"slide_out": ["2 mm", "8 mm"], "slide_cam": ["4 deg dist", "16 deg dist"]`
	point := `"spring_places": [{"weight": 1, "plate_post": ["8 mm", "2 mm"], "weight_post": ["20 mm", "2 mm"]}]`
	cam := `"spring_places": [{"weight": 1, "cam_post": ["0 mm", "10 mm"], "weight_post": ["13 mm", "-12 mm"]}]`
	for _, c := range []struct{ distributor, weights, asks, refuses string }{
		{pivoted + ", " + cam, evenWeights, "distributor.cam_turns", ""},
		{`"slide_out": ["2 mm", "8 mm"], ` + point, evenWeights, "distributor.slide_cam", ""},
		{`"slide_cam": ["4 deg dist", "16 deg dist"], ` + point, evenWeights, "distributor.slide_out", ""},
		{slide + `, "pivot_radius": "23 mm", ` + point, evenWeights, "", "distributor.pivot_radius: stands beside slide_out"},
		{slide + `, "cam_per_swing": "0.8:1", ` + point, evenWeights, "", "needs one of cam_per_swing and slide_out"},
		{`"slide_out": ["2 mm"], "slide_cam": ["4 deg dist", "16 deg dist"], ` + point, evenWeights, "", "has 1 lengths for 2 angles"},
		{`"slide_out": ["8 mm", "2 mm"], "slide_cam": ["4 deg dist", "16 deg dist"], ` + point, evenWeights, "", "above the one before"},
		{slide + `, "spring_places": [{"weight": 1, "posts_apart": "20 mm", "pivot_to_plate_post": "21 mm", "pivot_to_weight_post": "14 mm"}]`, evenWeights, "", "goes with distances from a pivot"},
		{slide + ", " + point, `"mass": "12 g", "centre_to_pivot": "19 mm", "centre_to_shaft": "15 mm"`, "", "weights that slide have no pivot"},
		{`"pivot_radius": "23 mm", "cam_pin": ["19 mm", "-7 mm"], "cam_turns": "clockwise", ` + cam, evenWeights, "", "stands beside cam_pin"},
		{pivoted + `, "cam_turns": "left", ` + cam, evenWeights, "", `cam_turns: is "left"`},
		{pivoted + `, "spring_places": [{"weight": 1, "weight_post": ["8 mm", "-12 mm"], "other_weight": 3, "other_weight_post": ["8 mm", "-12 mm"]}]`, evenWeights, "", "other_weight"},
		{pivoted + `, "spring_places": [{"weight": 1, "plate_post": ["6 mm", "13 mm"], "cam_post": ["0 mm", "10 mm"], "weight_post": ["13 mm", "-12 mm"]}]`, evenWeights, "", "has 3 posts"},
	} {
		j, err := job.Read([]byte(layoutJob(c.distributor, c.weights, 1, 21)), nil)
		if c.refuses != "" {
			if err == nil || !strings.Contains(err.Error(), c.refuses) {
				t.Errorf("%s: %v, want %q", c.distributor, err, c.refuses)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.distributor, err)
			continue
		}
		asked := slices.ContainsFunc(j.Asks(), func(s job.StagePart) bool {
			return slices.ContainsFunc(s.Missing, func(m job.Missing) bool { return m.Field == c.asks && m.How != "" })
		})
		if !asked {
			t.Errorf("%s: %s is not asked for", c.distributor, c.asks)
		}
	}
}
