package main

import (
	"fmt"
	"slices"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/drawing"
	"example.org/bobweight/examples/recurve/plots"
	"example.org/bobweight/examples/recurve/results"
	_ "gonum.org/v1/plot/vg/vgimg" // draws "png"
)

// file is one of a result.
type file struct {
	name string
	make func(*job.Job, *job.Report) ([]byte, error)
}

// fileList is every file that a result can have, in the order of naming them. The
// drawing is left out where the job does not describe the mechanism.
var fileList = []file{
	{"sheet.txt", func(_ *job.Job, r *job.Report) ([]byte, error) { return results.Sheet(r) }},
	{"curve.svg", func(_ *job.Job, r *job.Report) ([]byte, error) { return plots.Draw(r, "svg") }},
	{"curve.png", func(_ *job.Job, r *job.Report) ([]byte, error) { return plots.Draw(r, "png") }},
	{"distributor.svg", func(j *job.Job, _ *job.Report) ([]byte, error) { return mechanism(j, "svg") }},
	{"distributor.png", func(j *job.Job, _ *job.Report) ([]byte, error) { return mechanism(j, "png") }},
	{"measuring-form.svg", func(*job.Job, *job.Report) ([]byte, error) { return drawing.Form("svg") }},
	{"measuring-form.png", func(*job.Job, *job.Report) ([]byte, error) { return drawing.Form("png") }},
	{"curves.csv", func(_ *job.Job, r *job.Report) ([]byte, error) { return results.Table(r) }},
	{"result.json", func(_ *job.Job, r *job.Report) ([]byte, error) { return results.JSON(r) }},
}

// mechanism draws the mechanism of a job; nothing where the job does not describe it.
func mechanism(j *job.Job, format string) ([]byte, error) {
	if !drawing.Describes(j) {
		return nil, nil
	}
	return drawing.Distributor(j, format)
}

// render makes every file in memory, so that nothing is written unless all is well,
// and names them in order.
func render(j *job.Job, r *job.Report) (files map[string][]byte, names []string, err error) {
	files = map[string][]byte{}
	for _, f := range fileList {
		data, err := f.make(j, r)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", f.name, err)
		}
		if data != nil {
			files[f.name], names = data, append(names, f.name)
		}
	}
	for _, x := range r.Recipes {
		if x.Sheet != nil {
			name := fmt.Sprintf(furtherSheet, x.Rank)
			files[name], names = []byte(x.Sheet.Text()), append(names, name)
		}
	}
	return files, names, nil
}

// furtherSheet names the sheet of a recipe after the first by its number.
const furtherSheet = "sheet-%d.txt"

// isResult tells the files that this program leaves.
func isResult(name string) bool {
	var n int
	if _, err := fmt.Sscanf(name, furtherSheet, &n); err == nil && name == fmt.Sprintf(furtherSheet, n) {
		return true
	}
	return slices.ContainsFunc(fileList, func(f file) bool { return f.name == name })
}
