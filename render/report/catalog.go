package report

import (
	"io"
	"strconv"
	"strings"
)

// An Entry is one entry of the catalogue.
type Entry struct {
	Kind    string // "tube", "relay", "diode" …
	Name    string
	Also    []string // other names
	What    string
	Figures []Figure
}

// A Figure is one figure of an entry and where it comes from.
type Figure struct {
	Name   string // key path within the entry: "coil.voltage"
	Value  string // with its unit
	Mark   string // published, computed, memory, own
	Source string
}

// find returns the figure of that name; an empty one where there is none.
func (e Entry) find(name string) Figure {
	for _, f := range e.Figures {
		if f.Name == name {
			return f
		}
	}
	return Figure{}
}

// overview is what a list of entries shows of each kind, beside their names.
var overview = []struct {
	kind, head string
	what       bool     // its words
	figures    []string // by key path
	columns    []string // their heads
	mark       string   // the figure whose mark stands in the last column; "": none
}{
	{
		kind: "tube", head: "Tubes",
		figures: []string{"use", "points.1.screen", "points.1.grid", "points.1.gm", "heater_cathode"},
		columns: []string{"use", "screen", "grid", "gm", "h–k"},
		mark:    "points.1.grid",
	},
	{
		kind: "relay", head: "Relays", what: true,
		figures: []string{"coil.resistance", "contacts.poles", "contacts.form"},
		columns: []string{"coil", "poles", "form"},
		mark:    "coil.voltage",
	},
	{kind: "diode", head: "Diodes", what: true, figures: []string{"reverse", "current"}, columns: []string{"reverse", "current"}, mark: "current"},
	{kind: "zener", head: "Zener diodes", what: true, figures: []string{"power", "lowest", "highest"}, columns: []string{"power", "from", "to"}, mark: "power"},
	{kind: "transistor", head: "Transistors", what: true, figures: []string{"voltage", "current"}, columns: []string{"voltage", "current"}, mark: "voltage"},
	{kind: "capacitor", head: "Capacitors", what: true, figures: []string{"lowest", "highest"}, columns: []string{"from", "to"}, mark: "lowest"},
	{kind: "fuse", head: "Fuses", what: true, figures: []string{"ratings.1"}, columns: []string{"smallest"}, mark: "ratings.1"},
	{kind: "resistor", head: "Resistors", figures: []string{"power", "voltage"}, columns: []string{"power", "voltage"}, mark: "power"},
	{kind: "wire", head: "Hook-up wire", figures: []string{"gauge", "current"}, columns: []string{"gauge", "current"}, mark: "current"},
	{kind: "colour", head: "Colours, letters of IEC 60757", what: true},
}

// Catalog writes a list of entries, one a line, with the figures that tell
// them apart and the mark of those.
func Catalog(w io.Writer, entries []Entry) error {
	var p page
	for _, o := range overview {
		t := Table{Columns: []Column{{Head: "name", Wraps: !o.what}}}
		if o.what {
			t.Columns = append(t.Columns, Column{Head: "what", Wraps: true})
		}
		for _, c := range o.columns {
			t.Columns = append(t.Columns, Column{Head: c, Right: true})
		}
		if o.mark != "" {
			t.Columns = append(t.Columns, Column{Head: "mark"})
		}
		for _, e := range entries {
			if e.Kind != o.kind {
				continue
			}
			row := []string{strings.Join(append([]string{e.Name}, e.Also...), ", ")}
			if o.what {
				row = append(row, e.What)
			}
			for _, f := range o.figures {
				row = append(row, e.find(f).Value)
			}
			if o.mark != "" {
				row = append(row, e.find(o.mark).Mark)
			}
			t.Rows = append(t.Rows, row)
		}
		if len(t.Rows) == 0 {
			continue
		}
		p.section()
		p.paragraph("", "", o.head)
		p.table("  ", t)
	}
	p.blank()
	p.paragraph("", "", "All figures of an entry with their sources: mutewright catalog NAME. A mark of memory means: not checked.")
	return p.writeTo(w)
}

// CatalogKinds writes how many entries there are of each kind.
func CatalogKinds(w io.Writer, kinds []string, entries []Entry) error {
	var p page
	p.paragraph("", "", "The catalogue")
	t := Table{Columns: []Column{{}, {Right: true}, {Wraps: true}}}
	for _, kind := range kinds {
		n, first := 0, ""
		for _, e := range entries {
			if e.Kind == kind {
				if n++; n == 1 {
					first = e.Name
				}
			}
		}
		t.Rows = append(t.Rows, []string{kind, strconv.Itoa(n), "such as " + first})
	}
	p.table("  ", t)
	p.blank()
	p.paragraph("", "", "mutewright catalog KIND lists them, catalog KIND WORD… those that hold the words, catalog NAME shows all figures of one with their sources.")
	return p.writeTo(w)
}

// CatalogEntries writes entries with all their figures.
func CatalogEntries(w io.Writer, entries []Entry) error {
	var p page
	for _, e := range entries {
		p.section()
		head := e.Kind + " " + e.Name
		if len(e.Also) > 0 {
			head += ", also " + strings.Join(e.Also, ", ")
		}
		if e.What != "" {
			head += ": " + e.What
		}
		p.paragraph("", "  ", head)
		t := Table{Columns: []Column{{}, {Wraps: true}, {}, {Wraps: true, Below: true}}}
		mark, source := "", ""
		for _, f := range e.Figures {
			row := []string{f.Name, f.Value, f.Mark, f.Source}
			if f.Mark == mark && f.Source == source {
				row[2], row[3] = "", "" // as above
			}
			mark, source = f.Mark, f.Source
			t.Rows = append(t.Rows, row)
		}
		p.table("  ", t)
	}
	return p.writeTo(w)
}

// CatalogCSV writes every figure of the entries, one a row.
func CatalogCSV(w io.Writer, entries []Entry) error {
	t := Table{Columns: []Column{{Head: "kind"}, {Head: "name"}, {Head: "figure"}, {Head: "value"}, {Head: "mark"}, {Head: "source"}}}
	for _, e := range entries {
		for _, f := range e.Figures {
			t.Rows = append(t.Rows, []string{e.Kind, e.Name, f.Name, coded(f.Value), f.Mark, f.Source})
		}
	}
	return t.CSV(w)
}

// The entries as JSON.
type (
	jsonCatalog struct {
		jsonHead
		Entries []jsonEntry `json:"entries"`
	}
	jsonEntry struct {
		Kind    string       `json:"kind"`
		Name    string       `json:"name"`
		Also    []string     `json:"also"`
		What    string       `json:"what"`
		Figures []jsonFigure `json:"figures"`
	}
	jsonFigure struct {
		Name   string `json:"figure"`
		Value  string `json:"value"`
		Mark   string `json:"mark"`
		Source string `json:"source"`
	}
)

// CatalogJSON writes every figure of the entries as one JSON object.
func CatalogJSON(w io.Writer, program string, entries []Entry) error {
	out := jsonCatalog{jsonHead: jsonHead{version, program}, Entries: []jsonEntry{}}
	for _, e := range entries {
		j := jsonEntry{e.Kind, e.Name, append([]string{}, e.Also...), plain(e.What), []jsonFigure{}}
		for _, f := range e.Figures {
			j.Figures = append(j.Figures, jsonFigure{f.Name, coded(f.Value), f.Mark, f.Source})
		}
		out.Entries = append(out.Entries, j)
	}
	return writeJSON(w, out)
}
