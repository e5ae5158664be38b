package cli

import (
	"mutewright/render/sheet"
	"mutewright/render/svg"
)

func diagramVerb() *verb {
	return &verb{
		name:      "diagram",
		arguments: "PLAN",
		does:      "write the wiring diagram as SVG",
		more: `
With --timing it is the timing diagram: key, RF, coils, contacts, lifted nodes
and depth of one transmission in the nominal case. With series heaters
(isolation: none) nothing is written and the status is 1.`,
		examples: []example{
			{`mutewright diagram plan.yaml -o wiring.svg`, "the wiring diagram"},
			{`mutewright diagram plan.yaml --timing -o timing.svg`, "one transmission in time"},
		},
		least: 1, most: 1,
		options: append([]string{"paper", "timing"}, readsPlan...),
		run:     diagram,
	}
}

func diagram(c *call) (int, error) {
	d, err := c.design(c.args[0])
	if err != nil {
		return 0, err
	}
	draw := sheet.Diagram
	if c.options.timing {
		draw = sheet.Timing
	}
	page, err := draw(d, c.paper())
	if err != nil {
		return 0, refusedOr(c.args[0], err)
	}
	return done, svg.Write(&c.out, d.Title, page)
}
