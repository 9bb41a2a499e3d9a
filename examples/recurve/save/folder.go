package save

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// ErrFolder is wrapped by every refusal of a folder for the results.
var ErrFolder = errors.New("folder for the results")

// Options say what a folder may hold already.
type Options struct {
	// Own tells the files that a run of the same program leaves, by their path inside
	// the folder with slashes. A folder that holds anything else is refused.
	Own func(name string) bool
	// Replace lets the folder take the place of an earlier one with Own files.
	Replace bool
	// Advice follows the refusal of a folder that exists and may not be replaced.
	Advice string
	// Read are the files that the program has read. They are never written over.
	Read []string
}

// Folder is a folder that is claimed for results.
type Folder struct {
	path  string // absolute
	fresh *fresh // where the results are written first
	made  bool   // by Open
	claim *os.File
	o     Options
}

// Open claims a folder for results, makes it if it is not there, and tries whether it
// can be written. Call [Folder.Close] in the end.
func Open(path string, o Options) (*Folder, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, refuse(path, "%w", err)
	}
	f := &Folder{path: path, o: o}
	for _, step := range []func() error{f.claimIt, f.judge, f.try} {
		if err := step(); err != nil {
			return nil, errors.Join(err, f.Close())
		}
	}
	return f, nil
}

// claimIt makes the folder if it is not there, and locks it.
func (f *Folder) claimIt() error {
	path := f.path
	if err := f.recover(); err != nil {
		return refuse(path, "%w", err)
	}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		// Folders around it that are missing are made too, and stay.
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return refuse(path, "%w", err)
		}
		if err := os.Mkdir(path, 0o755); err != nil {
			return refuse(path, "%w", err)
		}
		f.made = true
	case err != nil:
		return refuse(path, "%w", err)
	case !info.IsDir():
		return refuse(path, "is a file or a link, not a folder for the results")
	}
	if f.claim, err = os.Open(path); err != nil {
		return refuse(path, "%w", err)
	}
	if err := lock(f.claim); err != nil {
		return refuse(path, "another run is writing there")
	}
	return nil
}

// oldSuffix ends the name of a folder that gives way to another.
const oldSuffix = "-old"

// recover puts back what a run that was killed between the two steps of its swap had
// moved aside, where nothing has come in its place.
func (f *Folder) recover() error {
	if _, err := os.Lstat(f.path); !errors.Is(err, fs.ErrNotExist) {
		return nil // it is there, or the next step says why it cannot be looked at
	}
	entries, err := os.ReadDir(filepath.Dir(f.path))
	if err != nil {
		return nil // nor is what it stands in
	}
	for _, e := range entries {
		name := e.Name()
		aside := strings.HasPrefix(name, "."+filepath.Base(f.path)+unfinished) && strings.HasSuffix(name, oldSuffix)
		if aside && e.IsDir() {
			return os.Rename(filepath.Join(filepath.Dir(f.path), name), f.path)
		}
	}
	return nil
}

func refuse(path, format string, args ...any) error {
	return fmt.Errorf("%w: %s: %w", ErrFolder, quoted(path), fmt.Errorf(format, args...))
}

// quoted is a path as a message shows it: in quotes where it holds what does not
// print.
func quoted(path string) string {
	for _, c := range path {
		if !strconv.IsPrint(c) {
			return strconv.Quote(path)
		}
	}
	return path
}

// judge looks at what the folder holds.
func (f *Folder) judge() error {
	var inputs []fs.FileInfo
	for _, name := range f.o.Read {
		if info, err := os.Stat(name); err == nil {
			inputs = append(inputs, info)
		}
	}
	return filepath.WalkDir(f.path, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return refuse(f.path, "%w", err)
		}
		if d.IsDir() {
			return nil
		}
		name, err := filepath.Rel(f.path, path)
		if err != nil {
			return refuse(f.path, "%w", err)
		}
		info, err := d.Info()
		if err != nil {
			return refuse(f.path, "%w", err)
		}
		switch {
		case slices.ContainsFunc(inputs, func(in fs.FileInfo) bool { return os.SameFile(in, info) }):
			return refuse(f.path, "holds %s, which was read; name another folder", quoted(name))
		case !d.Type().IsRegular() || f.o.Own == nil || !f.o.Own(filepath.ToSlash(name)):
			return refuse(f.path, "holds %s, which is no result; name another folder, or a new one inside it", quoted(name))
		case !f.o.Replace:
			return refuse(f.path, "%s exists%s", quoted(name), f.o.Advice)
		}
		return nil
	})
}

