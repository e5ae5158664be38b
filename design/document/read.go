package document

import (
	"fmt"
	"slices"
)

// A Record is a struct that embeds a [Source] and says in Fields which keys
// fill it.
type Record interface {
	Fields() []Field
	Place() *Source
}

// recordOf is a pointer to T that is a record.
type recordOf[T any] interface {
	*T
	Record
}

// Read fills a record from the file. What is wrong is kept for
// [Document.Err].
func (d *Document) Read(into Record) {
	if d.root == nil {
		return
	}
	*into.Place() = d.root.place("")
	into.Place().State = Given
	d.fields(into.Fields(), d.root, *into.Place())
}

// find returns the value of a key: written so, else in another spelling of
// the same word.
func (n *node) find(name string) (*node, key) {
	for i, k := range n.keys {
		if k.text == name {
			return n.items[i], k
		}
	}
	right := house(name)
	for i, k := range n.keys {
		if k.house == right {
			return n.items[i], k
		}
	}
	return nil, key{}
}

// word returns the state that a plain word stands for.
func (n *node) word() (State, bool) {
	if n.kind == scalar {
		for _, s := range []State{Unknown, None, Choose} {
			if n.text == stateWords[s] {
				return s, true
			}
		}
	}
	return LeftOut, false
}

// fields fills the slots of one record at a place; n is nil where the whole
// record was left out, and then only the paths are laid out.
func (d *Document) fields(fields []Field, n *node, at Source) {
	var claimed []string // keys of n that a field has read, in the house's spelling
	for i := range fields {
		f := &fields[i]
		applies := f.applies()
		if applies == no {
			continue
		}
		path := join(at.Path, f.key)
		var child *node
		if n != nil {
			var k key
			child, k = n.find(f.key)
			if child != nil {
				if slices.Contains(claimed, k.house) {
					continue // another kind's field of this name has read it
				}
				d.twice(n, k, path)
				claimed = append(claimed, k.house)
			}
		}
		switch {
		case child != nil && applies == perhaps:
			d.firstThatReads(fields[i:], f.key, child, path)
		case child != nil:
			d.field(f, child, path)
		default:
			f.leaveOut(d, path)
			if n != nil && applies == yes && f.isRequired() {
				missing := at
				missing.Path = path
				d.report(missing, "missing", f.wanted())
			}
		}
	}
	if n != nil {
		d.strangers(fields, n, claimed, at.Path)
	}
}

// firstThatReads reads a key whose kind is not known under the first field
// that takes what is there, else under the first.
func (d *Document) firstThatReads(fields []Field, name string, n *node, path string) {
	before := len(d.problems)
	var first []Problem
	for i := range fields {
		f := &fields[i]
		if f.key != name || f.applies() != perhaps {
			continue
		}
		d.field(f, n, path)
		found := slices.Clone(d.problems[before:])
		d.problems = d.problems[:before]
		if len(found) == 0 {
			return
		}
		if first == nil {
			first = found
		}
	}
	d.problems = append(d.problems, first...)
}

// twice reports a key that stands in both spellings.
func (d *Document) twice(n *node, k key, path string) {
	for _, other := range n.keys {
		if other.text != k.text && other.house == k.house {
			d.report(other.place(path), "key given twice, as "+Quote(k.text)+" too", k.once())
		}
	}
}

// strangers reports the keys of n that no field has read.
func (d *Document) strangers(fields []Field, n *node, claimed []string, path string) {
	for _, k := range n.keys {
		if slices.Contains(claimed, k.house) {
			continue
		}
		at := k.place(join(path, k.text))
		var keys []string
		other := ""
		for i := range fields {
			f := &fields[i]
			if f.applies() != no {
				keys = append(keys, f.key)
			} else if f.key == k.house && other == "" {
				other = f.goesWith()
			}
		}
		switch {
		case other != "":
			d.report(at, "key does not belong here", "it goes with "+other)
		case len(keys) == 0:
			d.report(at, "unknown key", "no keys belong here")
		default:
			d.report(at, "unknown key", "the nearest is "+Nearest(k.house, keys))
		}
	}
}

// field reads one value that is there.
func (d *Document) field(f *Field, n *node, path string) {
	at := n.place(path)
	switch s, ok := n.word(); {
	case n.empty() && n.swallowed != "":
		f.leaveOut(d, path)
		d.report(at, "no value before "+Quote(n.swallowed), "quote a text that starts with #")
		return
	case n.empty():
		f.leaveOut(d, path)
		d.report(at, "no value", f.wanted()+f.without())
		return
	case ok && slices.Contains(f.words, s), ok && s == Unknown:
		f.leaveOut(d, path)
		if s == Unknown && f.isRequired() {
			d.report(at, "unknown is not enough here", f.wanted())
			return
		}
		at.State = s
		*f.source = at
		return
	}
	at.State = Given
	*f.source = at
	before := len(d.problems)
	f.read(d, f, n)
	if f.single && len(d.problems) > before {
		f.source.State = LeftOut // not readable: nothing is built on it
	}
}

// without says how to write that there is no value.
func (f *Field) without() string {
	if f.isRequired() {
		return ""
	}
	return ", or the key left out"
}

// kindOf reports a node of another kind than wanted, and tells whether it is
// the kind wanted.
func (d *Document) kindOf(f *Field, n *node, wanted kind) bool {
	if n.kind == wanted {
		return true
	}
	what := kindNames[n.kind]
	if n.kind == scalar {
		what = Quote(n.text)
	}
	d.report(n.place(f.source.Path), what+" where "+kindNames[wanted]+" belongs", f.wanted())
	return false
}

// miscounted reports a list or block with more or fewer elements than it may
// have.
func (d *Document) miscounted(f *Field, n *node) bool {
	switch {
	case len(n.items) < f.atLeast:
		d.report(n.place(f.source.Path), fmt.Sprintf("%d are too few", len(n.items)), fmt.Sprintf("at least %d", f.atLeast))
	case f.atMost > 0 && len(n.items) > f.atMost:
		d.report(n.place(f.source.Path), fmt.Sprintf("%d are too many", len(n.items)), fmt.Sprintf("at most %d", f.atMost))
	default:
		return false
	}
	return true
}

// Lay lays out the paths of a record that a file only implies, all left out.
func (d *Document) Lay(into Record, path string) {
	*into.Place() = Source{Path: path}
	d.fields(into.Fields(), nil, *into.Place())
}
