// Command mutewright plans a muting interface for a vacuum-tube receiver and
// draws the wiring sheet for it.
package main

import (
	"os"
	"os/signal"
	"syscall"

	"mutewright/cmd/internal/cli"
)

func main() {
	// A reader that went away is a failed write like any other: status 3.
	signal.Ignore(syscall.SIGPIPE)
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
