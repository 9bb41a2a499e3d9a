//go:build linux

package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// asProgram makes the test program run as recurve itself.
const asProgram = "BOBWEIGHT_RUN_RECURVE"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// interrupted starts the program, sends it the signal a while after ready says so, and
// returns what it printed and said and how long it took to end.
func interrupted(t *testing.T, by os.Signal, ready func() bool, while time.Duration, args ...string) (printed, said string, took time.Duration) {
	t.Helper()
	c := exec.Command(os.Args[0], args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	var out, problems bytes.Buffer
	c.Stdout, c.Stderr = &out, &problems
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	for range 1000 {
		if ready() {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	// Nothing outside tells how far the other process has got, so the callers that need
	// it at work try one while after the other.
	time.Sleep(while)
	begin := time.Now()
	if err := c.Process.Signal(by); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	select {
	case err := <-ended:
		if err == nil {
			t.Error("the program ended as if nothing had happened")
		}
	case <-time.After(30 * time.Second):
		c.Process.Kill()
		t.Fatal("the program does not end")
	}
	return out.String(), problems.String(), time.Since(begin)
}

// A pipe that nobody writes to does not hold the program.
func TestInterruptedWhileReading(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "job.json")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- run(ctx, []string{"-job", pipe}, io.Discard, io.Discard) }()
	time.Sleep(50 * time.Millisecond)
	stop()
	select {
	case err := <-ended:
		if err == nil || !strings.Contains(err.Error(), "interrupted while it was read") {
			t.Errorf("error is %v", err)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("the program does not end")
	}
}

// In the middle of the work the program says how far it came and what is known, and
// leaves no folder.
func TestInterruptedAtWork(t *testing.T) {
	for _, by := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		dir := t.TempDir()
		out := filepath.Join(dir, "out")
		var printed string
		// How soon something is known depends on the machine and on what else it does.
		for while := 100 * time.Millisecond; printed == "" && while < 10*time.Second; while *= 2 {
			var said string
			var took time.Duration
			printed, said, took = interrupted(t, by, func() bool { _, err := os.Stat(out); return err == nil }, while, "-out", out)
			t.Logf("ended after %v: %s", took, said)
			if !strings.Contains(said, "interrupted at") || !strings.Contains(said, "nothing is written") {
				t.Errorf("%v: said %q", by, said)
			}
		}
		if !strings.HasPrefix(printed, "Demo: farm lorry") {
			t.Errorf("%v: printed is %q", by, printed)
		}
		if entries, err := os.ReadDir(dir); err != nil || len(entries) != 0 {
			t.Errorf("%v: left %v, error %v", by, entries, err)
		}
	}
}
