package live

import (
	"fmt"
	"slices"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/springs"
	"example.org/bobweight/vacuum"
)

// Start is where a page begins: the job as it stands.
type Start struct {
	Title    string    `json:"title"`
	Idle     float64   `json:"idle_rpm"`
	Top      float64   `json:"top_rpm"`
	Places   []string  `json:"places"` // where springs hang
	Knobs    Knobs     `json:"knobs"`
	Pump     Pump      `json:"pump"`
	HasUnit  bool      `json:"has_vacuum_unit"`
	Shape    *Shape    `json:"shape"` // nil where the job describes no mechanism: nothing moves
	Readings []Reading `json:"readings"`
	Angle    float64   `json:"angle_error_deg"`
	Speed    float64   `json:"speed_error_rpm"`
}

// Opening is a job to begin with: its file, the files that came with it, and, if one
// is to be seen, a recipe.
type Opening struct {
	Job    string            `json:"job"`
	Files  map[string]string `json:"files"`
	Recipe *Recipe           `json:"recipe"`
}

// Recipe is what a recipe of the job's report fits.
type Recipe struct {
	Springs map[string]string `json:"springs"` // place: name in the drawer
	Weights string            `json:"weights"`
	Slot    float64           `json:"slot_length_mm"` // 0: as it is
	Static  float64           `json:"static_deg"`
}

// begin opens a job with the files beside it, and turns the knobs to a recipe.
func (s *Session) begin(o *Opening) (*Start, error) {
	start, err := s.open([]byte(o.Job), func(name string) ([]byte, error) {
		text, ok := o.Files[name]
		if !ok {
			return nil, fmt.Errorf("the file %q did not come with the job", name)
		}
		return []byte(text), nil
	})
	if err != nil || o.Recipe == nil {
		return start, err
	}
	return start, s.fitted(start, o.Recipe)
}

// fitted turns the knobs to a recipe.
func (s *Session) fitted(start *Start, r *Recipe) error {
	j := s.job
	for i := range start.Knobs.Springs {
		name := r.Springs[start.Places[i]]
		n := slices.IndexFunc(j.Drawer.Springs, func(p recipes.SpringPart) bool { return p.Name == name })
		switch {
		case n >= 0:
			start.Knobs.Springs[i] = coilOf(j.Drawer.Springs[n].Spring, true)
		case name == "" || name == "none":
			start.Knobs.Springs[i].Fitted = false
		default:
			return fmt.Errorf("%w: there is no spring %q in the drawer", ErrCall, name)
		}
	}
	n := slices.IndexFunc(j.Drawer.Weights, func(p recipes.WeightPart) bool { return p.Name == r.Weights })
	if n < 0 {
		return fmt.Errorf("%w: there are no weights %q in the drawer", ErrCall, r.Weights)
	}
	j.Mechanism.Weights = j.Drawer.Weights[n].Weights
	start.Knobs.Mass, start.Shape = j.Mechanism.Weights[0].Mass*1e3, ShapeOf(j)
	start.Knobs.Static = r.Static
	if r.Slot > 0 {
		start.Knobs.Slot = r.Slot
	}
	return nil
}

// open reads a job file and says where its knobs stand.
func (s *Session) open(text []byte, beside func(string) ([]byte, error)) (*Start, error) {
	j, err := job.Read(text, beside)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	*s = Session{job: j}
	start := &Start{
		Title: j.Title, Idle: j.Idle, Top: j.Top, HasUnit: j.Vacuum != nil,
		Pump:  Pump{RON: j.Engine.Fuel.RON, MON: j.Engine.Fuel.MON, Ratio: j.Engine.CompressionRatio},
		Angle: j.Settings.SigmaDegrees, Speed: j.Settings.SigmaRPM,
	}
	for _, r := range j.Readings {
		if !r.HoseOn {
			start.Readings = append(start.Readings, Reading{RPM: r.RPM, Degrees: r.Degrees, Falling: r.Direction == falling})
		}
	}
	if len(j.Drawer.Springs) > 0 {
		start.Shape = ShapeOf(j)
	}
	if start.Shape == nil {
		return start, nil
	}
	start.Knobs = Knobs{
		Mass: j.Mechanism.Weights[0].Mass * 1e3, Slot: j.Slot.Length * 1e3, Static: 10,
		Drag: j.Mechanism.Drag * 1e3, Friction: j.Mechanism.Friction.Moment * 1e3,
	}
	for i, p := range j.Places {
		start.Places = append(start.Places, p.Name)
		law, fitted := j.Drawer.Springs[0].Spring, true
		if f := j.Fitted; f != nil {
			if fitted = f.Springs[i] >= 0; fitted {
				law = j.Drawer.Springs[f.Springs[i]].Spring
			}
		}
		start.Knobs.Springs = append(start.Knobs.Springs, coilOf(law, fitted))
	}
	return start, nil
}

func coilOf(s springs.Spring, fitted bool) Coil {
	return Coil{
		Fitted: fitted, Rate: s.Rate * 1e-3, Free: s.FreeLength * 1e3,
		Initial: s.InitialTension, Slack: s.Slack * 1e3,
	}
}

// Pascals in an inch of mercury.
const inHg = vacuum.InchOfMercury
