package recipes

import (
	"errors"
	"math"
	"slices"
	"testing"
)

// asShares gives the parts of a problem without friction as shares of squared speed,
// as one would learn them: no law, mass or dimension is left.
func asShares(t *testing.T, p *Problem) *Problem {
	t.Helper()
	g, err := newGrid(p, p.Drawer.Weights[0].Weights, 257)
	if err != nil {
		t.Fatal(err)
	}
	unit := p.Drive.Omega(1)
	s := &Shares{Angles: g.theta}
	reference, err := weightMoments(p, g, 0)
	if err != nil {
		t.Fatal(err)
	}
	for k := range g.phi {
		s.Drag = append(s.Drag, p.Mechanism.Drag*g.slope[k]*reference[k]/(unit*unit))
	}
	for n := range p.Drawer.Springs {
		var rows [][]float64
		for i := range p.Positions {
			var row []float64
			for k := range g.phi {
				row = append(row, g.posts[i][0].moment(&p.Drawer.Springs[n].Spring, k)*reference[k]/(unit*unit))
			}
			rows = append(rows, row)
		}
		s.Springs = append(s.Springs, rows)
	}
	for w := range p.Drawer.Weights {
		inverse, err := weightMoments(p, g, w)
		if err != nil {
			t.Fatal(err)
		}
		var row []float64
		for k := range inverse {
			row = append(row, reference[k]/inverse[k])
		}
		s.Weights = append(s.Weights, row)
	}
	own := &Problem{Shares: s, Drive: p.Drive, Slot: p.Slot, Travel: p.Travel, Static: p.Static, Idle: p.Idle, Target: p.Target, Limits: p.Limits, Present: p.Present}
	for _, x := range p.Positions {
		own.Positions = append(own.Positions, Position{Name: x.Name, Posts: []Post{{}}, Empty: x.Empty})
	}
	for _, x := range p.Drawer.Springs {
		own.Drawer.Springs = append(own.Drawer.Springs, SpringPart{Name: x.Name, Count: x.Count})
	}
	for _, x := range p.Drawer.Weights {
		own.Drawer.Weights = append(own.Drawer.Weights, WeightPart{Name: x.Name})
	}
	return own
}

