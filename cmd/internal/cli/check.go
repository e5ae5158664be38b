package cli

import (
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/render/report"
)

// readsPlan are the options of every verb that reads a plan.
var readsPlan = []string{"set", "catalog", "output"}

func checkVerb() *verb {
	return &verb{
		name:      "check",
		arguments: "PLAN",
		does:      "work a plan out and judge it",
		more: `
The verdict stands in the first line: good, caution, fail or danger. Then
findings, worst first, each with what to do and its source; the numbers that
decide, with low and high over everything that is uncertain; what was chosen,
what was assumed, what to measure first, and the readings to take.

csv writes all quantities; json is the whole result. --watch stays and prints
again whenever the plan is saved, with what changed ("was 14.2 V, now 12.9 V");
an interrupt ends it.`,
		examples: []example{
			{`mutewright check plan.yaml`, "judge a plan"},
			{`mutewright check plan.yaml --set relay.dropper="220 ohm"`, "the same with another dropper; the file stays as it is"},
			{`mutewright check plan.yaml --format json -o result.json`, "the whole result, for scripts"},
		},
		least: 1, most: 1,
		options: append([]string{"format", "watch"}, readsPlan...),
		formats: []string{"text", "json", "csv"},
		run:     check,
	}
}

func check(c *call) (int, error) {
	if c.options.watch {
		return c.watch()
	}
	d, err := c.design(c.args[0])
	if err != nil {
		return 0, err
	}
	switch c.options.format {
	case "json":
		err = report.CheckJSON(&c.out, program, d)
	case "csv":
		err = report.QuantitiesCSV(&c.out, d.Quantities.All())
	default:
		err = report.Check(c.text(), d)
	}
	return verdictStatus(d), err
}

// verdictStatus is the exit status of a judgement.
func verdictStatus(d *design.Design) int {
	if d.Verdict >= finding.Fail {
		return judged
	}
	return done
}
