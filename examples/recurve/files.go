package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

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

// free makes sure that no file of the result exists in the folder yet.
func free(folder string, force bool) error {
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		return fmt.Errorf("%s is a file, not a folder for the results", folder)
	}
	for _, name := range fileNames {
		path := filepath.Join(folder, name)
		if info, err := os.Lstat(path); err == nil && info.IsDir() {
			return fmt.Errorf("%s is a folder and stands in the way of a result; name another folder with -out", path)
		} else if err == nil && force {
			continue
		} else if err == nil {
			return fmt.Errorf("%s exists; name another folder with -out, or write over it with -force", path)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// save writes each file under another name first, so that a full disk leaves no
// half of one behind.
func save(folder string, files map[string][]byte) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for _, name := range fileNames {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path+".part", files[name], 0o644); err != nil {
			return errors.Join(err, os.Remove(path+".part"))
		}
		if err := os.Rename(path+".part", path); err != nil {
			return errors.Join(err, os.Remove(path+".part"))
		}
	}
	return nil
}
