package save

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
)

// unfinished stands in the name of every fresh folder, before its number. The name alone
// says that the folder may be deleted: it has it from the moment when it is there.
const unfinished = "-unfinished-"

// fresh is a folder of this process's own in which results are written first.
type fresh struct {
	path string
	hold *os.File // locked for as long as the process works in it
}

// newFresh makes one with a name that nobody has, and takes away what a process that
// is no more has left under such a name.
func newFresh(folder, prefix string) (*fresh, error) {
	prefix += unfinished
	if err := sweep(folder, prefix); err != nil {
		return nil, err
	}
	// Another process may take the folder for one that was left, before it is locked.
	const tries = 20
	for range tries {
		path, err := os.MkdirTemp(folder, prefix+"*")
		if err != nil {
			return nil, err
		}
		if f := (&fresh{path: path}); f.locked() {
			return f, nil
		}
	}
	return nil, errors.New("other programs take each new folder away")
}

// locked locks the folder and reports whether it is still there then.
func (f *fresh) locked() bool {
	held, err := os.Open(f.path)
	if err != nil {
		return false
	}
	if lock(held) == nil {
		was, err := held.Stat()
		is, err2 := os.Lstat(f.path)
		if err == nil && err2 == nil && os.SameFile(was, is) {
			f.hold = held
			return true
		}
	}
	held.Close() // nothing was written
	return false
}

// sweep removes the fresh folders that nobody works in any more: their name is one that
// this package gives, and no process holds their lock. Where there are no locks none is
// known to be left, and all stay.
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

// release gives the lock up.
func (f *fresh) release() error {
	if f.hold == nil {
		return nil
	}
	err := f.hold.Close()
	f.hold = nil
	return err
}

// remove takes the folder away with all that it holds.
func (f *fresh) remove() error { return errors.Join(os.RemoveAll(f.path), f.release()) }
