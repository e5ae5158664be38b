// Package document reads files of keys and values: a strict part of YAML, with
// the place of every value, and all that is wrong with a file at once.
//
// What a file may hold is said once, by the records it is read into: a struct
// embeds a [Source], has a slot for each key ([Value], [Measure], [List],
// [Map], [Reference], or another record) and a method Fields that binds keys
// to slots. Reading, the list of known keys, the nearest one to a slip, and
// --set all follow from that table:
//
//	type Fuse struct {
//		document.Source
//		Value document.Measure[quantity.Amps]
//		In    document.Value[Conductor]
//	}
//
//	func (f *Fuse) Fields() []document.Field {
//		return []document.Field{
//			document.Span("value", &f.Value).Positive(),
//			document.Choice("in", &f.In, Line, Neutral),
//		}
//	}
//
// Refused are duplicate and unknown keys, anchors, aliases, tags, a second
// document, text that is not UTF-8, and files beyond the limits. Words are
// read in US and British spelling, and earth as ground.
package document

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// A Document is one file, and all that was found wrong with it.
type Document struct {
	file     string
	root     *node // nil where the file cannot be read as YAML
	problems []Problem
}

// Parse reads the notation of a file, given by its name as typed and its
// bytes. What is wrong is kept for [Document.Err].
func Parse(file string, data []byte) *Document {
	d := &Document{file: file}
	if d.readable(data) {
		d.parse(string(data))
	}
	return d
}

// readable reports a file that is too large or not text.
func (d *Document) readable(data []byte) bool {
	if len(data) > sizeLimit {
		d.report(Source{Line: 1}, fmt.Sprintf("%d bytes are too many", len(data)), "at most 1 MiB")
		return false
	}
	if !utf8.Valid(data) {
		before := data
		for len(before) > 0 {
			r, size := utf8.DecodeRune(before)
			if r == utf8.RuneError && size == 1 {
				break
			}
			before = before[size:]
		}
		bad := before[0]
		lines := splitLines(string(data[:len(data)-len(before)]))
		d.report(Source{Line: len(lines), Column: 1 + utf8.RuneCountInString(lines[len(lines)-1])},
			fmt.Sprintf("byte 0x%02X is no UTF-8", bad), "save the file as UTF-8")
		return false
	}
	return true
}

func (d *Document) parse(text string) {
	text = strings.TrimPrefix(text, "\ufeff") // a byte order mark says nothing in UTF-8
	lines := splitLines(text)
	decoder := yaml.NewDecoder(bytes.NewReader([]byte(text)))
	var file, second yaml.Node
	if err := decoder.Decode(&file); err != nil && !errors.Is(err, io.EOF) {
		d.syntax(err, lines)
		return
	}
	if len(file.Content) == 0 || file.Content[0].ShortTag() == "!!null" {
		d.report(Source{Line: 1, Column: 1}, "nothing in this file", "wanted keys and values")
		return
	}
	switch err := decoder.Decode(&second); {
	case errors.Is(err, io.EOF):
	case err != nil:
		d.syntax(err, lines)
		return
	default:
		d.report(Source{Line: second.Line, Column: second.Column}, "a second document", "one document in a file, without ---")
	}
	b := builder{doc: d, lines: lines}
	d.root = b.build(file.Content[0], &trail{}, 1)
	if d.root != nil && d.root.kind != block {
		d.report(d.root.place(""), kindNames[d.root.kind]+" stands alone", "wanted keys and values")
		d.root = nil
	}
}

// Scalar returns the text of a value at the top of the file, and its place;
// false where there is none. It serves to look at a version before the file is
// read under it.
func (d *Document) Scalar(key string) (string, Source, bool) {
	if d.root == nil {
		return "", Source{}, false
	}
	n, _ := d.root.find(key)
	if n == nil || n.kind != scalar {
		return "", Source{}, false
	}
	return n.text, n.place(key), true
}

// Report adds to what is wrong with the file: at a value, or where it would
// stand.
func (d *Document) Report(at Source, what, wanted string) { d.report(at, what, wanted) }

func (d *Document) report(at Source, what, wanted string) {
	d.problems = append(d.problems, Problem{
		Line: at.Line, Column: at.Column, Setting: at.Setting, Path: at.Path, What: what, Wanted: wanted,
	})
}

// Err returns nil, or [*Problems] with all that is wrong, sorted.
func (d *Document) Err() error {
	if len(d.problems) == 0 {
		return nil
	}
	p := &Problems{File: d.file, List: d.problems}
	p.sort()
	return p
}
