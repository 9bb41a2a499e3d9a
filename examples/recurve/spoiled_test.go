package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/bobweight/advance/strict"
)

// Each spoiled job is the demo job with one thing wrong. It must be refused with
// a sentence that names the field, and nothing may be written.
func TestSpoiledJobsAreRefused(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"missing unit", `"bore": "88 mm"`, `"bore": "88"`, `line 5, column 13: engine.bore: `},
		{"bare number", `"bore": "88 mm"`, `"bore": 88`, `line 5, column 13: engine.bore: `},
		{"unit of another kind", `"bore": "88 mm"`, `"bore": "88 g"`, `engine.bore: `},
		{"unknown unit", `"bore": "88 mm"`, `"bore": "88 furlong"`, `engine.bore: `},
		{"no shaft", `"idle": "800 rpm crank"`, `"idle": "800 rpm"`, `engine.idle: `},
		{"wrong shaft", `"total": "33 deg crank"`, `"total": "33 deg dist"`, `target.total: is 33 deg dist, which is 66 deg crank; valid is 10 to 60 deg crank`},
		{"negative mass", `"mass": "11 g"`, `"mass": "-11 g"`, `drawer.weights[0].mass: `},
		{"no mass", `"mass": "11 g"`, `"mass": "0 g"`, `drawer.weights[0].mass: is 0 g, valid is 1 g to 500 g`},
		{"springs that never let go", `"rate": "1.6 N/mm", "free_length": "25.9 mm"`, `"rate": "900 N/mm", "free_length": "25.0 mm"`, `distributor.springs: would hold the weights until`},
		{"slot shorter than the pin", `"length": "10.6 mm"`, `"length": "4.6 mm"`, `distributor.slot.length: is 4.6 mm, but the pin in it is 5 mm thick and could not move`},
		{"slot of more than 120 degrees", `"length": "10.6 mm"`, `"length": "48 mm"`, `line 31: distributor.slot: lets the cam turn 123.2 deg dist, valid is at most 120 deg dist`},
		{"duplicate names", `"name": "fine"`, `"name": "firm"`, `"firm" is the name of another part already`},
		{"name of nothing", `"name": "fine"`, `"name": "none"`, `drawer.springs[2].name: `},
		{"NaN", `"88 mm",
    "stroke"`, `"NaN mm",
    "stroke"`, `engine.bore: `},
		{"infinite", `"bore": "88 mm"`, `"bore": "1e999 mm"`, `engine.bore: `},
		{"unknown field", `"idle": `, `"idel": `, `line 10, column 5: engine.idel: unknown field; known here are cylinders, bore,`},
		{"field given twice", `"rod": "150 mm"`, `"bore": "150 mm"`, `engine.bore: given twice`},
		{"bad UTF-8", `farm lorry`, "farm \xff lorry", `line 2, column 24: the text is not valid UTF-8 here`},
		{"not JSON", `"rod": "150 mm",`, `"rod": "150 mm"`, `line 8, column 5: engine: a comma is missing before this`},
		{"cut short", `"cruise_speed": "2300 rpm crank"
  }
}`, ``, `the document ends too early`},
		{"after the end", `"cruise_speed": "2300 rpm crank"
  }
}`, `"cruise_speed": "2300 rpm crank"
  }
} more`, `text stands after the end of the document`},
		{"null", `"stroke": "88 mm"`, `"stroke": null`, `engine.stroke: needs a text in quotes, found null`},
		{"no cylinders", `"cylinders": 6`, `"cylinders": 0`, `engine.cylinders: is 0, valid is 1 to 16`},
		{"octane without method", `"95 RON"`, `"95"`, `engine.fuel[0]: "95" is no octane number with its method`},
		{"two research numbers", `"85 MON"`, `"85 RON"`, `engine.fuel: needs a research and a motor octane number`},
		{"motor above research", `"85 MON"`, `"98 MON"`, `engine.fuel: has a motor octane number of 98 above`},
		{"compression", `"8.4:1"`, `"84:1"`, `engine.compression_ratio: `},
		{"too few springs named", `["long soft", "loop stiff"]`, `["long soft"]`, `distributor.springs: names 1 springs for 2 places`},
		{"posts at one point", `"plate_post": ["6 mm", "13 mm"]`, `"plate_post": ["13 mm", "-12 mm"]`, `distributor.spring_places[0]: both posts stand at the same point`},
		{"one coordinate", `"plate_post": ["6 mm", "13 mm"]`, `"plate_post": ["6 mm"]`, `distributor.spring_places[0].plate_post: has 1 coordinates`},
		{"weight that is not there", `"weight": 2`, `"weight": 3`, `distributor.spring_places[1].weight: is 3, valid is 1 to 2`},
		{"weights that pull inwards", `"centre": ["9 mm", "-13 mm"]`, `"centre": ["9 mm", "13 mm"]`, `drawer.weights[0]: `},
		{"two linkages", `"cam_per_swing": "0.8:1"`, `"cam_per_swing": "0.8:1", "cam_pin": ["8 mm", "-6 mm"]`, `distributor: needs one of cam_per_swing and cam_pin, and not both`},
		{"rate and wire", `"wire": {`, `"rate": "2 N/mm", "wire": {`, `drawer.springs[6]: needs one of rate and wire, and not both`},
		{"unknown drive", `"four-stroke"`, `"rotary"`, `distributor.drive: is "rotary", valid is "four-stroke" or "crank-speed"`},
		{"unknown observation", `"what": "trace knock"`, `"what": "pinging"`, `engine.observed[0].what: is "pinging"`},
		{"all-in backwards", `["2300 rpm crank", "2800 rpm crank"]`, `["2800 rpm crank", "2300 rpm crank"]`, `target.all_in: runs from 2800 rpm crank to 2300 rpm crank`},
		{"readings twice", `"readings": [`, `"readings_csv": "r.csv", "readings": [`, `readings: needs one of readings and readings_csv, and not both`},
		{"reading of the wrong kind", `"shows": "9.5 deg crank"`, `"shows": "9.5 rpm crank"`, `line 38, column 38: readings[0].shows: `},
		{"vacuum above atmosphere", `"cruise_vacuum": "14 inHg"`, `"cruise_vacuum": "40 inHg"`, `vacuum.cruise_vacuum: is `},
		{"limiter beyond the arm", `"travel": "4.4 mm",
    "arm": "32 mm"`, `"travel": "9 mm",
    "arm": "8 mm"`, `vacuum: `},
		{"weights that are fewer than none", `"weights_count": 2`, `"weights_count": -1`, `distributor.weights_count: is -1, valid is 1 to 4`},
		{"weights without number", `"weights_count": 2`, `"weights_count": 2000000000`, `distributor.weights_count: is 2000000000, valid is 1 to 4`},
		{"springs that never pull", `["long soft", "loop stiff"]`, `["none", "none"]`, `distributor.springs: do not pull at the end of the swing`},
		{"post on the pivot", `"weight_post": ["13 mm", "-12 mm"]`, `"weight_post": ["23 mm", "0 mm"]`, `distributor.spring_places[0]: a spring there would not be stretched`},
		{"post on the wrong side", `"plate_post": ["6 mm", "13 mm"]`, `"plate_post": ["40 mm", "-12 mm"]`, `distributor.spring_places[0]: a spring there would not be stretched`},
		{"slot that leaves no travel", `"length": "10.6 mm"`, `"length": "5.1 mm"`, `distributor.slot: lets the cam travel 0.57 deg crank, less than the smallest_travel`},
		{"pin on the pivot", `"cam_per_swing": "0.8:1"`, `"cam_pin": ["23 mm", "0 mm"]`, `distributor.slot: lets the cam turn 16.04 deg dist, but the weights turn it by at most 0.00 deg`},
		{"vacuum of a reading", `"shows": "9.5 deg crank"`, `"shows": "9.5 deg crank", "vacuum": "40 inHg"`, `line 38: readings[0].vacuum: is 40 inHg, valid is 0 inHg to 29.9 inHg`},
		{"preload beyond any vacuum", `"preload": "20 N"`, `"preload": "400 N"`, `vacuum.preload: holds the rod until`},
		{"cruise without air", `"cruise_vacuum": "14 inHg"`, `"cruise_vacuum": "94 kPa"`, `vacuum.cruise_vacuum: leaves 4.4 kPa of inlet pressure`},
		{"observations that contradict", `"spark": "32 deg crank"`, `"spark": "1 deg crank"`, `engine.observed: taken together they put best torque at`},
		{"ratio", `"8.4:1"`, `"84:1"`, `engine.compression_ratio: is 84, valid is 5 to 14`},
		{"high country", `"250 m"`, `"9000 m"`, `engine.altitude: is 9000 m, valid is -400 m to 4500 m`},
		{"title of two lines", `farm lorry`, `farm\nlorry`, `title: holds the character '\n'`},
		{"name that clears the screen", `"name": "fine"`, `"name": "\u001b[2J"`, `drawer.springs[2].name: holds the character '\x1b'`},
		{"title too long", `"title": "Demo`, `"title": "` + strings.Repeat("x", 99), `title: has `},
	} {
		text := strings.Replace(string(demo), c.old, c.new, 1)
		if text == string(demo) {
			t.Errorf("%s: the demo job holds no %q to spoil", c.name, c.old)
			continue
		}
		refused(t, c.name, []byte(text), c.want)
	}
	refused(t, "empty file", nil, "the document ends too early")
	refused(t, "10 MB", append([]byte(`{"title": "`), bytes.Repeat([]byte("x"), 10<<20)...), "too long for a job")
	refused(t, "deep", bytes.Repeat([]byte("["), 100_000), "needs fields in braces, found a list")
}

