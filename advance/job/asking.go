package job

import "strings"

// howToGet says in words of the workshop how a field is found; empty for one that is
// never asked for. What holds for one entry of a list holds for all.
func howToGet(path string) string { return ways[anyEntry(path)] }

// anyEntry is a path with the numbers of its entries left out.
func anyEntry(path string) string {
	var any strings.Builder
	for i, part := range strings.Split(path, "[") {
		if number, rest, ok := strings.Cut(part, "]"); i > 0 && ok && strings.Trim(number, "0123456789") == "" {
			part = "[]" + rest
		} else if i > 0 {
			part = "[" + part
		}
		any.WriteString(part)
	}
	return any.String()
}

// Ways that several fields share.
const (
	byCalliper   = "calliper, centre to centre, everything at rest"
	byHandbook   = "from the engine's handbook, or measured with the head off"
	byTwoWheels  = "turn the weight by hand and read a degree wheel on it and one on the cam"
	byPlumbLines = "hang the weight from two holes in turn; the plumb lines cross at the centre of mass; measure from there"
	byHanging    = "hang known masses from it and note the lengths (hung), or give the wire, coil and turns (wire)"
	byLight      = "timing light and tachometer, hose off and plugged, speed held; two below the start, two past all-in, the rest between"
	byGauge      = "vacuum gauge at the manifold, engine warm"
	byPump       = "hand pump: pump up slowly, note at what vacuum the arm starts to move and at what it stops, each twice, then the degrees at a deep vacuum (pump)"
)

