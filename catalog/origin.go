package catalog

import (
	"strings"

	"mutewright/design/document"
)

// Mark says how far a figure can be trusted.
type Mark string

// The marks. A figure of a user's own file that has none is Own.
const (
	Published Mark = "published" // in print, taken second-hand
	Computed  Mark = "computed"  // from other figures, by the formula given
	Memory    Mark = "memory"    // not checked
	Own       Mark = "own"
)

// Origin is where a figure comes from.
type Origin struct {
	Mark   Mark
	Source string // "tube manual, second-hand", "from memory (strong)"
}

// originOf reads the text of a source, which starts with its mark: "published,
// tube manual, second-hand", "memory (strong)".
func originOf(text string) Origin {
	for _, mark := range []Mark{Published, Computed, Memory} {
		rest, ok := strings.CutPrefix(text, string(mark))
		if !ok {
			continue
		}
		if mark == Memory {
			return Origin{mark, "from memory" + rest}
		}
		return Origin{mark, strings.TrimPrefix(rest, ", ")}
	}
	return Origin{Own, text}
}

// Cited is the source of one row or entry.
type Cited struct {
	From document.Value[string]
}

// Origin returns where the figures of the row come from.
func (c Cited) Origin() Origin { return originOf(c.From.Is) }

func (c *Cited) field() document.Field { return document.Text("source", &c.From) }

// Sources are the origins of the figures of an entry by key path within the
// entry, such as "coil.release"; one for "coil" holds for all below it that
// have none of their own.
type Sources struct {
	list document.Map[document.Value[string]]
}

// Origin returns where the figure at a key path within the entry comes from.
func (s *Sources) Origin(figure string) Origin {
	for figure != "" {
		if v := s.list.Find(figure); v != nil {
			return originOf(v.Is)
		}
		figure = figure[:max(strings.LastIndexByte(figure, '.'), 0)]
	}
	return Origin{Mark: Own}
}

func (s *Sources) field() document.Field {
	fits := func(name string) bool {
		return name != "" && strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789_.") == ""
	}
	return document.MapOf("sources", &s.list, document.Text).Named(fits, "the key of a figure of this entry, such as coil.release")
}

// inherit adds the origins of a base that this entry does not override: one is
// overridden by its own key and by any key above it.
func (s *Sources) inherit(base Sources) {
	own := s.list
	for i, name := range base.list.Names() {
		covered := false
		for at := name; at != ""; at = at[:max(strings.LastIndexByte(at, '.'), 0)] {
			covered = covered || own.Find(at) != nil
		}
		if !covered {
			s.list.Add(name, base.list.Items[i])
		}
	}
}
