package cli

import (
	"fmt"

	"mutewright/catalog"
	"mutewright/render/report"
)

func catalogVerb() *verb {
	return &verb{
		name:      "catalog",
		arguments: "[NAME...]",
		does:      "list the tubes and relays that plans may name, with their figures and sources",
		more: `
Relays are classes of the trade under names of our own: CLASS-FORM-VOLTAGE. Every figure bears a
mark: published (second-hand), computed, memory (not checked), own (from the file of --catalog).`,
		most:    anyNumber,
		options: []string{"format", "catalog", "output"},
		formats: []string{"text", "json", "csv"},
		run:     listCatalog,
	}
}

func listCatalog(c *call) (int, error) {
	cat, err := c.catalogue()
	if err != nil {
		return 0, err
	}
	entries, err := c.entries(cat)
	if err != nil {
		return 0, err
	}
	switch {
	case c.options.format == "json":
		err = report.CatalogJSON(&c.out, program, entries)
	case c.options.format == "csv":
		err = report.CatalogCSV(&c.out, entries)
	case len(c.args) > 0:
		err = report.CatalogEntries(&c.out, entries)
	default:
		err = report.Catalog(&c.out, entries)
	}
	return done, err
}

// catalogue returns the built-in catalogue, with the file of --catalog added.
// The file is read once.
func (c *call) catalogue() (*catalog.Catalog, error) {
	switch {
	case c.options.catalog == "":
		return catalog.Default(), nil
	case c.known != nil:
		return c.known, nil
	}
	data, err := c.read(c.options.catalog)
	if err != nil {
		return nil, err
	}
	if c.known, err = catalog.Load(c.options.catalog, data); err != nil {
		return nil, &trouble{status: wrong, err: err, plain: true}
	}
	return c.known, nil
}

// entries returns the entries that were asked for, or all.
func (c *call) entries(cat *catalog.Catalog) ([]report.Entry, error) {
	var entries []report.Entry
	if len(c.args) == 0 {
		for _, t := range cat.Tubes() {
			entries = append(entries, tubeEntry(t))
		}
		for _, r := range cat.Relays() {
			entries = append(entries, relayEntry(r))
		}
		return entries, nil
	}
	for _, name := range c.args {
		if t := cat.Tube(name); t != nil {
			entries = append(entries, tubeEntry(t))
			continue
		}
		if r := cat.Relay(name); r != nil {
			entries = append(entries, relayEntry(r))
			continue
		}
		return nil, c.misuse(fmt.Errorf("no tube and no relay is called %q%s", name, nearest(name, catalogNames(cat))))
	}
	return entries, nil
}

func catalogNames(cat *catalog.Catalog) []string {
	return append(tubeNames(cat), relayNames(cat)...)
}

// tubeNames are all names under which tubes are found.
func tubeNames(cat *catalog.Catalog) []string {
	var names []string
	for _, t := range cat.Tubes() {
		names = append(names, t.Name.Is)
		for _, also := range t.Also.Items {
			names = append(names, also.Is)
		}
	}
	return names
}

func relayNames(cat *catalog.Catalog) []string {
	var names []string
	for _, r := range cat.Relays() {
		names = append(names, r.Name)
	}
	return names
}
