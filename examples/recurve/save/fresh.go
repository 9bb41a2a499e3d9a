package save

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
)

// unfinished is the file by which a fresh folder is known as one of this package.
const unfinished = "UNFINISHED.txt"

// unfinishedText is what it says to whoever finds it.
const unfinishedText = "A program wrote its results here and was ended before they were whole. This folder may be deleted.\n"

// fresh is a folder of this process's own in which results are written first.
type fresh struct {
	path string
	hold *os.File // locked for as long as the process works in it
}

// newFresh makes one with a name that nobody has, and takes away what a process that
// is no more has left under such a name.
func newFresh(folder, prefix string) (*fresh, error) {
	if err := sweep(folder, prefix); err != nil {
		return nil, err
	}
	path, err := os.MkdirTemp(folder, prefix+"*")
	if err != nil {
		return nil, err
	}
	f := &fresh{path: path}
	if f.hold, err = os.Open(path); err == nil {
		err = lock(f.hold)
	}
	if err == nil {
		err = mark(path)
	}
	if err != nil {
		return nil, errors.Join(err, f.remove())
	}
	return f, nil
}

// mark puts the file into a folder. While the folder is locked somebody works there.
func mark(folder string) error {
	return os.WriteFile(filepath.Join(folder, unfinished), []byte(unfinishedText), 0o644)
}

// marked reports whether a folder holds the file.
func marked(folder string) bool {
	info, err := os.Lstat(filepath.Join(folder, unfinished))
	return err == nil && info.Mode().IsRegular()
}

// sweep removes the fresh folders that nobody works in any more: their name is one that
// this package gives, they hold its file, and no process holds their lock. Where there
// are no locks none is known to be left, and all stay.
func sweep(folder, prefix string) error {
	entries, err := os.ReadDir(folder)
	if err != nil || !locks {
		return nil // what comes next says why it cannot be looked at
	}
	var errs []error
	for _, e := range entries {
		number, ours := strings.CutPrefix(strings.TrimSuffix(e.Name(), oldSuffix), prefix)
		if !ours || !e.IsDir() || number == "" || strings.Trim(number, "0123456789") != "" {
			continue
		}
		path := filepath.Join(folder, e.Name())
		if !marked(path) {
			continue
		}
		held, err := os.Open(path)
		if err != nil {
			continue
		}
		if lock(held) == nil {
			errs = append(errs, os.RemoveAll(path))
		}
		errs = append(errs, held.Close())
	}
	return errors.Join(errs...)
}

// whole says that everything is written: the folder is one like any other now.
func (f *fresh) whole() error {
	err := errors.Join(os.Remove(filepath.Join(f.path, unfinished)), f.hold.Close())
	f.hold = nil // some systems do not rename a folder that is open
	return err
}

// remove takes the folder away with all that it holds.
func (f *fresh) remove() error {
	err := os.RemoveAll(f.path)
	if f.hold != nil {
		err = errors.Join(err, f.hold.Close())
		f.hold = nil
	}
	return err
}
