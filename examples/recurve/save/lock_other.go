//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package save

import "os"

const locks = false

// lock does nothing where folders cannot be locked: a second run is seen when it saves.
func lock(*os.File) error { return nil }

func ignoreSizeSignal() {}
