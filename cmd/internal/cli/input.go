package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// largest is how much of an input is read at all: one byte more than the
// reader of plans accepts, so that it can say so.
const largest = 1<<20 + 1

// read returns the content of a file; "-" is standard input.
func (c *call) read(name string) ([]byte, error) {
	if name == "-" {
		return c.readStdin()
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, cause(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, fmt.Errorf("read %s: %w", name, cause(err))
	case info.IsDir():
		return nil, fmt.Errorf("read %s: it is a directory", name)
	}
	c.inputs = append(c.inputs, info)
	data, err := io.ReadAll(io.LimitReader(f, largest))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, cause(err))
	}
	return data, nil
}

func (c *call) readStdin() ([]byte, error) {
	if c.stdinTaken {
		return nil, c.misuse(errors.New("standard input can be read only once"))
	}
	c.stdinTaken = true
	if f, ok := c.stdin.(*os.File); ok {
		if info, err := f.Stat(); err == nil {
			c.inputs = append(c.inputs, info)
		}
	}
	data, err := io.ReadAll(io.LimitReader(c.stdin, largest))
	if err != nil {
		return nil, fmt.Errorf("read standard input: %w", cause(err))
	}
	return data, nil
}
