// Package catalog is what the program knows of parts: tubes, relays as
// classes, diodes, transistors, passive parts, fuses, wire. Every figure
// carries a mark (published, computed, from memory) and its source; what no
// source gives is left out and assumed elsewhere.
//
// The entries are embedded YAML files read through the same field tables as a
// plan, so that a tube or relay written out in a plan and an entry have the
// same keys, and a user's own catalogue has the format of ours.
package catalog

import (
	"cmp"
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"mutewright/design/document"
)

//go:embed *.yaml
var embedded embed.FS

// Catalog holds all entries in the order of the files, built-in ones first. It
// does not change once it is made.
type Catalog struct {
	tubes       []*Tube
	relays      []*Relay
	diodes      []*Diode
	zeners      []*Zener
	transistors []*Transistor
	capacitors  []*Capacitor
	fuses       []*Fuses
	resistors   []*Resistor
	wires       []*Wire
	colours     []Colour
	taken       map[string]string // what is found under a name, by section and name folded: "tubes/el84" → "6BQ5"
}

// file is the format of a catalogue file.
type file struct {
	document.Source
	document    *document.Document
	Tubes       document.Map[tubeEntry]
	Relays      document.Map[relayEntry]
	Diodes      document.Map[Diode]
	Zeners      document.Map[Zener]
	Transistors document.Map[Transistor]
	Capacitors  document.Map[Capacitor]
	Fuses       document.Map[Fuses]
	Resistors   document.List[Resistor]
	Wires       document.List[Wire]
	Colours     document.Map[document.Value[string]]
}

// Fields binds the sections of a catalogue file.
func (f *file) Fields() []document.Field {
	return []document.Field{
		entries("tubes", &f.Tubes),
		entries("relays", &f.Relays),
		entries("diodes", &f.Diodes),
		entries("zeners", &f.Zeners),
		entries("transistors", &f.Transistors),
		entries("capacitors", &f.Capacitors),
		entries("fuses", &f.Fuses),
		document.ListOf("resistors", &f.Resistors, document.Block[Resistor]).AtMost(mostEntries),
		document.ListOf("wires", &f.Wires, document.Block[Wire]).AtMost(mostEntries),
		document.MapOf("colours", &f.Colours, document.Text).Named(isEntryName, entryNames).AtMost(mostEntries),
	}
}

// mostEntries bounds a section of a file.
const mostEntries = 5000

const entryNames = "a name of letters, digits and -, such as signal-dpdt-12v"

func entries[T any, P interface {
	*T
	document.Record
}](key string, slot *document.Map[T]) document.Field {
	return document.MapOf(key, slot, document.Block[T, P]).Named(isEntryName, entryNames).AtMost(mostEntries)
}

