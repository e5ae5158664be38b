//go:build !linux

package cli

import "os"

// startedClosed is not told apart from the null device here.
func startedClosed(*os.File) bool { return false }
