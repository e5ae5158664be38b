package cli

func diagramVerb() *verb {
	return &verb{
		name:      "diagram",
		arguments: "PLAN",
		does:      "write the wiring diagram as SVG",
		more: `
With series heaters (isolation: none) nothing is written and the status is 1.`,
		least: 1, most: 1,
		options: append([]string{"paper"}, readsPlan...),
		run:     diagram,
	}
}

func diagram(*call) (int, error) { return 0, errNotWritten }
