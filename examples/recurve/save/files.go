package save

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Files writes files into a folder that may hold other things; it makes the folder if
// need be. Each is written under a name of its own first, all of them before the
// first is put in place. A file of the same name is replaced, a link of that name is
// not followed, and a folder of that name is refused.
func Files(folder string, files map[string][]byte) (err error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("%w: %w", ErrFolder, err)
	}
	fresh, err := newFresh(folder, ".new")
	if err != nil {
		return fmt.Errorf("%w: %w", ErrFolder, err)
	}
	defer func() { err = errors.Join(err, fresh.remove()) }()
	var names []string
	for name, data := range files {
		if filepath.Base(name) != name || !filepath.IsLocal(name) {
			return refuse(folder, "%q is no name of a file", name)
		}
		if info, err := os.Lstat(filepath.Join(folder, name)); err == nil && info.IsDir() {
			return refuse(folder, "%s is a folder and stands in the way", name)
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return refuse(folder, "%w", err)
		}
		if err := write(filepath.Join(fresh.path, name), data); err != nil {
			return refuse(folder, "%w", err)
		}
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if err := os.Rename(filepath.Join(fresh.path, name), filepath.Join(folder, name)); err != nil {
			return refuse(folder, "%w", err)
		}
	}
	return nil
}
