package cli

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"mutewright/design"
	"mutewright/design/beside"
	"mutewright/design/finding"
	"mutewright/render/pdf"
	"mutewright/render/sheet"
)

func sheetVerb() *verb {
	return &verb{
		name:      "sheet",
		arguments: "PLAN -o FILE",
		does:      "write the wiring sheet that is taped inside the cabinet, as PDF",
		more: `
The verdict stands on the sheet. --with relays adds the relays of the catalogue,
ranked for this plan with their margins as bars. With series heaters (isolation:
none) nothing is written and the status is 1.`,
		examples: []example{
			{`mutewright sheet plan.yaml -o sheet.pdf`, "all pages, A4"},
			{`mutewright sheet plan.yaml -o sheet.pdf --paper letter --pages 1`, "the first page alone, on letter paper"},
			{`mutewright sheet plan.yaml -o sheet.pdf --strict`, "status 1 if the plan fails; the sheet is written all the same"},
		},
		least: 1, most: 1,
		options: append([]string{"paper", "pages", "with", "strict"}, readsPlan...),
		run:     writeSheet,
	}
}

func writeSheet(c *call) (int, error) {
	if c.options.output == "" {
		return 0, c.misuse(errors.New("-o FILE is missing"))
	}
	wanted, err := parsePages(c.options.pages)
	if err != nil {
		return 0, c.misuse(err)
	}
	var printer *pdf.Printer
	loaded := beside.Start(func() error { printer = pdf.Load(); return nil })
	d, err := c.design(c.args[0])
	if err != nil {
		return 0, err
	}
	ranked, err := c.ranked(d)
	if err != nil {
		return 0, err
	}
	document, err := sheet.Compose(d, c.paper(), program, ranked...)
	if err != nil {
		return 0, refusedOr(c.args[0], err)
	}
	if document.Pages, err = only(document.Pages, wanted); err != nil {
		return 0, c.misuse(err)
	}
	if err := loaded(); err != nil {
		return 0, err
	}
	if err := printer.Write(&c.out, document); err != nil {
		return 0, err
	}
	if c.options.strict && d.Verdict >= finding.Fail {
		return judged, nil
	}
	return done, nil
}

// ranked are the relays for the sheet, where they are wanted.
func (c *call) ranked(d *design.Design) ([]*design.Ranking, error) {
	if c.options.with != "relays" || d.Refused {
		return nil, nil
	}
	p, err := c.plan(c.args[0])
	if err != nil {
		return nil, err
	}
	cat, err := c.catalogue()
	if err != nil {
		return nil, err
	}
	list, err := design.Rank(p, cat, c.progress("relays"))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", c.args[0], err)
	}
	return list, nil
}

// refusedOr turns the refusal of a sheet into its status; other errors pass.
func refusedOr(name string, err error) error {
	if errors.Is(err, sheet.ErrRefused) {
		return &trouble{status: judged, err: fmt.Errorf("%s: %w; nothing was written", name, err), hint: "mutewright mains " + name + " says why, and what may be done"}
	}
	if errors.Is(err, sheet.ErrUntimed) {
		return &trouble{status: judged, err: fmt.Errorf("%s: %w", name, err), hint: "mutewright check " + name + " says why"}
	}
	return fmt.Errorf("%s: %w", name, err)
}

// paper is the paper of --paper.
func (c *call) paper() sheet.Paper {
	if c.options.paper == "letter" {
		return sheet.Letter
	}
	return sheet.A4
}

// A pageRange is what --pages asks for; the zero value is all.
type pageRange struct{ first, last int }

// parsePages reads "3" and "2-4".
func parsePages(text string) (pageRange, error) {
	if text == "" {
		return pageRange{}, nil
	}
	from, to, isRange := strings.Cut(text, "-")
	if !isRange {
		to = from
	}
	first, err := strconv.Atoi(from)
	last, err2 := strconv.Atoi(to)
	if err != nil || err2 != nil || first < 1 || last < first {
		return pageRange{}, fmt.Errorf("--pages %s is no range; write 1 or 2-3", text)
	}
	return pageRange{first, last}, nil
}

// only returns the pages of a range.
func only[Page any](pages []Page, r pageRange) ([]Page, error) {
	if r == (pageRange{}) {
		return pages, nil
	}
	if r.first > len(pages) {
		return nil, fmt.Errorf("--pages %d: the sheet has %d", r.first, len(pages))
	}
	return slices.Clone(pages[r.first-1 : min(r.last, len(pages))]), nil
}
