// Package cli is the command line of mutewright: its verbs, its options, what
// it prints and with which status it ends. It computes nothing itself.
package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"sync"

	"mutewright/catalog"
	"mutewright/render/report"
)

// Version is the version of the program; results name it.
const Version = "0.1.0"

// program is what results and --version call the program.
const program = "mutewright " + Version

// The exit statuses, part of the contract with scripts.
const (
	done        = 0   // and, for check and mains, the verdict is good or caution
	judged      = 1   // fail, danger, nothing serves, refused
	wrong       = 2   // command line, plan or catalogue file
	failed      = 3   // reading, writing or solving
	interrupted = 130 // SIGINT
)

// A call is one command line taken apart, and what its verb makes of it. A verb
// leaves everything in out: nothing is written before all of it exists.
type call struct {
	verb    *verb
	args    []string // behind the verb
	options options

	stdin          io.Reader
	stdout, stderr io.Writer
	inputs         []os.FileInfo // files read; none of them may be written onto
	stdinTaken     bool
	known          *catalog.Catalog // with the file of --catalog, once it is read

	stop chan struct{} // closed when the call is interrupted

	out  bytes.Buffer
	file sync.Mutex // held while a file is written and renamed
}

// gcPercent is how much the heap may grow before it is collected, in percent. One
// run lives for a second; collecting its matrices at the usual 100 % takes a fifth
// of that second. mostMemory in bytes is where they are collected all the same:
// what a run holds on to is a third of that.
const (
	gcPercent  = 400
	mostMemory = 44 << 20
)

// Main runs one command line (without the program's name) and returns the exit
// status.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	debug.SetGCPercent(gcPercent)
	debug.SetMemoryLimit(mostMemory)
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	defer signal.Stop(interrupts)

	c := &call{stdin: stdin, stdout: stdout, stderr: stderr, stop: make(chan struct{})}
	ended := make(chan int, 1)
	go func() { ended <- c.run(args) }()
	select {
	case status := <-ended:
		return status
	case <-interrupts:
		close(c.stop)
		c.file.Lock() // a file that is being written is finished first
		return interrupted
	}
}

// run parses, lets the verb work, and writes what it left.
func (c *call) run(args []string) int {
	status, err := c.work(args)
	if err != nil {
		return c.complain(err)
	}
	if err := c.deliver(); err != nil {
		return c.complain(err)
	}
	return status
}

func (c *call) work(args []string) (status int, err error) {
	if err := c.parse(args); err != nil {
		return 0, err
	}
	return c.verb.run(c)
}

// A trouble is an error that knows its exit status and what to try next.
type trouble struct {
	status int
	err    error
	hint   string // "" or the next thing to try
	usage  *verb  // its usage line is printed too
	plain  bool   // the error's lines are printed as they are
}

func (t *trouble) Error() string { return t.err.Error() }
func (t *trouble) Unwrap() error { return t.err }

// complain prints an error and returns its status.
func (c *call) complain(err error) int {
	t := &trouble{status: failed, err: err}
	errors.As(err, &t)
	var b strings.Builder
	if t.plain {
		b.WriteString(strings.TrimRight(t.Error(), "\n") + "\n")
	} else {
		fmt.Fprintf(&b, "mutewright: %v\n", t.err)
	}
	if t.hint != "" {
		fmt.Fprintf(&b, "hint: %s\n", t.hint)
	}
	if t.usage != nil {
		fmt.Fprintf(&b, "usage: %s\n", t.usage.synopsis())
	}
	for line := range strings.Lines(b.String()) {
		// Nobody is left to tell when stderr cannot be written.
		_, _ = fmt.Fprintln(c.stderr, report.Harmless(strings.TrimSuffix(line, "\n")))
	}
	return t.status
}