// ways is how each field is found.
var ways = map[string]string{
	"title":                 "one line that names the job",
	"readings":              "at least 3, better 12, spread over 100 rpm or more: " + byLight,
	"runs":                  "after each change read the whole curve again and add it with what was fitted then; the newest run is the present state",
	"runs[].clamp_moved_by": "the light at one steady speed, before the clamp is loosened and after it is tight: the difference, advance positive",
	"runs[].readings":       "at least 3, better 12: " + byLight,
	"runs[].readings[].at":  "the tachometer's speed at this reading", "runs[].readings[].shows": "the light's degrees at this reading",
	"readings[].at": "the tachometer's speed at this reading", "readings[].shows": "the light's degrees at this reading",

	"engine":                   "cylinders, bore, stroke, compression_ratio and fuel, " + byHandbook,
	"engine.cylinders":         "count the plug leads",
	"engine.bore":              "across a cylinder, " + byHandbook,
	"engine.stroke":            "the piston's way, a rod through the plug hole, or " + byHandbook,
	"engine.compression_ratio": byHandbook,
	"engine.fuel":              "the octane number on the pump: \"95 RON\" and \"85 MON\", or \"91 (R+M)/2\"",
	"engine.observed[].what":   "which it was: trace knock, no knock (a timing chosen without listening), backed off (retarded from knock until it was gone), best torque or maker's curve",
	"engine.observed[].fuel":   "the octane that the maker asked for, " + byHandbook,
	"engine.observed[].at":     "the engine speed at which it was observed",
	"engine.observed[].spark":  "the total advance at that speed, by the light",

	"distributor":                                      "its measures, taken with a calliper, and what is fitted",
	"distributor.weights":                              "the name under which drawer.weights describes the set now fitted",
	"distributor.springs":                              "the names of the springs now fitted, one per place, \"none\" for an empty one",
	"distributor.springs[]":                            "describe this spring under drawer.springs",
	"distributor.pivot_radius":                         "shaft to weight pivot: " + byCalliper,
	"distributor.cam_per_swing":                        byTwoWheels + " (or several pairs, cam_table)",
	"distributor.cam_pin":                              "where the pin on the weight stands: " + byCalliper,
	"distributor.cam_turns":                            "turn the weights outwards by hand and see which way the cam goes, from the side from which the points are seen",
	"distributor.slide_out":                            "draw the weights outwards by hand in steps, calliper from rest, with a degree wheel on the cam",
	"distributor.slide_cam":                            "degree wheel on the cam at each step of slide_out",
	"distributor.spring_places":                        "for each spring the distances between its posts and the weight's pivot: " + byCalliper,
	"distributor.spring_places[].weight":               "number of the weight that the spring hangs on, from 1",
	"distributor.spring_places[].plate_post":           "where the post on the plate stands (or three distances, posts_apart): " + byCalliper,
	"distributor.spring_places[].weight_post":          "where the post on the weight stands (or three distances, posts_apart): " + byCalliper,
	"distributor.spring_places[].cam_post":             "where the post on the cam stands: " + byCalliper,
	"distributor.spring_places[].other_weight":         "number of the other weight, from 1",
	"distributor.spring_places[].posts_apart":          "post to post: " + byCalliper,
	"distributor.spring_places[].pivot_to_plate_post":  "weight pivot to the post on the plate: " + byCalliper,
	"distributor.spring_places[].pivot_to_weight_post": "weight pivot to the post on the weight: " + byCalliper,
	"distributor.rotor.radius":                         "calliper, shaft's axis to the rotor's tip",
	"distributor.rotor.tip":                            "calliper, width of the rotor's tip along its circle",
	"distributor.rotor.terminal":                       "calliper, width of a terminal in the cap",
	"distributor.slot":                                 "length, pin and radius: calliper over the slot, across the pin, and shaft to the slot's centre line",
	"distributor.slot.length":                          "calliper, end to end along its centre line",
	"distributor.slot.pin":                             "calliper across the pin or bushing that runs in the slot",
	"distributor.slot.radius":                          "calliper, shaft's axis to the slot's centre line",

	"drawer":                                  "the springs and weights at hand",
	"drawer.springs":                          "each spring with rate and free length; " + byHanging,
	"drawer.springs[].rate":                   byHanging,
	"drawer.springs[].free_length":            "calliper inside the loops, the spring unloaded",
	"drawer.springs[].wire.diameter":          "micrometer or calliper on the wire",
	"drawer.springs[].wire.coil_outside":      "calliper over the coils",
	"drawer.springs[].wire.turns":             "count the coils between the loops",
	"drawer.springs[].hung[].mass":            "the mass that hangs from it, kitchen scale",
	"drawer.springs[].hung[].length":          "calliper inside the loops under that mass",
	"drawer.springs[].hung[].against_length":  "calliper inside the loops of the known spring, both pulled by the same pull",
	"drawer.weights":                          "each set with the mass of one weight (kitchen scale) and its centre; " + byPlumbLines,
	"drawer.weights[].mass":                   "kitchen scale, one weight",
	"drawer.weights[].centre":                 byPlumbLines + " (or two distances, or the traced outline)",
	"drawer.weights[].centre_to_pivot":        byPlumbLines + ": to its pivot",
	"drawer.weights[].centre_to_shaft":        byPlumbLines + ": to the shaft's axis, at rest",
	"drawer.weights[].each[].mass":            "kitchen scale",
	"drawer.weights[].each[].centre":          byPlumbLines,
	"drawer.weights[].each[].centre_to_pivot": byPlumbLines + ": to its pivot",
	"drawer.weights[].each[].centre_to_shaft": byPlumbLines + ": to the shaft's axis, at rest",

	"vacuum":               byPump + ", and the engine's vacuum at idle and cruise",
	"vacuum.diaphragm":     "calliper where the diaphragm is clamped, or instead " + byPump,
	"vacuum.rate":          "spring scale on the rod at two travels, or instead " + byPump,
	"vacuum.preload":       "spring scale on the rod just as it moves, or instead " + byPump,
	"vacuum.travel":        "calliper on the rod from rest to its limiter, or instead " + byPump,
	"vacuum.arm":           "calliper, shaft's axis to the pin that the rod pulls",
	"vacuum.pump":          "3 readings or more: " + byPump,
	"vacuum.pump[].at":     "vacuum on the pump's gauge at this reading",
	"vacuum.pump[].rod":    "calliper on the rod at this vacuum, less where it stands at rest",
	"vacuum.pump[].shows":  "degrees that the unit adds there, from rest, by a degree wheel or the light; once at a deep vacuum is enough",
	"vacuum.idle_vacuum":   byGauge + ", at idle",
	"vacuum.cruise_vacuum": byGauge + ", at steady light cruise",
	"vacuum.cruise_total":  "the total wanted at light cruise, hose on (usually 40 to 50 deg crank, common practice); with the engine described, it is computed",
	"vacuum.cruise_speed":  "engine speed at steady light cruise",
}
