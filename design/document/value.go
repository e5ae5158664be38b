package document

import (
	"strings"

	"mutewright/design/quantity"
)

// State says how much a file tells about a value.
type State uint8

// The states of a value.
const (
	LeftOut State = iota // the key is not there
	Given
	Unknown // the word unknown
	None    // the word none, where a key takes it
	Choose  // the word choose, where a key takes it
)

var stateWords = [...]string{LeftOut: "left out", Given: "given", Unknown: "unknown", None: "none", Choose: "choose"}

// String returns the word as a file writes it; "left out" and "given" for the
// two that have none.
func (s State) String() string { return stateWords[s] }

// A Source is where a value stands and in which state. Path is laid out for
// values that were left out too, so that they can be named; Line and Column
// count from 1 and are 0 for those. A record embeds a Source.
type Source struct {
	Path         string // "muting_points.output.tube"; list elements count from 1
	Line, Column int    // in characters
	Setting      int    // N of --set N; 0 from the file
	State        State
}

// Given tells whether there is a value.
func (s Source) Given() bool { return s.State == Given }

// Name returns the last part of the path: the key, or the name of an entry.
func (s Source) Name() string { return s.Path[strings.LastIndexByte(s.Path, '.')+1:] }

// Place returns the source itself; it makes a struct that embeds one a [Record].
func (s *Source) Place() *Source { return s }

// A Value is what a file says under one key. Is means nothing unless the
// value is given.
type Value[T any] struct {
	Source
	Is T
}

// A Measure is a quantity with its doubt.
type Measure[Q quantity.Quantity] = Value[quantity.Span[Q]]

// A List is what a file lists under one key, in the order of the file.
type List[T any] struct {
	Source
	Items []T
}

// A Map is a list of entries that have names, in the order of the file.
type Map[T any] struct {
	Source
	Items []T
	names []string
}

// Names returns the names of the entries, in the order of the file.
func (m *Map[T]) Names() []string { return m.names }

// Find returns the entry of that name, or nil.
func (m *Map[T]) Find(name string) *T {
	for i, n := range m.names {
		if n == name {
			return &m.Items[i]
		}
	}
	return nil
}

// Add appends an entry that the file only implies, and returns it.
func (m *Map[T]) Add(name string, entry T) *T {
	m.names = append(m.names, name)
	m.Items = append(m.Items, entry)
	return &m.Items[len(m.Items)-1]
}

// A Reference is either a name to be looked up or the thing itself, written
// out. Who looks the name up puts what he finds into Is.
type Reference[T any] struct {
	Source
	Named string // "" where it is written out
	Is    T
}

// Two values that belong together, such as a voltage and its current.
type Two[A, B quantity.Quantity] struct {
	First  A
	Second B
}
