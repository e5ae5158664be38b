package cli

import (
	"os"
	"syscall"
)

// startedClosed tells whether f, one of the three standard files, was closed when
// the program began. The Go runtime then opens the null device in its place, for
// reading and writing, which > /dev/null does not.
func startedClosed(f *os.File) bool {
	null, err := os.Stat(os.DevNull)
	if err != nil {
		return false
	}
	info, err := f.Stat()
	if err != nil || !os.SameFile(info, null) {
		return false
	}
	flags, _, failed := syscall.Syscall(syscall.SYS_FCNTL, f.Fd(), syscall.F_GETFL, 0)
	return failed == 0 && flags&syscall.O_ACCMODE == syscall.O_RDWR
}
