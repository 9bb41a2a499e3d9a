//go:build linux

package save_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.org/bobweight/examples/recurve/save"
)

// The test program itself is the program that is killed: with this in its
// environment it saves, and nothing else.
const child = "BOBWEIGHT_SAVE_TO"

func TestMain(m *testing.M) {
	path := os.Getenv(child)
	if path == "" {
		os.Exit(m.Run())
	}
	if os.Getenv(child+"_SMALL") != "" {
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 1000, Max: 1000}); err != nil {
			panic(err)
		}
	}
	f, err := save.Open(path, save.Options{Own: own, Replace: true})
	if err == nil {
		fmt.Println("claimed")
		err = errors.Join(f.Save(large("new")), f.Close())
	}
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(0)
}

// large is a result that takes a while to write.
func large(text string) map[string][]byte { return result(strings.Repeat(text, 1<<20)) }

func program(path string, more ...string) (*exec.Cmd, *bytes.Buffer) {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), append(more, child+"="+path)...)
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	return c, &out
}

// Killed at any moment, a program leaves the folder as it was or whole, and does not
// block the next run.
func TestKilled(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	for i := range 12 {
		c, _ := program(path)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(i) * 2 * time.Millisecond)
		if err := c.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
		c.Wait()
		if entries, err := os.ReadDir(path); err == nil && len(entries) > 0 {
			holds(t, path, large("new"))
		}
	}
	c, out := program(path)
	if err := c.Run(); err != nil {
		t.Fatalf("the run after those that were killed: %v, %s", err, out)
	}
	holds(t, path, large("new"))
	// Nothing unfinished is left of those that were killed.
	if names, err := filepath.Glob(filepath.Join(dir, ".out-*")); err != nil || len(names) > 0 {
		t.Errorf("left are %q, error %v", names, err)
	}
}

// A fresh folder whose program was killed is taken away by the next run; a folder of
// such a name that is somebody's own, or in which another program works, stays.
func TestStaleFolders(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	left := func() []string {
		names, err := filepath.Glob(filepath.Join(dir, ".out-*"))
		if err != nil {
			t.Fatal(err)
		}
		return names
	}
	// A program may be whole before it is killed, so that the next one is tried. Another
	// process is waited for, which tells no one when its folder is there: hence the pauses.
	for tried := 0; len(left()) == 0; tried++ {
		if tried == 50 {
			t.Fatal("no program was killed while it wrote")
		}
		c, _ := program(path)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		for range 1000 {
			if len(left()) > 0 {
				break
			}
			time.Sleep(time.Millisecond)
		}
		c.Process.Kill()
		c.Wait()
	}
	put(t, filepath.Join(dir, ".out-unfinished-17-old", "a.txt"), "")  // gave way, its run was killed before it was removed
	put(t, filepath.Join(dir, ".out-unfinished-18", "a.txt"), "whole") // its run was killed before it was put in place
	// Its run was killed in the moment after it was made.
	if err := os.Mkdir(filepath.Join(dir, ".out-unfinished-19"), 0o700); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, ".out-2024", "letter.txt"), "dear") // no names of ours
	put(t, filepath.Join(dir, ".out-unfinished-letters", "letter.txt"), "dear")
	at, err := save.Open(path, save.Options{Own: own, Replace: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := at.Close(); err != nil {
		t.Fatal(err)
	}
	got := left()
	want := []string{filepath.Join(dir, ".out-2024"), filepath.Join(dir, ".out-unfinished-letters")}
	if !slices.Equal(got, want) {
		t.Errorf("left are %q, want %q", got, want)
	}
	work := filepath.Join(dir, ".out-unfinished-77") // of a program that works
	put(t, filepath.Join(work, "a.txt"), "")
	held, err := os.Open(work)
	if err != nil {
		t.Fatal(err)
	}
	defer held.Close()
	if err := syscall.Flock(int(held.Fd()), syscall.LOCK_EX); err != nil {
		t.Fatal(err)
	}
	if at, err = save.Open(path, save.Options{Own: own, Replace: true}); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(at.Save(result("new")), at.Close()); err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(left(), work) {
		t.Error("a folder in which another program works is gone")
	}
}

// Beyond the limit on the size of a file nothing appears, and the limit is named.
func TestSizeLimit(t *testing.T) {
	dir := t.TempDir()
	c, out := program(filepath.Join(dir, "out"), child+"_SMALL=1")
	if err := c.Run(); err == nil || !strings.Contains(out.String(), "file too large") {
		t.Errorf("error is %v, said %q", err, out)
	}
	only(t, dir)
}

// On a full disk nothing appears. The disk is a small one of this process's own,
// where the system lets one be made.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Logf("no small disk can be made here (%v); the limit on the size of a file stands for it", err)
		return
	}
	defer syscall.Unmount(dir, syscall.MNT_DETACH)
	c, out := program(filepath.Join(dir, "out"))
	if err := c.Run(); err == nil || !strings.Contains(out.String(), "no space left") {
		t.Errorf("error is %v, said %q", err, out)
	}
	only(t, dir)
}

// Of two programs that want one folder at a time the later is refused.
func TestTwoRuns(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	f, err := save.Open(path, save.Options{Own: own})
	if err != nil {
		t.Fatal(err)
	}
	c, out := program(path)
	if err := c.Run(); err == nil || !strings.Contains(out.String(), "another run is writing there") {
		t.Errorf("error is %v, said %q", err, out)
	}
	if err := errors.Join(f.Save(result("first")), f.Close()); err != nil {
		t.Fatal(err)
	}
	holds(t, path, result("first"))
}

// A folder that cannot be written is known before there is anything to save.
func TestTriedBefore(t *testing.T) {
	if os.Getuid() == 0 {
		// For the superuser permissions are no obstacle: /proc is one.
		if _, err := save.Open("/proc/bobweight/out", save.Options{}); !errors.Is(err, save.ErrFolder) {
			t.Errorf("error is %v", err)
		}
		return
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	if _, err := save.Open(filepath.Join(dir, "out"), save.Options{}); !errors.Is(err, save.ErrFolder) {
		t.Errorf("error is %v", err)
	}
}
