package job

import (
	"regexp"
	"strings"
)

// plainly is an error as a builder reads it: without the names of packages that it passed
// through, and without a name said twice. What it wraps stays.
type plainly struct{ err error }

// Names of packages that are no names of fields too, and what a package of any name says
// before a value that is refused.
var (
	packageNames = regexp.MustCompile(`\b(quantity|flyweights|recipes|mapping|learned|bodies|linkages|design|sheet|balance|leastsquares): `)
	refusals     = regexp.MustCompile(`\b[a-z]+: value out of range: `)
)

func (p plainly) Error() string {
	said := packageNames.ReplaceAllString(refusals.ReplaceAllString(p.err.Error(), ""), "")
	lines := strings.Split(said, "\n")
	for i, line := range lines {
		parts := strings.Split(line, ": ")
		kept := parts[:1]
		for _, part := range parts[1:] {
			if part != kept[len(kept)-1] {
				kept = append(kept, part)
			}
		}
		lines[i] = strings.Join(kept, ": ")
	}
	return strings.Join(lines, "\n")
}

func (p plainly) Unwrap() error { return p.err }

// inWords is an error in a builder's words; nil for nil.
func inWords(err error) error {
	if err == nil {
		return nil
	}
	return plainly{err}
}

// written shows how a field that holds a list is written, for whoever wrote it otherwise.
var written = map[string]string{
	"readings":                                      `[{"at": "800 rpm crank", "shows": "9 deg crank"}, ...]; the name of a file goes into readings_csv`,
	"runs":                                          `[{"label": "as found", "readings": [...]}, ...]`,
	"runs[].readings":                               `[{"at": "800 rpm crank", "shows": "9 deg crank"}, ...]; the name of a file goes into readings_csv`,
	"runs[].springs":                                `["soft", "firm"], one name for each place, each in quotes`,
	"engine.fuel":                                   `["95 RON", "85 MON"], or ["91 (R+M)/2"] as a pump shows it`,
	"engine.observed":                               `[{"what": "trace knock", "at": "2500 rpm crank", "spark": "30 deg crank"}]`,
	"engine.observed[].fuel":                        `["95 RON", "85 MON"], or ["91 (R+M)/2"] as a pump shows it`,
	"engine.piston_stop":                            `["31 deg crank", "27 deg crank"], the marks before and after top centre`,
	"distributor.springs":                           `["soft", "firm"], one name for each place, each in quotes`,
	"distributor.cam_pin":                           `["10 mm", "-2 mm"]`,
	"distributor.cam_table":                         `[["5 deg dist", "4.2 deg dist"], ["10 deg dist", "8.6 deg dist"]], pairs of swing and cam`,
	"distributor.cam_table[]":                       `["5 deg dist", "4.2 deg dist"], swing and cam`,
	"distributor.slide_out":                         `["0 mm", "2 mm", "4 mm"]`,
	"distributor.slide_cam":                         `["0 deg dist", "5 deg dist", "10 deg dist"]`,
	"distributor.spring_places":                     `[{"name": "left", "weight": 1, ...}, {"name": "right", "weight": 2, ...}]`,
	"target.all_in":                                 `["2200 rpm crank", "2800 rpm crank"], from and to`,
	"target.static_range":                           `["8 deg crank", "14 deg crank"], least and most`,
	"drawer.springs":                                `[{"name": "soft", ...}, ...]`,
	"drawer.springs[].hung":                         `[{"mass": "200 g", "length": "25.6 mm"}, {"mass": "400 g", "length": "26.7 mm"}]`,
	"drawer.weights":                                `[{"name": "original", ...}]`,
	"drawer.weights[].centre":                       `["9 mm", "-13 mm"]`,
	"drawer.weights[].outline":                      `[["4 mm", "-8 mm"], ["12 mm", "-8 mm"], ...], points round the edge`,
	"drawer.weights[].outline[]":                    `["4 mm", "-8 mm"]`,
	"drawer.weights[].each":                         `[{"mass": "12 g", ...}, {"mass": "12.4 g", ...}]`,
	"vacuum.pump":                                   `[{"at": "6 inHg", "arm": "starts"}, ...]`,
	"distributor.spring_places[].plate_post":        `["6 mm", "13 mm"]`,
	"distributor.spring_places[].weight_post":       `["13 mm", "-12 mm"]`,
	"distributor.spring_places[].cam_post":          `["5 mm", "6 mm"]`,
	"distributor.spring_places[].other_weight_post": `["13 mm", "-12 mm"]`,
	"target":           `{"total": "34 deg crank"}`,
	"engine":           `{"idle": "800 rpm crank"}`,
	"distributor.slot": `{"length": "10.4 mm", "pin": "5 mm", "radius": "19 mm"}`,
	"readings[]":       `{"at": "800 rpm crank", "shows": "9 deg crank"}`,
}

// asWritten adds to a mistake of writing how the field is written.
func asWritten(field, msg string) string {
	if !strings.HasPrefix(msg, "needs a list") && !strings.HasPrefix(msg, "needs fields") {
		return msg
	}
	if how := written[anyEntry(field)]; how != "" {
		return msg + ": write " + how
	}
	return msg
}
