package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"mutewright/catalog"
	"mutewright/render/report"
)

func catalogVerb() *verb {
	return &verb{
		name:      "catalog",
		arguments: "[KIND] [NAME|WORD...]",
		does:      "list what plans may name and what sheets are made of, with sources",
		more: `
KIND is tube, relay, diode, zener, transistor, capacitor, fuse, resistor, wire
or colour. An entry that is named is shown with all its figures; other words
pick the entries that hold all of them, in their names, uses, figures or
sources. Relays are classes of the trade under names of our own:
CLASS-FORM-VOLTAGE.

Every figure bears a mark: published (second-hand), computed, memory (not
checked), own (from the file of --catalog). --as plan writes one relay or tube
out as a plan does, to be pasted in and changed.`,
		examples: []example{
			{`mutewright catalog`, "how much there is of each kind"},
			{`mutewright catalog relay reed 5v`, "reed relays for 5 V"},
			{`mutewright catalog EL84`, "a tube with all its figures and their sources"},
			{`mutewright catalog relay signal-dpdt-12v --as plan`, "a relay written out, to paste into a plan"},
			{`mutewright catalog wire memory`, "what is known of wire from memory alone"},
		},
		most:    anyNumber,
		options: []string{"as", "format", "catalog", "output"},
		formats: []string{"text", "json", "csv"},
		run:     listCatalog,
	}
}

func listCatalog(c *call) (int, error) {
	cat, err := c.catalogue()
	if err != nil {
		return 0, err
	}
	items := cat.Items()
	if len(c.args) == 0 && c.options.as == "" && c.options.format == "text" {
		return done, report.CatalogKinds(&c.out, catalog.Kinds, entries(items))
	}
	chosen, named, err := c.pick(items)
	switch {
	case err != nil:
		return 0, err
	case c.options.as == "plan":
		return done, c.writeOut(cat, chosen)
	case c.options.format == "json":
		err = report.CatalogJSON(&c.out, program, entries(chosen))
	case c.options.format == "csv":
		err = report.CatalogCSV(&c.out, entries(chosen))
	case named:
		err = report.CatalogEntries(&c.out, entries(chosen))
	default:
		err = report.Catalog(&c.out, entries(chosen))
	}
	return done, err
}

// pick finds the entries that the arguments ask for: of one kind where the first is
// one, those that are named, else those that hold all the words. named tells that
// they were named.
func (c *call) pick(items []catalog.Item) (chosen []catalog.Item, named bool, err error) {
	words := c.args
	if len(words) > 0 {
		if kind := kindNamed(words[0]); kind != "" {
			words = words[1:]
			items = slices.DeleteFunc(slices.Clone(items), func(i catalog.Item) bool { return i.Kind != kind })
		}
	}
	for _, w := range words {
		for _, i := range items {
			if called(i, w) {
				chosen = append(chosen, i)
			}
		}
	}
	if len(words) > 0 && len(chosen) >= len(words) {
		return chosen, true, nil
	}
	chosen = slices.DeleteFunc(slices.Clone(items), func(i catalog.Item) bool { return !holdsAll(i, words) })
	if len(chosen) == 0 {
		var names []string
		for _, i := range items {
			names = append(append(names, i.Name), i.Also...)
		}
		return nil, false, c.misuse(fmt.Errorf("nothing in the catalogue is called or holds %q%s", strings.Join(words, " "), nearest(words[0], append(names, catalog.Kinds...))))
	}
	return chosen, false, nil
}

// kindNamed is the kind that a word names, in the singular or plural.
func kindNamed(word string) string {
	word = strings.ToLower(word)
	for _, kind := range catalog.Kinds {
		if word == kind || word == kind+"s" {
			return kind
		}
	}
	return ""
}

func called(i catalog.Item, name string) bool {
	return slices.ContainsFunc(append([]string{i.Name}, i.Also...), func(own string) bool { return strings.EqualFold(own, name) })
}

// holdsAll tells whether an item holds every word, in upper or lower case.
func holdsAll(i catalog.Item, words []string) bool {
	text := []string{i.Kind, i.Name, i.What, strings.Join(i.Also, " ")}
	for _, f := range i.Figures {
		text = append(text, f.Path, f.Value, string(f.Mark), f.Source)
	}
	all := strings.ToLower(strings.Join(text, "\n"))
	for _, w := range words {
		if !strings.Contains(all, strings.ToLower(w)) {
			return false
		}
	}
	return true
}

// writeOut writes one relay or tube as a plan does.
func (c *call) writeOut(cat *catalog.Catalog, chosen []catalog.Item) error {
	if len(chosen) != 1 {
		return c.misuse(errors.New("--as plan takes the name of one relay or tube"))
	}
	i := chosen[0]
	text, ok := cat.AsPlan(i.Kind, i.Name)
	if !ok {
		return c.misuse(fmt.Errorf("a plan does not write out a %s", i.Kind))
	}
	fmt.Fprintf(&c.out, "# %s %s; sources: mutewright catalog %s %s\n%s", i.Kind, i.Name, i.Kind, i.Name, text)
	return nil
}

// entries are items as reports take them.
func entries(items []catalog.Item) []report.Entry {
	list := make([]report.Entry, len(items))
	for n, i := range items {
		list[n] = report.Entry{Kind: i.Kind, Name: i.Name, Also: i.Also, What: i.What}
		for _, f := range i.Figures {
			list[n].Figures = append(list[n].Figures, report.Figure{Name: f.Path, Value: f.Value, Mark: string(f.Mark), Source: f.Source})
		}
	}
	return list
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
