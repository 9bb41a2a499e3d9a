package live

import (
	"fmt"

	"example.org/bobweight/advance/job"
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
	Readings []Reading `json:"readings"`
	Angle    float64   `json:"angle_error_deg"`
	Speed    float64   `json:"speed_error_rpm"`
}

// open reads a job file and says where its knobs stand.
func (s *Session) open(text []byte) (*Start, error) {
	j, err := job.Read(text, nil)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCall, err)
	}
	if len(j.Mechanism.Weights) == 0 || len(j.Drawer.Springs) == 0 {
		return nil, fmt.Errorf("%w: the job describes no mechanism to move", ErrCall)
	}
	*s = Session{job: j}
	start := &Start{
		Title: j.Title, Idle: j.Idle, Top: j.Top, HasUnit: j.Vacuum != nil,
		Pump:  Pump{RON: j.Engine.Fuel.RON, MON: j.Engine.Fuel.MON, Ratio: j.Engine.CompressionRatio},
		Angle: j.Settings.SigmaDegrees, Speed: j.Settings.SigmaRPM,
		Knobs: Knobs{
			Mass: j.Mechanism.Weights[0].Mass * 1e3, Slot: j.Slot.Length * 1e3, Static: 10,
			Drag: j.Mechanism.Drag * 1e3, Friction: j.Mechanism.Friction.Moment * 1e3,
		},
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
	for _, r := range j.Readings {
		if !r.HoseOn {
			start.Readings = append(start.Readings, Reading{RPM: r.RPM, Degrees: r.Degrees, Falling: r.Direction == falling})
		}
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
