package cli

import "errors"

func sheetVerb() *verb {
	return &verb{
		name:      "sheet",
		arguments: "PLAN -o FILE",
		does:      "write the wiring sheet that is taped inside the cabinet, as PDF",
		more: `
The verdict stands on the sheet. With series heaters (isolation: none) nothing is written and the
status is 1.`,
		least: 1, most: 1,
		options: append([]string{"paper", "pages", "strict"}, readsPlan...),
		run:     sheet,
	}
}

func sheet(c *call) (int, error) {
	if c.options.output == "" {
		return 0, c.misuse(errors.New("-o FILE is missing"))
	}
	return 0, errNotWritten
}