func isEntryName(name string) bool {
	return name != "" && len(name) <= 40 && strings.Trim(strings.ToLower(name), "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}

// Default returns the built-in catalogue. All callers share one.
var Default = sync.OnceValue(builtIn)

func builtIn() *Catalog {
	names, err := fs.Glob(embedded, "*.yaml") // sorted
	if err != nil {
		panic(err)
	}
	// Reading takes longer than the rest of a start: side by side.
	files := make([]*file, len(names))
	var group sync.WaitGroup
	for i, name := range names {
		group.Go(func() {
			data, err := embedded.ReadFile(name)
			if err != nil {
				panic(err)
			}
			files[i] = read(name, data)
		})
	}
	group.Wait()
	c := &Catalog{taken: map[string]string{}}
	for _, f := range files {
		if err := c.add(f); err != nil {
			panic(fmt.Sprintf("catalog: embedded file: %v", err))
		}
	}
	return c
}

// Load returns the built-in catalogue with the entries of a user's file added.
// name is the file as typed, for errors, which are [*document.Problems]. The
// file adds; an entry under a name that is taken is an error.
func Load(name string, data []byte) (*Catalog, error) {
	c := Default().clone()
	if err := c.add(read(name, data)); err != nil {
		return nil, err
	}
	return c, nil
}

func (c *Catalog) clone() *Catalog {
	return &Catalog{
		tubes:       slices.Clone(c.tubes),
		relays:      slices.Clone(c.relays),
		diodes:      slices.Clone(c.diodes),
		zeners:      slices.Clone(c.zeners),
		transistors: slices.Clone(c.transistors),
		capacitors:  slices.Clone(c.capacitors),
		fuses:       slices.Clone(c.fuses),
		resistors:   slices.Clone(c.resistors),
		wires:       slices.Clone(c.wires),
		colours:     slices.Clone(c.colours),
		taken:       maps.Clone(c.taken),
	}
}

// read reads a file; what is wrong with it is kept in its document.
func read(name string, data []byte) *file {
	f := &file{document: document.Parse(name, data)}
	f.document.Read(f)
	return f
}

// add appends the entries of a file that was read.
func (c *Catalog) add(f *file) error {
	d := f.document
	if err := d.Err(); err != nil {
		return err // what is merged from unreadable entries would only repeat it
	}
	for i, name := range f.Tubes.Names() {
		c.addTube(d, name, &f.Tubes.Items[i].Tube)
	}
	for i, name := range f.Relays.Names() {
		c.addRelay(d, name, &f.Relays.Items[i].Relay)
	}
	collect(c, d, "diodes", &f.Diodes, &c.diodes)
	collect(c, d, "zeners", &f.Zeners, &c.zeners)
	collect(c, d, "transistors", &f.Transistors, &c.transistors)
	collect(c, d, "capacitors", &f.Capacitors, &c.capacitors)
	collect(c, d, "fuses", &f.Fuses, &c.fuses)
	for i := range f.Resistors.Items {
		c.resistors = append(c.resistors, &f.Resistors.Items[i])
	}
	slices.SortStableFunc(c.resistors, func(a, b *Resistor) int { return cmp.Compare(a.Power.Is, b.Power.Is) })
	for i := range f.Wires.Items {
		c.wires = append(c.wires, &f.Wires.Items[i])
	}
	slices.SortStableFunc(c.wires, func(a, b *Wire) int { return cmp.Compare(a.Size.Is, b.Size.Is) })
	for i, name := range f.Colours.Names() {
		e := f.Colours.Items[i]
		c.take(d, "colours", name, name, e.Source)
		c.colours = append(c.colours, Colour{Letters: name, Name: e.Is})
	}
	return d.Err()
}

// An Entry is the head of an entry that has a name.
type Entry struct {
	document.Source
	Name string // "" where it is written out in a plan
}

func (e *Entry) head() *Entry { return e }

type headed[T any] interface {
	*T
	head() *Entry
}

// collect appends the entries of one section.
func collect[T any, P headed[T]](c *Catalog, d *document.Document, section string, from *document.Map[T], to *[]*T) {
	for i, name := range from.Names() {
		head := P(&from.Items[i]).head()
		head.Name = name
		c.take(d, section, name, name, head.Source)
		*to = append(*to, &from.Items[i])
	}
}

// take claims a name of a section for an entry, or reports that it is taken.
func (c *Catalog) take(d *document.Document, section, name, entry string, at document.Source) {
	key := section + "/" + fold(name)
	if other, ok := c.taken[key]; ok {
		what := name + " is in the catalogue already"
		if fold(other) != fold(name) {
			what += ", as another name of " + other
		}
		d.Report(at, what, "entries are added, not replaced: choose another name")
		return
	}
	c.taken[key] = entry
}

// fold makes one of all spellings of a name that differ in case only.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

func (c *Catalog) addTube(d *document.Document, name string, t *Tube) {
	t.Name = document.Value[string]{Source: t.Source, Is: name}
	t.Name.Path += ".name"
	c.take(d, "tubes", name, name, t.Source)
	for _, also := range t.Also.Items {
		c.take(d, "tubes", also.Is, name, also.Source)
	}
	if t.SameAs.Given() {
		base := c.Tube(t.SameAs.Is)
		if base == nil {
			d.Report(t.SameAs.Source, "no tube "+t.SameAs.Is+" above", "the nearest is "+c.NearestTube(t.SameAs.Is))
			return
		}
		t.inherit(base)
	}
	if len(t.Points.Items) == 0 && len(t.Conversion.Items) == 0 {
		missing := t.Source
		missing.Path += ".points"
		d.Report(missing, "missing", "wanted at least one operating point")
	}
	c.tubes = append(c.tubes, t)
}

func (c *Catalog) addRelay(d *document.Document, name string, r *Relay) {
	r.Name = name
	c.take(d, "relays", name, name, r.Source)
	if r.SameAs.Given() {
		base := c.Relay(r.SameAs.Is)
		if base == nil {
			d.Report(r.SameAs.Source, "no relay "+r.SameAs.Is+" above", "the nearest is "+c.NearestRelay(r.SameAs.Is))
			return
		}
		r.inherit(base)
	}
	r.Check(d)
	for _, need := range []struct {
		given bool
		key   string
	}{
		{r.Coil.Voltage.Given(), "coil.voltage"},
		{r.Coil.Resistance.Given(), "coil.resistance"},
		{r.Contacts.Form.Given(), "contacts.form"},
		{r.Contacts.Poles.Given(), "contacts.poles"},
	} {
		if !need.given {
			missing := r.Source
			missing.Path += "." + need.key
			d.Report(missing, "missing", "a relay is not chosen without it")
		}
	}
	c.relays = append(c.relays, r)
}

// Tube returns the tube of a name, its own or another that it goes by, in
// capitals or not; nil where there is none.
func (c *Catalog) Tube(name string) *Tube {
	own, ok := c.taken["tubes/"+fold(name)]
	if !ok {
		return nil
	}
	for _, t := range c.tubes {
		if t.Name.Is == own {
			return t
		}
	}
	return nil
}

// Relay returns the relay of a name; nil where there is none.
func (c *Catalog) Relay(name string) *Relay { return find(c.relays, name) }

// Diode returns the diode of a name; nil where there is none.
func (c *Catalog) Diode(name string) *Diode { return find(c.diodes, name) }

// Zener returns the family of zener diodes of a name; nil where there is none.
func (c *Catalog) Zener(name string) *Zener { return find(c.zeners, name) }

// Transistor returns the transistor of a name; nil where there is none.
func (c *Catalog) Transistor(name string) *Transistor { return find(c.transistors, name) }

// Capacitor returns the kind of capacitor of a name; nil where there is none.
func (c *Catalog) Capacitor(name string) *Capacitor { return find(c.capacitors, name) }

// Fuses returns the fuse list of a name; nil where there is none.
func (c *Catalog) Fuses(name string) *Fuses { return find(c.fuses, name) }

func find[T any, P headed[T]](list []*T, name string) *T {
	for _, e := range list {
		if fold(P(e).head().Name) == fold(name) {
			return e
		}
	}
	return nil
}

// Tubes lists the tubes in the order of the files. Neither the list nor its
// entries may be changed; the same goes for the other lists.
func (c *Catalog) Tubes() []*Tube { return c.tubes }

// Relays lists the relays.
func (c *Catalog) Relays() []*Relay { return c.relays }

// Diodes lists the diodes.
func (c *Catalog) Diodes() []*Diode { return c.diodes }

// Zeners lists the families of zener diodes.
func (c *Catalog) Zeners() []*Zener { return c.zeners }

// Transistors lists the transistors.
func (c *Catalog) Transistors() []*Transistor { return c.transistors }

// Capacitors lists the kinds of capacitor.
func (c *Catalog) Capacitors() []*Capacitor { return c.capacitors }

// AllFuses lists the fuse lists.
func (c *Catalog) AllFuses() []*Fuses { return c.fuses }

// Resistors lists the sizes of resistor by rising power.
func (c *Catalog) Resistors() []*Resistor { return c.resistors }

// Wires lists the sizes of hook-up wire by rising size.
func (c *Catalog) Wires() []*Wire { return c.wires }

// Colours lists the colour codes of IEC 60757.
func (c *Catalog) Colours() []Colour { return c.colours }

// NearestTube returns the name, own or other, with the fewest letters to
// change; "" in an empty catalogue.
func (c *Catalog) NearestTube(name string) string {
	var names []string
	for _, t := range c.tubes {
		names = append(names, t.Name.Is)
		for _, also := range t.Also.Items {
			names = append(names, also.Is)
		}
	}
	return document.Nearest(strings.ToUpper(strings.TrimSpace(name)), names)
}

// NearestRelay returns the name with the fewest letters to change; "" in an
// empty catalogue.
func (c *Catalog) NearestRelay(name string) string {
	var names []string
	for _, r := range c.relays {
		names = append(names, r.Name)
	}
	return document.Nearest(fold(name), names)
}

// onLogLine is y at x on the straight line through two points on logarithmic
// axes: y = y1·(x/x1)^(ln(y2/y1)/ln(x2/x1)).
func onLogLine(x, x1, y1, x2, y2 float64) float64 {
	return y1 * math.Pow(x/x1, math.Log(y2/y1)/math.Log(x2/x1))
}
