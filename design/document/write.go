package document

import (
	"regexp"
	"strings"

	"mutewright/design/quantity"
)

// A Figure is one value of a record as a file writes it.
type Figure struct {
	Path string // within the record: "coil.voltage", "points.1.grid"
	Text string
}

// Figures lists the values of a record that are there, in the order of its table;
// what is to be left out is told by key path.
func Figures(r Record, leaveOut func(path string) bool) []Figure {
	var list []Figure
	var walk func(fields []Field, at string)
	walk = func(fields []Field, at string) {
		for i := range fields {
			f := &fields[i]
			path := join(at, f.key)
			if !f.there() || leaveOut(path) {
				continue
			}
			if text := f.written(); text != "" {
				list = append(list, Figure{path, text})
				continue
			}
			walk(f.inside(), path)
		}
	}
	walk(r.Fields(), "")
	return list
}

// Write writes the values of a record that are there as a block of a file, every
// line behind indent. What it writes reads back to the same values, to six digits.
func Write(r Record, indent string) string {
	var b strings.Builder
	var write func(fields []Field, indent, first string, inList bool)
	write = func(fields []Field, indent, first string, inList bool) {
		for i := range fields {
			f := &fields[i]
			if !f.there() {
				continue
			}
			key := f.key + ":"
			if inList {
				key = "-"
			}
			text := f.written()
			switch {
			case text != "":
				if f.prose && f.source.State == Given {
					text = quoted(text)
				}
				b.WriteString(first + key + " " + text + "\n")
			case inList:
				write(f.inside(), indent+"  ", first+"- ", f.listed())
			default:
				b.WriteString(first + key + "\n")
				write(f.inside(), indent+"  ", indent+"  ", f.listed())
			}
			first = indent
		}
	}
	write(r.Fields(), indent, indent, false)
	return b.String()
}

// there tells whether a file says anything under the key.
func (f *Field) there() bool { return f.applies() != no && f.source.State != LeftOut }

// written is the value as one text; "" where there are others inside.
func (f *Field) written() string {
	if s := f.source.State; s != Given {
		return stateWords[s]
	}
	if f.text == nil {
		return ""
	}
	return f.text()
}

// inside are the fields below this one that are there.
func (f *Field) inside() []Field {
	if f.parts != nil {
		return f.parts()
	}
	return f.table()
}

// listed tells whether what is inside stands in a list.
func (f *Field) listed() bool { return f.parts != nil && f.names == nil }

// writeSpan writes a quantity with its doubt.
func writeSpan[Q quantity.Quantity](s quantity.Span[Q]) string {
	u := s.Nominal.Unit()
	plain := func(q Q) string { return quantity.Plain(float64(q), u) }
	switch {
	case s.Kind == quantity.PlusMinus && u != quantity.Percentage && u != quantity.Temperature && u != quantity.Level:
		return plain(s.Nominal) + " ± " + quantity.Plain(s.Tolerance, quantity.Percentage)
	case s.Kind != quantity.Exact:
		return plain(s.Low) + " .. " + plain(s.High)
	}
	return plain(s.Nominal)
}

// bare is a text that stands for itself without quotes.
var bare = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9 _.,;/()-]*$`)

// quoted writes a text, in quotes where it could be read as something else.
func quoted(text string) string {
	switch strings.ToLower(text) {
	case "true", "false", "yes", "no", "on", "off", "null", "unknown", "none", "choose":
	default:
		if bare.MatchString(text) && !strings.HasSuffix(text, " ") {
			return text
		}
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}
