package cli

import (
	"errors"

	"mutewright/render/report"
)

func whyVerb() *verb {
	return &verb{
		name:      "why",
		arguments: "PLAN NAME",
		does:      "show how a number or a finding came about",
		more: `
NAME is a quantity (drive.coil.voltage), the id of a finding (return.heater_cathode), or the key path
of a value that was chosen or assumed (relay.dropper).`,
		least: 2, most: 2,
		options: append([]string{"format"}, readsPlan...),
		formats: []string{"text", "json"},
		run:     why,
	}
}

func why(c *call) (int, error) {
	d, err := c.design(c.args[0])
	if err != nil {
		return 0, err
	}
	if c.options.format == "json" {
		err = report.WhyJSON(&c.out, program, d, c.args[1])
	} else {
		err = report.Why(c.text(), d, c.args[1])
	}
	if unknown := new(report.UnknownName); errors.As(err, &unknown) {
		return 0, &trouble{status: wrong, err: unknown, hint: "mutewright check PLAN --format csv lists all quantities"}
	}
	return done, err
}
