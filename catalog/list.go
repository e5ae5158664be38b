package catalog

import (
	"slices"
	"strings"

	"mutewright/design/document"
	"mutewright/design/quantity"
)

// Kinds are the kinds of entry, in the order in which they are listed.
var Kinds = []string{"tube", "relay", "diode", "zener", "transistor", "capacitor", "fuse", "resistor", "wire", "colour"}

// An Item is an entry of any kind as it is listed: every figure in the notation of
// plans with where it comes from.
type Item struct {
	Kind    string // one of [Kinds]
	Name    string
	Also    []string // other names
	What    string
	Figures []Figure
}

// A Figure is one figure of an item. Words by which the catalogue sorts its entries,
// and notes, have no origin.
type Figure struct {
	Path  string // key path within the entry: "coil.voltage"
	Value string
	Origin
}

// Items lists every entry of the catalogue, by kind and in the order of its files.
func (c *Catalog) Items() []Item {
	var list []Item
	for _, t := range c.tubes {
		i := item("tube", t.Name.Is, t.What, &tubeEntry{*t}, t.Sources.Origin)
		for _, also := range t.Also.Items {
			i.Also = append(i.Also, also.Is)
		}
		list = append(list, i)
	}
	for _, r := range c.relays {
		list = append(list, item("relay", r.Name, r.What, &relayEntry{*r}, r.Sources.Origin))
	}
	for _, d := range c.diodes {
		list = append(list, item("diode", d.Name, d.What, d, d.figure))
	}
	for _, z := range c.zeners {
		list = append(list, item("zener", z.Name, z.What, z, z.figure))
	}
	for _, t := range c.transistors {
		list = append(list, item("transistor", t.Name, t.What, t, t.figure))
	}
	for _, k := range c.capacitors {
		list = append(list, item("capacitor", k.Name, k.What, k, k.figure))
	}
	for _, f := range c.fuses {
		list = append(list, item("fuse", f.Name, f.Standard, f, f.Sources.Origin))
	}
	for _, r := range c.resistors {
		list = append(list, item("resistor", quantity.Plain(float64(r.Power.Is), quantity.Power), noWords, r, r.figure))
	}
	for _, w := range c.wires {
		list = append(list, item("wire", quantity.Plain(float64(w.Size.Is), quantity.Area), noWords, w, w.figure))
	}
	for _, k := range c.colours {
		list = append(list, Item{Kind: "colour", Name: k.Letters, What: k.Name})
	}
	return list
}

var noWords document.Value[string]

// figure is the origin of every figure of an entry that is cited as a whole.
func (c *Cited) figure(string) Origin { return c.Origin() }

// apart are the keys that are no figures: the head of an item, and the sources
// themselves.
var apart = []string{"same_as", "also", "what", "standard", "sources", "source"}

// unsourced are the keys that sort or explain.
var unsourced = []string{"use", "class", "latching", "note", "aside"}

func item(kind, name string, what document.Value[string], r document.Record, origin func(figure string) Origin) Item {
	i := Item{Kind: kind, Name: name, What: what.Is}
	last := func(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }
	rows := map[string]Origin{} // of a row that is cited by itself, by the path before its keys
	figures := document.Figures(r, func(path string) bool { return path == "sources" })
	for _, f := range figures {
		if row, ok := strings.CutSuffix(f.Path, ".source"); ok {
			rows[row] = originOf(f.Text)
		}
	}
	for _, f := range figures {
		first, _, _ := strings.Cut(f.Path, ".")
		if slices.Contains(apart, first) || last(f.Path) == "source" {
			continue
		}
		from, ok := rows[strings.TrimSuffix(f.Path, "."+last(f.Path))]
		if !ok {
			from = origin(f.Path)
		}
		if slices.Contains(unsourced, last(f.Path)) {
			from = Origin{}
		}
		i.Figures = append(i.Figures, Figure{f.Path, f.Text, from})
	}
	return i
}

// AsPlan returns an entry as a plan writes it out: a relay under use, a tube under
// tube. It is false for other kinds and for names that are not known.
func (c *Catalog) AsPlan(kind, name string) (text string, ok bool) {
	if t := c.Tube(name); kind == "tube" && t != nil {
		return "tube:\n" + document.Write(t, "  "), true
	}
	if r := c.Relay(name); kind == "relay" && r != nil {
		return "use:\n" + document.Write(r, "  "), true
	}
	return "", false
}
