package cli

import (
	"errors"

	"mutewright/design"
)

// errNotWritten stands for what the program cannot do yet.
var errNotWritten = errors.New("not written yet")

// design reads a plan and works it out.
func (c *call) design(name string) (*design.Design, error) {
	if _, err := c.read(name); err != nil {
		return nil, err
	}
	return nil, errNotWritten
}
