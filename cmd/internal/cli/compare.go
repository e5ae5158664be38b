package cli

import "mutewright/render/report"

func compareVerb() *verb {
	return &verb{
		name:      "compare",
		arguments: "A B",
		does:      "put two plans side by side: what differs between them",
		more: `
Findings that only one of them has, then what the program chose for each, marked
where it differs, then every quantity that prints differently, side by side.
--set overrides the same value in both plans. csv and json hold all quantities
of both.`,
		examples: []example{
			{`mutewright compare before.yaml plan.yaml`, "what a change has done"},
			{`mutewright compare before.yaml plan.yaml --format csv -o both.csv`, "all quantities of both, for a spreadsheet"},
		},
		least: 2, most: 2,
		options: append([]string{"format"}, readsPlan...),
		formats: []string{"text", "json", "csv"},
		run:     compare,
	}
}

func compare(c *call) (int, error) {
	a, err := c.design(c.args[0])
	if err != nil {
		return 0, err
	}
	b, err := c.design(c.args[1])
	if err != nil {
		return 0, err
	}
	switch c.options.format {
	case "json":
		err = report.CompareJSON(&c.out, program, a, b)
	case "csv":
		err = report.CompareCSV(&c.out, a, b)
	default:
		err = report.Compare(c.text(), a, b)
	}
	return done, err
}
