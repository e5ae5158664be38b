package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"mutewright/design"
	"mutewright/render/report"
)

// glance is how often a watched plan is looked at.
const glance = 250 * time.Millisecond

// watch checks a plan, and again whenever its file is saved, until it is
// interrupted. What is wrong with a plan between two saves is printed, and so is
// every other trouble after the first time. An editor that saves by renaming leaves
// the file away for a moment: that is no news.
func (c *call) watch() (int, error) {
	name := c.args[0]
	switch {
	case name == "-":
		return 0, c.misuse(errors.New("--watch needs a file, not standard input"))
	case c.options.output != "" || c.options.format != "text":
		return 0, c.misuse(errors.New("--watch prints text to standard output; leave -o and --format out"))
	}
	var seen []byte
	var last *design.Design
	ticks := time.NewTicker(glance)
	defer ticks.Stop()
	for first := true; ; first = false {
		data, err := os.ReadFile(name)
		switch {
		case first && err != nil:
			return 0, &trouble{status: failed, err: fmt.Errorf("read %s: %w", name, cause(err))}
		case errors.Is(err, fs.ErrNotExist) || err == nil && !first && bytes.Equal(data, seen):
		default:
			seen = data
			if last, err = c.again(name, last); err != nil {
				return 0, err
			}
		}
		select {
		case <-c.stop:
			return interrupted, nil
		case <-ticks.C:
		}
	}
}

// again checks a plan once more and prints the report with what has changed since
// last, nil at first. It returns the last design that could be worked out. The error
// is one of writing.
func (c *call) again(name string, last *design.Design) (*design.Design, error) {
	c.out.Reset()
	c.inputs = nil
	d, err := c.design(name)
	if err != nil {
		c.complain(err)
		return last, nil
	}
	w := c.text()
	err = report.Check(w, d)
	if err == nil && last != nil {
		err = report.Changed(w, last, d)
	}
	if err != nil {
		return last, err
	}
	fmt.Fprintf(&c.out, "\nWatching %s; interrupt ends it.\n\n", name)
	err = c.deliver()
	c.out.Reset()
	return d, err
}
