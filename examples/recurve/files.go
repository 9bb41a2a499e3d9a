package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"example.org/bobweight/advance/job"
)

// fileNames are the files of a result, in the order of writing.
var fileNames = []string{"curve.svg", "curve.png", "sheet.txt", "curves.csv", "result.json"}

// render makes every file in memory, so that nothing is written unless all is
// well.
func render(r *job.Report) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, format := range []string{"svg", "png"} {
		picture, err := drawing(r, format)
		if err != nil {
			return nil, err
		}
		files["curve."+format] = picture
	}
	var text bytes.Buffer
	if r.Sheet != nil {
		text.WriteString(r.Sheet.Text())
	} else {
		if err := r.Text(&text); err != nil {
			return nil, err
		}
	}
	files["sheet.txt"] = text.Bytes()
	var err error
	if files["curves.csv"], err = table(r.Curves); err != nil {
		return nil, err
	}
	data, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return nil, err
	}
	files["result.json"] = append(data, '\n')
	return files, nil
}

// table writes the curves as comma-separated text.
func table(rows []job.CurveRow) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	head := []string{"rpm", "present_deg", "rising_deg", "falling_deg", "low_deg", "high_deg", "mbt_deg", "limit_deg", "limit_low_deg", "limit_high_deg"}
	if err := w.Write(head); err != nil {
		return nil, err
	}
	cell := func(x *float64) string {
		if x == nil {
			return ""
		}
		return strconv.FormatFloat(*x, 'f', 2, 64)
	}
	for _, r := range rows {
		row := []string{strconv.FormatFloat(r.RPM, 'f', -1, 64), cell(r.Present), cell(r.Rising), cell(r.Falling), cell(r.Low), cell(r.High), cell(r.MBT), cell(r.Limit), cell(r.LimitLow), cell(r.LimitHigh)}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
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