// refused runs a job that must be refused and looks at what it leaves behind.
func refused(t *testing.T, name string, text []byte, want string) {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "job.json")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	var stdout bytes.Buffer
	err := run(context.Background(), []string{"-job", file}, &stdout, io.Discard)
	switch {
	case err == nil:
		t.Errorf("%s: not refused", name)
		return
	case !strings.Contains(err.Error(), want):
		t.Errorf("%s: error is\n  %q\nwant it to hold\n  %q", name, err, want)
	case strings.Count(err.Error(), "\n") > 20:
		t.Errorf("%s: the error has too many lines: %q", name, err)
	}
	if stdout.Len() > 0 {
		t.Errorf("%s: something was printed: %q", name, stdout.String())
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 1 {
		t.Errorf("%s: the folder holds %d entries, want the job alone", name, len(entries))
	}
}

// What stands in the way of a file of readings is said with its own line.
func TestSpoiledReadings(t *testing.T) {
	for _, c := range []struct{ name, csv, want string }{
		{"no units", "rpm,deg\n800,12\n", "readings_csv: "},
		{"no shaft", "rpm,deg crank\n800,12\n", "r.csv: readings file: line 1, column 1: "},
		{"text", "rpm crank,deg crank\n800,12\n900,about 13\n", "line 3, column 5: "},
		{"too slow", "rpm crank,deg crank\n800,12\n20,13\n1000,14\n", "line 3: readings_csv[1].at: is 20 rpm crank"},
		{"short row", "rpm crank,deg crank\n800\n", "line 2"},
		{"one column", "rpm crank\n800\n", "the first row has 1 columns"},
		{"negative speed", "rpm crank,deg crank\n800,12\n-900,13\n1000,14\n", `readings file: line 3, column 1: `},
		{"many", "rpm crank,deg crank\n" + strings.Repeat("800,12\n", 1000), "there are 1000 of them, valid is at most 500"},
		{"empty", "", "first row with the units"},
		{"bad UTF-8", "rpm crank,deg crank\n\xff,12\n", "not valid UTF-8"},
	} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "r.csv"), []byte(c.csv), 0o600); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "job.json")
		if err := os.WriteFile(file, csvJob(t, "r.csv"), 0o600); err != nil {
			t.Fatal(err)
		}
		err := run(context.Background(), []string{"-job", file}, io.Discard, io.Discard)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %v, want it to hold %q", c.name, err, c.want)
		}
	}
}