// try makes the fresh folder and writes to it.
func (f *Folder) try() (err error) {
	if f.fresh, err = newFresh(filepath.Dir(f.path), "."+filepath.Base(f.path)); err != nil {
		return refuse(f.path, "cannot be written beside: %w", err)
	}
	probe := filepath.Join(f.fresh.path, "probe")
	if err := write(probe, []byte("probe")); err != nil {
		return refuse(f.path, "cannot be written: %w", err)
	}
	if err := os.Remove(probe); err != nil {
		return refuse(f.path, "%w", err)
	}
	return nil
}

// Save writes the files, by their paths inside the folder with slashes, and puts them
// in place all at once. On an error the folder is as it was.
func (f *Folder) Save(files map[string][]byte) error {
	for name, data := range files {
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			return refuse(f.path, "%q does not lie inside it", name)
		}
		to := filepath.Join(f.fresh.path, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return refuse(f.path, "%w", err)
		}
		if err := write(to, data); err != nil {
			return refuse(f.path, "%w", err)
		}
	}
	if err := os.Chmod(f.fresh.path, 0o755); err != nil {
		return refuse(f.path, "%w", err)
	}
	return f.swap()
}

// swap puts the fresh folder in the place of the claimed one. What came into that in
// the meantime is not thrown away.
func (f *Folder) swap() error {
	now, err := os.Lstat(f.path)
	if err != nil {
		return refuse(f.path, "%w", err)
	}
	then, err := f.claim.Stat()
	if err != nil {
		return refuse(f.path, "%w", err)
	}
	if !os.SameFile(now, then) {
		return refuse(f.path, "another run has written there meanwhile")
	}
	if err := f.judge(); err != nil {
		return err
	}
	if !locks { // such systems do not rename a folder that is open
		err := errors.Join(f.fresh.release(), f.claim.Close())
		if f.claim = nil; err != nil {
			return refuse(f.path, "%w", err)
		}
	}
	// An empty folder gives way in one step, or is taken away first.
	old := ""
	if err := os.Rename(f.fresh.path, f.path); err != nil {
		old = f.fresh.path + oldSuffix
		if err := os.Rename(f.path, old); err != nil {
			return refuse(f.path, "%w", err)
		}
		if err := os.Rename(f.fresh.path, f.path); err != nil {
			return errors.Join(refuse(f.path, "%w", err), os.Rename(old, f.path))
		}
	}
	was := f.fresh
	f.fresh, f.made = nil, false
	if old == "" {
		return was.release()
	}
	// Under its first name it is never put back: what is being removed is not whole.
	return errors.Join(was.release(), os.Rename(old, was.path), os.RemoveAll(was.path))
}

// Close gives the folder up. What [Folder.Save] did not put in place is taken away
// again.
func (f *Folder) Close() error {
	var errs []error
	if f.fresh != nil {
		errs = append(errs, f.fresh.remove())
		f.fresh = nil
	}
	if f.made {
		// It is empty unless somebody put something there, and then it stays.
		if left, err := os.ReadDir(f.path); err == nil && len(left) == 0 {
			errs = append(errs, os.Remove(f.path))
		}
		f.made = false
	}
	if f.claim != nil {
		errs = append(errs, f.claim.Close())
		f.claim = nil
	}
	return errors.Join(errs...)
}

// write makes a new file and has it on the disk before it returns.
func write(path string, data []byte) error {
	ignoreSizeSignal()
	file, err := create(path)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	return errors.Join(err, file.Sync(), file.Close())
}

// output is a file that is being written.
type output interface {
	io.WriteCloser
	Sync() error
}

// create makes a new file; a test puts one that fails in its place.
var create = func(path string) (output, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
}
