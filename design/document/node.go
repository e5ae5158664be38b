package document

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Limits of a file. None is reached by a plan that a person would write.
const (
	sizeLimit  = 1 << 20 // bytes
	depthLimit = 12      // blocks and lists inside each other
	textLimit  = 200     // characters
)

type kind uint8

const (
	scalar kind = iota
	block
	list
)

var kindNames = [...]string{scalar: "a value", block: "a block", list: "a list"}

// A node is a piece of a file or a setting: what is left of YAML once all the
// notation that plans do not use has been refused.
type node struct {
	kind
	text         string // of a scalar
	quoted       bool
	swallowed    string // comment that touches its word behind a plain scalar
	line, column int
	setting      int
	keys         []key   // of a block
	items        []*node // values of a block, elements of a list
}

type key struct {
	text         string
	house        string // text in the house's spelling
	line, column int
	setting      int
}

// empty tells whether nothing was written.
func (n *node) empty() bool {
	if n.kind != scalar || n.quoted {
		return false
	}
	switch n.text {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// builder turns YAML into nodes and reports what plans do not use.
type builder struct {
	doc     *Document
	lines   []string
	setting int // > 0: from a setting, where positions mean nothing
}

// A trail is a key path that is put together once somebody asks for it.
type trail struct {
	up  *trail // nil: key is a whole path, "" for the file itself
	key string
}

func (t *trail) to(key string) *trail { return &trail{t, key} }

func (t *trail) String() string {
	if t.up == nil {
		return t.key
	}
	return join(t.up.String(), t.key)
}

func (b *builder) build(y *yaml.Node, path *trail, depth int) *node {
	n := &node{line: y.Line, column: y.Column, setting: b.setting}
	if b.setting > 0 {
		n.line, n.column = 0, 0
	}
	report := func(what, wanted string) { b.doc.report(n.place(path.String()), what, wanted) }
	switch {
	case y.Kind == yaml.AliasNode:
		report("alias "+Quote("*"+y.Value), "write the value out: aliases are not read")
		return nil
	case y.Anchor != "":
		report("anchor "+Quote("&"+y.Anchor), "leave it out: anchors are not read")
	case y.Style&yaml.TaggedStyle != 0:
		report("tag "+Quote(y.Tag), "leave it out: tags are not read")
	}
	if depth > depthLimit {
		report("blocks and lists too deep inside each other", fmt.Sprintf("at most %d", depthLimit))
		return nil
	}
	switch y.Kind {
	case yaml.MappingNode:
		n.kind = block
		b.entries(n, y, path, depth)
	case yaml.SequenceNode:
		n.kind = list
		for i, item := range y.Content {
			if child := b.build(item, path.to(strconv.Itoa(i+1)), depth+1); child != nil {
				n.items = append(n.items, child)
			}
		}
	default:
		n.text = y.Value
		n.quoted = y.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
		if !n.quoted {
			n.swallowed = b.swallowed(y)
		}
	}
	return n
}

func (b *builder) entries(n *node, y *yaml.Node, path *trail, depth int) {
	first := make(map[string]key, len(y.Content)/2)
	for i := 0; i+1 < len(y.Content); i += 2 {
		yk, yv := y.Content[i], y.Content[i+1]
		k := key{text: yk.Value, house: house(yk.Value), line: yk.Line, column: yk.Column, setting: b.setting}
		if b.setting > 0 {
			k.line, k.column = 0, 0
		}
		at := path.to(k.text)
		switch {
		case yk.Kind == yaml.AliasNode || yk.Anchor != "" || yk.Style&yaml.TaggedStyle != 0:
			b.doc.report(k.place(path.String()), "anchor, alias or tag on a key", "wanted a plain key")
			continue
		case yk.Kind != yaml.ScalarNode || k.text == "":
			b.doc.report(k.place(path.String()), "a key that is no word", "wanted a plain key")
			continue
		}
		if earlier, twice := first[k.text]; twice {
			b.doc.report(k.place(at.String()), "key given twice", earlier.once())
			continue
		}
		first[k.text] = k
		if child := b.build(yv, at, depth+1); child != nil {
			n.keys = append(n.keys, k)
			n.items = append(n.items, child)
		}
	}
}

func (k key) once() string {
	if k.line > 0 {
		return fmt.Sprintf("wanted once: it stands on line %d already", k.line)
	}
	return "wanted once"
}

// swallowed returns the comment behind a plain scalar whose # touches the word
// that follows it, as in "tag #2": more likely a text that wanted quotes.
func (b *builder) swallowed(y *yaml.Node) string {
	comment := y.LineComment
	if b.setting == 0 && y.Line >= 1 && y.Line <= len(b.lines) && strings.Contains(b.lines[y.Line-1], "#") {
		line := []rune(b.lines[y.Line-1])
		if from := y.Column - 1; from <= len(line) {
			if rest, ok := strings.CutPrefix(string(line[from:]), y.Value); ok {
				comment = strings.TrimLeft(rest, " \t")
			}
		}
	}
	if rest, ok := strings.CutPrefix(comment, "#"); ok {
		if r, _ := utf8.DecodeRuneInString(rest); unicode.IsLetter(r) || unicode.IsDigit(r) {
			return comment
		}
	}
	return ""
}

func (n *node) place(path string) Source {
	return Source{Path: path, Line: n.line, Column: n.column, Setting: n.setting}
}

func (k key) place(path string) Source {
	return Source{Path: path, Line: k.line, Column: k.column, Setting: k.setting}
}

// splitLines splits at the line breaks that YAML 1.1 knows.
func splitLines(text string) []string {
	if !strings.ContainsAny(text, "\r\u0085\u2028\u2029") {
		return strings.Split(text, "\n")
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n").Replace(text)
	return strings.Split(text, "\n")
}