// csvJob is the demo job with its readings in a file of their own.
func csvJob(t *testing.T, name string) []byte {
	t.Helper()
	from, rest, ok := strings.Cut(string(demo), `"readings": [`)
	_, after, ok2 := strings.Cut(rest, "],\n")
	if !ok || !ok2 {
		t.Fatal("the demo job has no readings to move")
	}
	return []byte(from + `"readings_csv": "` + name + "\",\n" + after)
}

func TestReadingsStayBesideTheJob(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "job.json")
	for _, name := range []string{"../r.csv", "/r.csv", "missing.csv"} {
		if err := os.WriteFile(file, csvJob(t, name), 0o600); err != nil {
			t.Fatal(err)
		}
		err := run(context.Background(), []string{"-job", file}, io.Discard, io.Discard)
		if err == nil || !strings.Contains(err.Error(), "readings_csv: ") {
			t.Errorf("%s: error is %v", name, err)
		}
	}
}

// An error that only the work brings to light names the file as well.
func TestErrorOfTheRunNamesTheFile(t *testing.T) {
	text := strings.Replace(string(demo), `"at": "2600 rpm crank", "spark": "32 deg crank"`, `"at": "2600 rpm crank", "spark": "69 deg crank"`, 1)
	text = strings.Replace(text, `"spark": "31 deg crank"`, `"spark": "1 deg crank"`, 1)
	refused(t, "contradictory observations", []byte(text), "job.json: job: ")
}

func TestArgumentsAreChecked(t *testing.T) {
	for _, args := range [][]string{{"-job", "no-such-file.json"}, {"-job", ""}, {"-out", ""}, {"job.json"}, {"-wrong"}} {
		if err := run(context.Background(), args, io.Discard, io.Discard); err == nil {
			t.Errorf("%v: not refused", args)
		}
	}
	if strict.MaxBytes >= 10<<20 {
		t.Error("a job of 10 MB would be read")
	}
}
