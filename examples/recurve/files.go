package main

import (
	"fmt"
	"slices"

	_ "gonum.org/v1/plot/vg/vgimg" // draws "png"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/plots"
	"example.org/bobweight/examples/recurve/results"
)

// fileNames are the files of a result, in the order of writing.
var fileNames = []string{"curve.svg", "curve.png", "sheet.txt", "curves.csv", "result.json"}

// render makes every file in memory, so that nothing is written unless all is
// well.
func render(r *job.Report) (map[string][]byte, error) {
	files := map[string][]byte{}
	for name, make := range map[string]func(*job.Report) ([]byte, error){
		"curve.svg":   func(r *job.Report) ([]byte, error) { return plots.Draw(r, "svg") },
		"curve.png":   func(r *job.Report) ([]byte, error) { return plots.Draw(r, "png") },
		"sheet.txt":   results.Sheet,
		"curves.csv":  results.Table,
		"result.json": results.JSON,
	} {
		data, err := make(r)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		files[name] = data
	}
	return files, nil
}

// isResult tells the files that this program leaves.
func isResult(name string) bool { return slices.Contains(fileNames, name) }
