package cli

import (
	"errors"
	"fmt"
	"io/fs"

	"mutewright/design"
	"mutewright/design/plan"
)

// plan reads the plan of a file with the settings of --set laid over it. What is wrong with it
// is printed as it is: file, line, column, key path, a line each.
func (c *call) plan(name string) (*plan.Plan, error) {
	cat, err := c.catalogue()
	if err != nil {
		return nil, err
	}
	data, err := c.read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &trouble{status: failed, err: err, hint: "mutewright new -o plan.yaml writes a plan to start from"}
	}
	if err != nil {
		return nil, err
	}
	p, err := plan.Read(name, data, cat, c.options.set...)
	if err != nil {
		return nil, &trouble{status: wrong, err: err, plain: true}
	}
	return p, nil
}

// design reads a plan and works it out.
func (c *call) design(name string) (*design.Design, error) {
	p, err := c.plan(name)
	if err != nil {
		return nil, err
	}
	cat, err := c.catalogue()
	if err != nil {
		return nil, err
	}
	d, err := design.New(p, cat)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return d, nil
}
