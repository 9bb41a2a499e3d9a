package main

import (
	"fmt"
	"slices"
	"sync"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/drawing"
	"example.org/bobweight/examples/recurve/plots"
	"example.org/bobweight/examples/recurve/results"
	_ "gonum.org/v1/plot/vg/vgimg" // draws "png"
)

// file is one of a result.
type file struct {
	name string
	// alone says that it shows the job alone, and can be drawn before there is a report.
	alone bool
	make  func(*job.Job, *job.Report) ([]byte, error)
}

// fileList is every file that a result can have, in the order of naming them. The
// drawing is left out where the job does not describe the mechanism.
var fileList = []file{
	{"sheet.txt", false, func(_ *job.Job, r *job.Report) ([]byte, error) { return results.Sheet(r) }},
	{"curve.svg", false, func(_ *job.Job, r *job.Report) ([]byte, error) { return plots.Draw(r, "svg") }},
	{"curve.png", false, func(_ *job.Job, r *job.Report) ([]byte, error) { return plots.Draw(r, "png") }},
	{"distributor.svg", true, func(j *job.Job, _ *job.Report) ([]byte, error) { return mechanism(j, "svg") }},
	{"distributor.png", true, func(j *job.Job, _ *job.Report) ([]byte, error) { return mechanism(j, "png") }},
	{"measuring-form.svg", true, func(*job.Job, *job.Report) ([]byte, error) { return drawing.Form("svg") }},
	{"measuring-form.png", true, func(*job.Job, *job.Report) ([]byte, error) { return drawing.Form("png") }},
	{"curves.csv", false, func(_ *job.Job, r *job.Report) ([]byte, error) { return results.Table(r) }},
	{"result.json", false, func(_ *job.Job, r *job.Report) ([]byte, error) { return results.JSON(r) }},
}

// mechanism draws the mechanism of a job; nothing where the job does not describe it.
func mechanism(j *job.Job, format string) ([]byte, error) {
	if !drawing.Describes(j) {
		return nil, nil
	}
	return drawing.Distributor(j, format)
}

// drawn is a file in memory.
type drawn struct {
	data []byte
	err  error
}

// drawAlone draws what shows the job alone, while the job is worked. Working it may
// complete the job, so a copy is drawn.
func drawAlone(j *job.Job) <-chan map[string]drawn {
	own, out := *j, make(chan map[string]drawn, 1)
	go func() {
		all := map[string]drawn{}
		for _, f := range fileList {
			if f.alone {
				data, err := f.make(&own, nil)
				all[f.name] = drawn{data, err}
			}
		}
		out <- all
	}()
	return out
}

// render makes every other file in memory, so that nothing is written unless all is
// well, and names them in order.
func render(j *job.Job, r *job.Report, alone <-chan map[string]drawn) (files map[string][]byte, names []string, err error) {
	made := make([]drawn, len(fileList))
	var others sync.WaitGroup
	for i, f := range fileList {
		if !f.alone {
			others.Go(func() { made[i].data, made[i].err = f.make(j, r) })
		}
	}
	others.Wait()
	before := <-alone
	files = map[string][]byte{}
	for i, f := range fileList {
		one := made[i]
		if f.alone {
			one = before[f.name]
		}
		if one.err != nil {
			return nil, nil, fmt.Errorf("%s: %w", f.name, one.err)
		}
		if one.data != nil {
			files[f.name], names = one.data, append(names, f.name)
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
