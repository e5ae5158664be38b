package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/render/pdf"
	"mutewright/render/report"
	"mutewright/render/scene"
	"mutewright/render/sheet"
	"mutewright/render/svg"
)

func relaysVerb() *verb {
	return &verb{
		name:      "relays",
		arguments: "PLAN [RELAY...]",
		does:      "rank the relays of the catalogue for a plan, or put some side by side",
		more: `
Every relay has its best drive. What serves stands first, by its smallest margin
in the worst case, then by the load of the winding, contacts that are not fit
for their dry circuit behind the others; latching relays come last.
With names: those side by side, margins as bars on one scale and every quantity
a row. With -o FILE.svg or FILE.pdf the bars are drawn. Where nothing serves the
status is 1, and changes of the plan are tried: another supply, a capacitor that
holds the relay, another circuit, a separate supply, two relays.`,
		examples: []example{
			{`mutewright relays plan.yaml`, "rank them all"},
			{`mutewright relays plan.yaml signal-dpdt-12v signal-dpdt-5v`, "two side by side"},
			{`mutewright relays plan.yaml signal-dpdt-12v signal-dpdt-5v -o bars.svg`, "the same as a picture"},
		},
		least: 1, most: anyNumber,
		options: append([]string{"format", "paper"}, readsPlan...),
		formats: []string{"text", "json", "csv"},
		run:     relays,
	}
}

func relays(c *call) (int, error) {
	p, err := c.plan(c.args[0])
	if err != nil {
		return 0, err
	}
	cat, err := c.catalogue()
	if err != nil {
		return 0, err
	}
	names, err := c.relayArguments(cat)
	if err != nil {
		return 0, err
	}
	var list []*design.Ranking
	if len(names) > 0 {
		list, err = design.Ask(p, cat, names, c.progress("relays"))
	} else {
		list, err = design.Rank(p, cat, c.progress("relays"))
	}
	if err != nil {
		return 0, fmt.Errorf("%s: %w", c.args[0], err)
	}
	if list[0].Refused {
		return 0, refusedOr(c.args[0], sheet.ErrRefused)
	}
	serves := !slices.ContainsFunc(list, func(r *design.Ranking) bool {
		return !slices.ContainsFunc(r.Rows, design.Row.Serves)
	})
	var openings []design.Opening
	if !serves && len(names) == 0 {
		if openings, err = design.Openings(p, cat, c.progress("changes of the plan")); err != nil {
			return 0, fmt.Errorf("%s: %w", c.args[0], err)
		}
	}
	if err := c.writeRelays(list, names, openings); err != nil {
		return 0, err
	}
	if !serves {
		return judged, nil
	}
	return done, nil
}

// writeRelays writes rankings, or relays side by side, in the form that was asked
// for: a file that ends in .svg or .pdf is a picture.
func (c *call) writeRelays(list []*design.Ranking, names []string, openings []design.Opening) error {
	picture := strings.ToLower(filepath.Ext(c.options.output))
	switch {
	case c.options.format == "json":
		return report.RelaysJSON(&c.out, list, openings)
	case c.options.format == "csv":
		return report.RelaysCSV(&c.out, list)
	case picture == ".svg":
		return svg.Write(&c.out, list[0].Title, sheet.SideBySide(list, c.paper()))
	case picture == ".pdf":
		return pdf.Write(&c.out, scene.Document{
			Title: list[0].Title, Subject: "Relays side by side", Program: program,
			Pages: []scene.Page{sheet.SideBySide(list, c.paper())},
		})
	case len(names) > 0:
		for _, r := range list {
			if err := report.SideBySide(&c.out, r.Title+", "+r.At, r.Rows); err != nil {
				return err
			}
		}
		return nil
	}
	return report.Relays(&c.out, list, openings)
}

// relayArguments are the relays that were named, as the catalogue spells them.
func (c *call) relayArguments(cat *catalog.Catalog) ([]string, error) {
	var names []string
	for _, typed := range c.args[1:] {
		r := cat.Relay(typed)
		if r == nil {
			return nil, c.misuse(fmt.Errorf("no relay is called %q%s", typed, nearest(typed, relayNames(cat))))
		}
		if !slices.Contains(names, r.Name) {
			names = append(names, r.Name)
		}
	}
	return names, nil
}

// patience is how long work may take without a word.
const patience = 500 * time.Millisecond

// progress tells people at a terminal, or whoever keeps standard error, how far
// work has come, at most every half second. In a program that gives a writer of
// its own nothing is written: how long work takes is no part of its output.
func (c *call) progress(what string) func(done, all int) {
	if _, real := c.stderr.(*os.File); !real {
		return nil
	}
	return paced(c.stderr, what, time.Now)
}

// paced writes a line when half a second has passed since the last, until all is
// done.
func paced(w io.Writer, what string, now func() time.Time) func(done, all int) {
	var lock sync.Mutex
	said := now()
	return func(done, all int) {
		lock.Lock()
		defer lock.Unlock()
		if at := now(); done < all && at.Sub(said) >= patience {
			said = at
			// Nobody is left to tell when stderr cannot be written.
			_, _ = fmt.Fprintf(w, "mutewright: %d of %d %s\n", done, all, what)
		}
	}
}
