//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package save

import (
	"os"
	"os/signal"
	"syscall"
)

// locks tells whether a folder can be claimed on this system.
const locks = true

// lock claims an open folder for this process until it is closed.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

// ignoreSizeSignal has a write beyond the limit on file sizes fail instead of ending
// the program.
func ignoreSizeSignal() { signal.Ignore(syscall.SIGXFSZ) }
