package cli

import (
	"errors"

	"mutewright/render/report"
)

func whyVerb() *verb {
	return &verb{
		name:      "why",
		arguments: "PLAN [NAME]",
		does:      "show how a number or a finding came about",
		more: `
NAME is a quantity (drive.coil.voltage), the id of a finding
(return.heater_cathode), or the key path of a value that was chosen or assumed
(relay.dropper). Without a name everything that can be asked is listed.

Of a quantity: what it is held against, the formula, the values on the way, the
corner that sets each end, what would move it most, and every number that went
in with its line in the plan, its catalogue entry or the reason it was assumed.`,
		examples: []example{
			{`mutewright why plan.yaml`, "all that can be asked"},
			{`mutewright why plan.yaml return.mute_line.muted`, "how a quantity came about"},
			{`mutewright why plan.yaml drive.operate`, "what a finding hangs on"},
			{`mutewright why plan.yaml relay.dropper`, "why a value was chosen"},
		},
		least: 1, most: 2,
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
	switch {
	case len(c.args) == 1 && c.options.format == "json":
		err = report.WhyNamesJSON(&c.out, program, d)
	case len(c.args) == 1:
		err = report.WhyNames(c.text(), d)
	case c.options.format == "json":
		err = report.WhyJSON(&c.out, program, d, c.args[1])
	default:
		err = report.Why(c.text(), d, c.args[1])
	}
	if unknown := new(report.UnknownName); errors.As(err, &unknown) {
		return 0, &trouble{status: wrong, err: unknown, hint: "mutewright why " + c.args[0] + " lists all that can be asked"}
	}
	return done, err
}