// Parts known by their shares lead to the recipes of the same parts known by their
// dimensions: the list, start, all-in and torque, within the straight lines between
// 257 angles. So do they without an engine, by closeness to the wanted curve.
func TestSharesFindWhatDimensionsFind(t *testing.T) {
	for name, change := range map[string]func(p *Problem){
		"engine": func(*Problem) {},
		"one position may be empty": func(p *Problem) {
			p.Positions[1].Empty = true
			p.Positions[1].Posts[0] = post(1, 1e-3) // and is not like the other
		},
		"no engine": func(p *Problem) {
			p.Target = Target{Band: []BandPoint{{RPM: 1200, Low: 15, High: 18}, {RPM: 2200, Low: 26, High: 28}, {RPM: 3500, Low: 32, High: 34}}}
			p.Limits = Limits{StartMargin: 50, ReturnMargin: 50, AllIn: Window{1800, 3600}, Snap: true}
		},
	} {
		p := shop(9, 2)
		p.Limits.Snap = true // a snap at a take-up is one of 257 steps
		change(p)
		want := search(t, p, &Settings{Keep: 8})
		got := search(t, asShares(t, p), &Settings{Keep: 8})
		for i := range want.Recipes {
			x, y := &got.Recipes[i], &want.Recipes[i]
			near := func(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
			if !near(x.TorqueGivenUp, y.TorqueGivenUp, 5e-5) || !near(x.FromMiddle, y.FromMiddle, 0.01) || !near(x.Deviation, y.Deviation, 0.01) {
				t.Errorf("%s: recipe %d of shares %v (%v, %v), of dimensions %v (%v, %v)", name, i, x.Choice, x.torque(), x.Deviation, y.Choice, y.torque(), y.Deviation)
			}
			if slices.Equal(x.Springs, y.Springs) && x.Weights == y.Weights && x.Travel == y.Travel && !(near(x.Start, y.Start, 0.5) && near(x.AllIn, y.AllIn, 0.5) && near(x.Return, y.Return, 0.5)) {
				t.Errorf("%s: recipe %d of shares starts at %v, all in %v; of dimensions %v, %v", name, i, x.Start, x.AllIn, y.Start, y.AllIn)
			}
		}
		if !slices.Equal(got.Recipes[0].Springs, want.Recipes[0].Springs) || got.Recipes[0].Weights != want.Recipes[0].Weights {
			t.Errorf("%s: first of shares %v, of dimensions %v", name, got.Recipes[0].Choice, want.Recipes[0].Choice)
		}
	}
}

// Builds of parts given as shares are drawn from the draws: with all of them as the
// shares stand only setting, light and slot are left; with draws of which a third
// breaks a limit, a third of the builds does.
func TestBuildsOfShares(t *testing.T) {
	p := asShares(t, shop(9, 2))
	p.Target.Band, p.Limits = nil, Limits{StartMargin: 50, AllIn: Window{1500, 4000}, Snap: true}
	r := &search(t, p, &Settings{Keep: 1}).Recipes[0]
	s := &Scatter{Samples: 20_000, Seed: 3}
	sure, err := p.JointProbability(t.Context(), r, s)
	if err != nil || sure != 1 {
		t.Errorf("without any error: %v (%v), want 1", sure, err)
	}
	for i := range 3 {
		draw := Shares{Angles: p.Shares.Angles, Springs: p.Shares.Springs, Drag: p.Shares.Drag}
		for _, row := range p.Shares.Weights {
			heavy := slices.Clone(row)
			for k := range heavy {
				heavy[k] *= []float64{1, 1.01, 30}[i] // the third begins below idle
			}
			draw.Weights = append(draw.Weights, heavy)
		}
		p.ShareDraws = append(p.ShareDraws, draw)
	}
	got, err := p.JointProbability(t.Context(), r, s)
	if want := 2.0 / 3; err != nil || !(math.Abs(got-want) <= 4*math.Sqrt(want/3/20_000)) {
		t.Errorf("a third of the draws breaks a limit: %v (%v), want %v", got, err, want)
	}
	tol := tolerance(t, p, r, s)
	if tol.JointProbability != got || len(tol.Limits) == 0 {
		t.Errorf("tolerance says %v of %d limits, want %v", tol.JointProbability, len(tol.Limits), got)
	}
}

// Where nothing of learned parts fits, what comes nearest is named, and no spring to
// buy: shares do not tell its rate.
func TestNothingOfSharesFits(t *testing.T) {
	p := asShares(t, shop(5, 1))
	p.Limits.AllIn = Window{1000, 1010}
	r, err := Search(t.Context(), p, nil)
	if !errors.Is(err, ErrNoRecipe) || r.Nearest == nil || len(r.Breaches) == 0 || r.Missing != nil {
		t.Errorf("got %+v (%v)", r, err)
	}
}

func TestSharesRefuse(t *testing.T) {
	for name, change := range map[string]func(p *Problem, s *Shares){
		"no angles":       func(_ *Problem, s *Shares) { s.Angles = nil },
		"first angle":     func(_ *Problem, s *Shares) { s.Angles[0] = 1 },
		"falling":         func(_ *Problem, s *Shares) { s.Angles[3] = s.Angles[1] - 1e-6 },
		"NaN angle":       func(_ *Problem, s *Shares) { s.Angles[3] = math.NaN() },
		"too short":       func(p *Problem, _ *Shares) { p.Travel.High = 60 },
		"few springs":     func(_ *Problem, s *Shares) { s.Springs = s.Springs[1:] },
		"few weights":     func(_ *Problem, s *Shares) { s.Weights = nil },
		"short row":       func(_ *Problem, s *Shares) { s.Springs[0][0] = s.Springs[0][0][1:] },
		"negative":        func(_ *Problem, s *Shares) { s.Springs[1][0][4] = -1 },
		"NaN weights":     func(_ *Problem, s *Shares) { s.Weights[0][2] = math.NaN() },
		"weightless":      func(_ *Problem, s *Shares) { s.Weights[0][2] = 0 },
		"NaN drag":        func(_ *Problem, s *Shares) { s.Drag[0] = math.NaN() },
		"rows":            func(_ *Problem, s *Shares) { s.Springs[0] = append(s.Springs[0], s.Springs[0]...) },
		"friction":        func(p *Problem, _ *Shares) { p.Mechanism.Friction.Moment = 1e-3 },
		"largest tension": func(p *Problem, _ *Shares) { p.Drawer.Springs[0].MaxTension = 3 },
		"posts":           func(p *Problem, _ *Shares) { p.Positions[0].Posts = make([]Post, 2) },
		"draws":           func(p *Problem, _ *Shares) { p.ShareDraws = []Shares{{}} },
	} {
		p := asShares(t, shop(5, 1))
		change(p, p.Shares)
		if _, err := Search(t.Context(), p, nil); !errors.Is(err, errRange) || errors.Is(err, ErrNoRecipe) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
}
