package job

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"

	"example.org/bobweight/advance/job/internal/schema"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// fullVacuum is all that a standard atmosphere can be sucked down, Pa (ISO 2533).
const fullVacuum = 101325

// opener fetches a file that stands beside the job, by the name that the job gives.
type opener func(name string) ([]byte, error)

// readReadings reads the light's errors, the static timing and the readings.
func (j *Job) readReadings(r *validator, f *schema.File, open opener) {
	j.Settings = readings.Settings{
		SigmaDegrees: r.degreesOr("light.angle_error", f.Light.Angle, 1, 0.05, 10),
		SigmaRPM:     r.rpmOr("light.speed_error", f.Light.Speed, 25, 1, 500),
	}
	if f.Static != nil {
		j.Settings.KnownStatic = &readings.Known{
			Value: r.degrees("static_reading", *f.Static, -30, 60), Sigma: j.Settings.SigmaDegrees,
		}
	}
	if f.SetStatic != nil {
		j.SetStatic = &readings.Known{
			Value: r.degrees("set_static", *f.SetStatic, -30, 60), Sigma: j.Settings.SigmaDegrees,
		}
	}
	if r.given("runs") {
		for _, other := range []string{"readings", "readings_csv"} {
			if r.given(other) {
				r.fail(other, "stands beside runs, which hold the readings; give one of the two")
			}
		}
		return // the newest run is read with the others
	}
	j.Readings = j.readList(r, "readings", f.Readings, f.ReadingsCSV, open, false)
	j.has.readings = r.enoughReadings("readings", j.Readings)
}

// readList reads the readings of one run, in place or from a file of their own.
func (j *Job) readList(r *validator, path string, list []schema.Reading, name string, open opener, machine bool) []readings.Reading {
	switch here, csv := r.given(path), r.given(path+csvSuffix); {
	case here && csv:
		r.fail(path, "needs one of %s and %s, and not both", last(path), last(path)+csvSuffix)
	case here:
		return j.converted(r, list, path, machine)
	case !csv:
		r.lack(path)
	case open == nil:
		r.fail(path+csvSuffix, "cannot be opened here; write the readings into the job")
	default:
		text, err := open(name)
		if errors.Is(err, fs.ErrNotExist) {
			r.fail(path+csvSuffix, "there is no file %q beside the job", name)
			return nil
		}
		if err != nil {
			r.wrap(path+csvSuffix, err)
			return nil
		}
		rows, err := readings.ReadCSV(bytes.NewReader(text))
		if err != nil {
			for _, fault := range apart(err) {
				r.wrap(path+csvSuffix, fmt.Errorf("%s: %w", name, fault))
			}
			return nil
		}
		of := &validator{drive: r.drive, lines: r.lines, file: name}
		list := j.converted(of, ofTable(of, rows, path+csvSuffix), path+csvSuffix, machine)
		for _, f := range of.faults {
			r.faults = append(r.faults, fault{path + csvSuffix, r.lines.Of(path + csvSuffix), f.err})
		}
		for _, m := range of.missing {
			r.lack(m)
		}
		return list
	}
	return nil
}

// apart is every error of a list, each to be told with its file.
func apart(err error) []error {
	if list, ok := err.(interface{ Unwrap() []error }); ok {
		return list.Unwrap()
	}
	return []error{err}
}

// csvSuffix ends the name of a field that names a file of readings.
const csvSuffix = "_csv"

// maxReadings is the largest number of readings that a run may hold.
const maxReadings = 500

// ofTable turns the rows of a CSV file into readings whose lines are those of that
// file.
func ofTable(r *validator, rows []readings.Row, path string) []schema.Reading {
	out := make([]schema.Reading, len(rows))
	for i, row := range rows {
		out[i] = schema.Reading{At: row.At, Shows: row.Shows, Vacuum: row.Vacuum, Falling: row.Falling, Cylinder: row.Cylinder, Note: row.Note}
		for _, field := range []string{"at", "shows", "vacuum"} {
			r.lines[fmt.Sprintf("%s[%d].%s", path, i, field)] = row.Line
		}
		if row.Cylinder != 0 {
			r.lines[fmt.Sprintf("%s[%d].cylinder", path, i)] = row.Line
		}
		if row.Note != "" {
			r.lines[fmt.Sprintf("%s[%d].note", path, i)] = row.Line
		}
	}
	return out
}

