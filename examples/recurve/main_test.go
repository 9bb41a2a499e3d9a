package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// demoReport works the demo job through once.
func demoReport(t *testing.T) *job.Report {
	t.Helper()
	j, err := job.Read(demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Run(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The demo's readings were made from this distributor, with errors of 20 rpm and
// 0.6 degrees and the rounding of a tachometer and a damper scale. It is the
// truth that the fit has to find.
const (
	trueStatic = 8.0  // crank degrees
	trueTravel = 32.0 // crank degrees
)

func trueCurve(t *testing.T, j *job.Job) *flyweights.Curve {
	t.Helper()
	m := j.Mechanism
	stop, err := flyweights.Swing(m.Linkage, j.Drive.ShaftRadians(trueTravel))
	if err != nil {
		t.Fatal(err)
	}
	m.Stop = stop
	for i, law := range []springs.Spring{
		{Rate: 1600, FreeLength: 25.9e-3, InitialTension: 0.12},
		{Rate: 9800, FreeLength: 25e-3, InitialTension: 0.3, Slack: 2.9e-3},
	} {
		post := j.Places[i].Posts[0]
		m.Springs = append(m.Springs, flyweights.Spring{Law: law, A: post.A, B: post.B})
	}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestDemoFindsTheTruth(t *testing.T) {
	j, err := job.Read(demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	truth := trueCurve(t, j)
	d := advance.Distributor{Drive: j.Drive, Static: trueStatic, Mechanism: truth}
	for _, x := range j.Readings {
		near, err := d.Total(x.RPM, 0, flyweights.Rising)
		if err != nil {
			t.Fatal(err)
		}
		far, err := d.Total(x.RPM+20, 0, flyweights.Rising)
		if err != nil {
			t.Fatal(err)
		}
		if sigma := math.Hypot(0.7, far-near); !(math.Abs(x.Degrees-near) <= 3.5*sigma) {
			t.Errorf("the reading at %g rpm is %.1f deg from the truth, %.1f standard errors", x.RPM, x.Degrees-near, (x.Degrees-near)/sigma)
		}
	}
	r := demoReport(t)
	for _, c := range []struct {
		name  string
		e     job.Estimate
		truth float64
	}{
		{"static", r.Readings.Static, trueStatic},
		{"travel", r.Readings.Travel, trueTravel},
		{"total", r.Readings.Total, trueStatic + trueTravel},
		{"start", r.Readings.Start, j.Drive.RPM(truth.Start(flyweights.Rising))},
		{"all-in", r.Readings.AllIn, j.Drive.RPM(truth.AllIn(flyweights.Rising))},
	} {
		low, high := math.Inf(-1), math.Inf(1)
		if c.e.Low != nil {
			low = *c.e.Low
		}
		if c.e.High != nil {
			high = *c.e.High
		}
		if c.e.Bound == "unknown" {
			t.Errorf("%s is unknown", c.name)
		}
		if !(c.truth >= low && c.truth <= high) {
			t.Errorf("%s: %s, but the truth is %.1f", c.name, fmt.Sprintf("%+v", c.e), c.truth)
		}
	}
}

// The sheet as printed, curves.csv and result.json say the same to the digit
// printed.
func TestPrintsAgree(t *testing.T) {
	dir := t.TempDir()
	var stdout bytes.Buffer
	if err := run(context.Background(), []string{"-out", dir}, &stdout, io.Discard); err != nil {
		t.Fatal(err)
	}
	printed := map[string][]string{} // rpm: rising, falling, low, high
	row := regexp.MustCompile(`(?m)^ +(\d+) +(-?\d+\.\d) +(-?\d+\.\d) +(-?\d+\.\d) +(-?\d+\.\d) +_+ +_+ +\| +[\d. -]+$`)
	for _, m := range row.FindAllStringSubmatch(stdout.String(), -1) {
		printed[m[1]] = m[2:]
	}
	idle := regexp.MustCompile(`Bring idle back to (\d+) rpm[^:]*:\s+the\s+light\s+must\s+show\s+(\S+)\s+\((\S+)\s+to\s+(\S+)\)`).FindStringSubmatch(stdout.String())
	if len(printed) != 10 || idle == nil {
		t.Fatalf("found %d rows and the idle line %q in the print", len(printed), idle)
	}
	sheetFile, err := os.ReadFile(filepath.Join(dir, "sheet.txt"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(stdout.String(), strings.TrimRight(string(sheetFile), "\n")) {
		t.Error("sheet.txt differs from the sheet on the screen")
	}

	text, err := os.ReadFile(filepath.Join(dir, "result.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r job.Report
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	tenth := func(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
	for _, x := range r.Sheet.Rows {
		want := []string{tenth(x.Rising), tenth(x.Falling), tenth(x.Low), tenth(x.High)}
		if d := cmp.Diff(want, printed[fmt.Sprint(x.RPM)]); d != "" {
			t.Errorf("result.json against the print at %g rpm:\n%s", x.RPM, d)
		}
	}
	if d := cmp.Diff([]string{fmt.Sprint(r.Sheet.Idle.RPM), tenth(r.Sheet.Idle.Rising), tenth(r.Sheet.Idle.Low), tenth(r.Sheet.Idle.High)}, idle[1:]); d != "" {
		t.Errorf("result.json against the print at idle:\n%s", d)
	}

	f, err := os.Open(filepath.Join(dir, "curves.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, x := range rows[1:] {
		want, ok := printed[x[0]]
		if !ok {
			continue
		}
		seen++
		var got []string
		for _, cell := range x[2:6] {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, tenth(v))
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("curves.csv against the print at %s rpm:\n%s", x[0], d)
		}
	}
	if seen != len(printed) {
		t.Errorf("curves.csv holds %d of the %d speeds printed", seen, len(printed))
	}
}

// The recipes are also counted through from their parts: the total is static and
// travel, the slot left is what the travel needs, and the curve is the
// mechanism's own.
func TestRecipesAddUp(t *testing.T) {
	j, err := job.Read(demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	r := demoReport(t)
	if len(r.Recipes) != 3 {
		t.Fatalf("%d recipes, want 3", len(r.Recipes))
	}
	for _, x := range r.Recipes {
		if !(math.Abs(x.Static+x.Travel-x.Total) <= 0.011) {
			t.Errorf("recipe %d: %g + %g is not %g", x.Rank, x.Static, x.Travel, x.Total)
		}
		slot := flyweights.Slot{Length: x.SlotLength * 1e-3, Pin: j.Slot.Pin, Radius: j.Slot.Radius}
		travel, err := slot.Travel()
		if err != nil {
			t.Fatal(err)
		}
		// The length is rounded to 0.01 mm, which is 0.06 crank degrees here.
		if got := j.Drive.CrankDegrees(travel); !(math.Abs(got-x.Travel) <= 0.06) {
			t.Errorf("recipe %d: a slot of %g mm gives %.2f deg of travel, not %g", x.Rank, x.SlotLength, got, x.Travel)
		}
		if !(x.Total >= 32.75 && x.Total <= 33.25) || !(x.AllIn >= 2300 && x.AllIn <= 2800) || !(x.Start >= 900) || !(x.Return >= 900) || !(x.Margin >= 2) {
			t.Errorf("recipe %d leaves what was wished for: %+v", x.Rank, x)
		}
	}
}

func TestRunsAgree(t *testing.T) {
	var first []byte
	for _, procs := range []int{1, 2, 5} {
		before := runtime.GOMAXPROCS(procs)
		text, err := json.Marshal(demoReport(t))
		runtime.GOMAXPROCS(before)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = text
		}
		if !bytes.Equal(first, text) {
			t.Errorf("with %d processors the report differs", procs)
		}
	}
}

// Readings in a file of their own give the same answer as readings in the job.
func TestReadingsFromCSV(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string][]byte{"job.json": csvJob(t, "light.csv"), "light.csv": []byte(demoRows())} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := run(context.Background(), []string{"-job", filepath.Join(dir, "job.json")}, io.Discard, io.Discard); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(filepath.Join(dir, "job-recurved", "result.json"))
	if err != nil {
		t.Fatal(err)
	}
	files, _, err := render(new(job.Job), demoReport(t), drawAlone(new(job.Job)))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(files["result.json"]), string(got)); d != "" {
		t.Error(d)
	}
}

// A folder with results is left alone without -force, replaced as a whole with it,
// and a folder that holds anything else is refused either way.
func TestNothingIsWrittenOver(t *testing.T) {
	dir := t.TempDir()
	kept := filepath.Join(dir, "sheet.txt")
	if err := os.WriteFile(kept, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	err := run(context.Background(), []string{"-out", dir}, io.Discard, io.Discard)
	if err == nil || !strings.Contains(err.Error(), "sheet.txt exists") {
		t.Errorf("error is %v", err)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("the folder holds %d entries, want the one of before", len(entries))
	}
	if err := run(context.Background(), []string{"-out", dir, "-force"}, io.Discard, io.Discard); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	// One sheet for each of three recipes; the first is in the list.
	if len(entries) != len(fileList)+2 {
		t.Errorf("the folder holds %d entries, want %d", len(entries), len(fileList)+2)
	}
	if err := run(context.Background(), []string{"-out", kept}, io.Discard, io.Discard); err == nil || !strings.Contains(err.Error(), "not a folder") {
		t.Errorf("a file as folder: error is %v", err)
	}
	part := filepath.Join(dir, "sheet.txt.part")
	if err := os.WriteFile(part, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := run(context.Background(), []string{"-out", dir, "-force"}, io.Discard, io.Discard); err == nil || !strings.Contains(err.Error(), "sheet.txt.part, which is no result") {
		t.Errorf("error is %v", err)
	}
	if data, err := os.ReadFile(part); err != nil || string(data) != "mine" {
		t.Errorf("the file of another program holds %q, error %v", data, err)
	}
}

// Each recipe has a sheet of its own, with its own parts and figures.
func TestSheetOfEveryRecipe(t *testing.T) {
	r := demoReport(t)
	for i, x := range r.Recipes {
		s := x.Sheet
		if i == 0 {
			if s != nil {
				t.Error("the first recipe's sheet is the report's own")
			}
			s = r.Sheet
		}
		if s == nil || s.Static != x.Static || s.Total != x.Total || s.Slot == nil || s.Slot.Length != x.SlotLength {
			t.Errorf("recipe %d, static %g, total %g, slot %g mm has the sheet %+v", x.Rank, x.Static, x.Total, x.SlotLength, s)
			continue
		}
		for _, p := range s.Parts {
			if name, ok := x.Springs[p.Place]; ok && name != p.Name {
				t.Errorf("recipe %d: %s at %s on the sheet, %s in the list", x.Rank, p.Name, p.Place, name)
			}
		}
		if idle := strings.Join(s.Hose, " "); !strings.Contains(idle, fmt.Sprintf("Hose on, idle: %.1f deg", s.Idle.Rising)) {
			t.Errorf("recipe %d: the hose is followed for another timing: %s", x.Rank, idle)
		}
	}
	for name, want := range map[string]bool{"sheet-2.txt": true, "sheet-20.txt": true, "sheet-2.txt.part": false, "sheet-x.txt": false, "sheet-02.txt": false, "sheet.txt": true, "notes.txt": false} {
		if isResult(name) != want {
			t.Errorf("%s is a result: %v", name, !want)
		}
	}
}

// What was read is never written over, whatever its name and whatever is asked for.
func TestWhatWasReadStays(t *testing.T) {
	for _, c := range []struct{ job, csv string }{{"result.json", "light.csv"}, {"job.json", "curves.csv"}} {
		dir := t.TempDir()
		files := map[string][]byte{c.job: csvJob(t, c.csv), c.csv: []byte(demoRows())}
		for name, text := range files {
			if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		err := run(context.Background(), []string{"-job", filepath.Join(dir, c.job), "-force", "-out", dir}, io.Discard, io.Discard)
		if err == nil || !strings.Contains(err.Error(), "folder for the results") {
			t.Errorf("%s and %s: error is %v", c.job, c.csv, err)
		}
		for name, text := range files {
			if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.Equal(got, text) {
				t.Errorf("%s was written over, error %v", name, err)
			}
		}
	}
}

// demoRows are the demo's readings as a file of their own.
func demoRows() string {
	rows := "# taken on a warm day\nrpm crank,deg crank,inHg\n"
	for _, m := range regexp.MustCompile(`"at": "(\S+) rpm crank", "shows": "(\S+) deg crank"`).FindAllStringSubmatch(string(demo), -1) {
		rows += m[1] + "," + m[2] + ",\n"
	}
	return rows
}

func TestNameOfTheFolder(t *testing.T) {
	for file, want := range map[string]string{
		"job.json": "job", "job": "job", "a.b.json": "a.b", "in/job.json": "in/job", ".json": ".json", "in/.job": "in/.job", "in.d/job": "in.d/job",
	} {
		if got := bare(file); got != want {
			t.Errorf("%s without its extension is %q, want %q", file, got, want)
		}
	}
}

// Asking for help is no mistake, and a wrong flag is one sentence.
func TestHelp(t *testing.T) {
	var said bytes.Buffer
	if err := run(context.Background(), []string{"-h"}, io.Discard, &said); !errors.Is(err, flag.ErrHelp) {
		t.Errorf("error is %v, want %v", err, flag.ErrHelp)
	}
	for _, name := range []string{"-job", "-out", "-force", "-show-demo", "-version"} {
		if !strings.Contains(said.String(), name) {
			t.Errorf("the help does not speak of %s", name)
		}
	}
	said.Reset()
	if err := run(context.Background(), []string{"-wrong"}, io.Discard, &said); err == nil || said.Len() > 0 {
		t.Errorf("error is %v, and beside it was said %q", err, said.String())
	}
}

func TestShowDemoIsAJob(t *testing.T) {
	var b bytes.Buffer
	if err := run(context.Background(), []string{"-show-demo"}, &b, io.Discard); err != nil {
		t.Fatal(err)
	}
	if _, err := job.Read(b.Bytes(), nil); err != nil {
		t.Error(err)
	}
}

func TestCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	dir := filepath.Join(t.TempDir(), "out")
	err := run(ctx, []string{"-out", dir}, io.Discard, io.Discard)
	if !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "interrupted at") {
		t.Errorf("error is %v", err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("a run that was stopped left its folder")
	}
}

// The version is one line, whatever the build tells.
func TestVersion(t *testing.T) {
	var out bytes.Buffer
	if err := run(context.Background(), []string{"-version"}, &out, io.Discard); err != nil {
		t.Fatal(err)
	}
	if text := out.String(); !strings.HasPrefix(text, "bobweight, ") || strings.Count(text, "\n") != 1 {
		t.Errorf("the version is %q", text)
	}
}

// Nothing of a file moves the cursor or turns the text of a terminal round.
func TestPlain(t *testing.T) {
	if got, want := plain("a\x1b[2J\r\u202eb\u2028c\u00e9\n\tπ \u200f"), "a?[2J??b?cé\n?π ?"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What does not print in a job's name does not come into that of its results.
func TestResultsHaveAPlainName(t *testing.T) {
	folder := filepath.Join("in\u202e", "side")
	for name, want := range map[string]string{"bi\u202edi.json": "bi_di", "ctl\x1b[2J\n.json": "ctl_[2J_", "Käfer 2.json": "Käfer 2", ".json": ".json"} {
		s := source{file: filepath.Join(folder, name)}
		if got := s.name(); got != filepath.Join(folder, want) {
			t.Errorf("%q gives %q", name, got)
		}
	}
}

// The saloon's jobs are built in under their names, and no others.
func TestDemosByName(t *testing.T) {
	for _, name := range demoNames {
		var stdout bytes.Buffer
		if err := run(context.Background(), []string{"-demo", name, "-show-demo"}, &stdout, io.Discard); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := job.Read(stdout.Bytes(), nil); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := run(context.Background(), []string{"-demo", "van"}, io.Discard, io.Discard); err == nil || !strings.Contains(err.Error(), "saloon-1") {
		t.Errorf("an unknown demo: %v", err)
	}
}
