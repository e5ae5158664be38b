package cli

import (
	"fmt"
	"slices"
	"sync"
	"time"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/render/report"
	"mutewright/render/sheet"
)

func relaysVerb() *verb {
	return &verb{
		name:      "relays",
		arguments: "PLAN [RELAY...]",
		does:      "rank the relays of the catalogue for a plan, or put some side by side",
		more: `
Every relay has its best drive. What serves stands first, by its smallest margin in the worst case,
then by the load of the winding; latching relays come last. With names: those side by side, margins
as bars on one scale and every quantity a row. The status is 1 where nothing serves.`,
		least: 1, most: anyNumber,
		options: append([]string{"format"}, readsPlan...),
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
	list, err := design.Rank(p, cat, c.progress("relays"))
	if err != nil {
		return 0, fmt.Errorf("%s: %w", c.args[0], err)
	}
	if list[0].Refused {
		return 0, refusedOr(c.args[0], sheet.ErrRefused)
	}
	if len(names) > 0 {
		for _, r := range list {
			r.Rows = named(r.Rows, names)
		}
	}
	switch {
	case c.options.format == "json":
		err = report.RelaysJSON(&c.out, list)
	case c.options.format == "csv":
		err = report.RelaysCSV(&c.out, list)
	case len(names) > 0:
		for _, r := range list {
			err = report.SideBySide(&c.out, r.Title+", "+r.At, r.Rows)
		}
	default:
		err = report.Relays(&c.out, list)
	}
	for _, r := range list {
		if !slices.ContainsFunc(r.Rows, func(row design.Row) bool { return row.Serves() && !row.Latching }) {
			return judged, err
		}
	}
	return done, err
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

// named returns the rows of some relays, in the order in which they were named.
func named(rows []design.Row, names []string) []design.Row {
	var list []design.Row
	for _, name := range names {
		for _, r := range rows {
			if r.Relay == name {
				list = append(list, r)
			}
		}
	}
	return list
}

// patience is how long work may take without a word.
const patience = 500 * time.Millisecond

// progress tells stderr how far work has come, at most every half second.
func (c *call) progress(what string) func(done, all int) {
	var lock sync.Mutex
	said := time.Now()
	return func(done, all int) {
		lock.Lock()
		defer lock.Unlock()
		if done < all && time.Since(said) >= patience {
			said = time.Now()
			fmt.Fprintf(c.stderr, "mutewright: %d of %d %s\n", done, all, what)
		}
	}
}