// converted turns readings into those that are fitted. One without speed or degrees
// is asked for and left out.
func (j *Job) converted(r *validator, in []schema.Reading, path string, machine bool) []readings.Reading {
	if len(in) > maxReadings {
		r.fail(path, "there are %d of them, valid is at most %d", len(in), maxReadings)
		return nil
	}
	low, high := -30.0, 90.0
	if machine {
		low, high = -720, 720 // its ring of degrees has its zero anywhere
	}
	out := make([]readings.Reading, 0, len(in))
	for i, one := range in {
		at := fmt.Sprintf("%s[%d]", path, i)
		sub := &validator{drive: r.drive, lines: r.lines, syntax: r.syntax, file: r.file}
		x := readings.Reading{
			RPM:     sub.rpm(at+".at", one.At, 50, 12000),
			Degrees: sub.degrees(at+".shows", one.Shows, low, high) - j.MarkError,
			Vacuum:  betweenOr(sub, at+".vacuum", one.Vacuum, 0, 0, fullVacuum), HoseOn: one.Vacuum.SI() > 0,
		}
		if sub.given(at + ".cylinder") {
			x.Cylinder = sub.whole(at+".cylinder", one.Cylinder, 0, 1, 16)
		}
		if one.Falling {
			x.Direction = flyweights.Falling
		}
		if sub.given(at + ".note") {
			sub.text(at+".note", one.Note, 200)
			j.remarks = append(j.remarks, fmt.Sprintf("%v, %v: %s", one.At, one.Shows, one.Note))
		}
		r.faults = append(r.faults, sub.faults...)
		if len(sub.missing) > 0 {
			for _, m := range sub.missing {
				r.lack(m)
			}
			continue
		}
		out = append(out, x)
	}
	return out
}

// Readings that show a curve: so many, over so many rpm. Fewer are kept for what
// they say by themselves.
const (
	leastReadings = 3
	leastSpread   = 100.0 // rpm
)

// tooFew says why readings that are given show no curve; empty where none are given, or
// where they do.
func (j *Job) tooFew() string {
	given, off := 0, 0
	count := func(list []readings.Reading, hose bool) {
		given += len(list)
		for _, x := range list {
			if !hose && !x.HoseOn {
				off++
			}
		}
	}
	if len(j.runs) == 0 {
		count(j.Readings, false)
	}
	for i := range j.runs {
		count(j.runs[i].list, j.runs[i].hose)
	}
	switch {
	case given == 0 || j.has.readings:
		return ""
	case off == 0:
		return "All readings were taken with the vacuum hose on, so they show weights and vacuum unit together: pull the hose off, plug it and read again."
	case len(j.runs) > 0:
		return fmt.Sprintf("No curve is seen in the newest run with the hose off: it takes %d readings or more, over %.0f rpm or more.", leastReadings, leastSpread)
	}
	return fmt.Sprintf("No curve is seen in %s with the hose off: it takes %d or more, over %.0f rpm or more.", counted(off, "reading"), leastReadings, leastSpread)
}

// counted is a number of things in words.
func counted(n int, thing string) string {
	if n == 1 {
		return "one " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// enoughReadings reports whether readings show a curve, however good they are, and
// asks for more where they do not.
func (r *validator) enoughReadings(path string, list []readings.Reading) bool {
	n, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, x := range list {
		if !x.HoseOn {
			n, low, high = n+1, min(low, x.RPM), max(high, x.RPM)
		}
	}
	if n >= leastReadings && high-low >= leastSpread {
		return true
	}
	r.lack(path)
	return false
}
