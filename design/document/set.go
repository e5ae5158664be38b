package document

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Set lays settings over the file, in order: path=value in the file's own
// notation, list elements counted from 1. A block or list in brackets, and a
// text in quotes, are read as in a file; any other value is taken as it
// stands, without need of quotes. What is wrong with the Nth is reported as
// --set N.
func (d *Document) Set(settings ...string) {
	if d.root == nil {
		return
	}
	for i, text := range settings {
		d.set(i+1, text)
	}
}

func (d *Document) set(n int, text string) {
	at := Source{Setting: n}
	path, value, ok := strings.Cut(text, "=")
	path, value = strings.TrimSpace(path), strings.TrimSpace(value)
	parts := strings.Split(path, ".")
	for _, p := range parts {
		at.Path = join(at.Path, p)
		ok = ok && p != ""
	}
	switch {
	case !utf8.ValidString(text):
		d.report(Source{Setting: n}, "text that is no UTF-8", "wanted path=value")
		return
	case !ok:
		d.report(Source{Setting: n}, Quote(text)+" is no setting", "wanted path=value, as in receiver.mains.voltage=230 V")
		return
	case len(parts) > depthLimit:
		d.report(at, "path too long", fmt.Sprintf("at most %d keys", depthLimit))
		return
	}
	if v := d.settingValue(n, value, at, len(parts)); v != nil {
		d.put(d.root, parts, Source{Setting: n}, v)
	}
}

// settingValue turns the text behind = into a node; nil after a report.
func (d *Document) settingValue(n int, value string, at Source, depth int) *node {
	if value == "" || !strings.ContainsAny(value[:1], `[{"'`) {
		return &node{text: value, setting: n}
	}
	var file yaml.Node
	if err := yaml.Unmarshal([]byte(value), &file); err != nil || len(file.Content) == 0 {
		d.report(at, Quote(value)+" cannot be read", "close brackets and quotes; quote a text that holds a comma, a bracket, \": \" or \" #\"")
		return nil
	}
	b := builder{doc: d, setting: n}
	return b.build(file.Content[0], &trail{key: at.Path}, depth+1)
}

// put lays v into n at the end of a path, making what is missing on the way.
// A word such as none gives way to the block or list that the path goes into.
func (d *Document) put(n *node, path []string, at Source, v *node) {
	part, last := path[0], len(path) == 1
	here := at.Path
	at.Path = join(at.Path, part)
	index, err := strconv.Atoi(part)
	numbered := err == nil
	if n.empty() || n.isWord() {
		*n = node{kind: block, setting: v.setting}
		if numbered {
			n.kind = list
		}
	}
	var child *node
	switch n.kind {
	case scalar:
		d.report(at, here+" is "+Quote(n.text)+" and has no keys", "set "+here+" as a whole")
		return
	case list:
		switch {
		case !numbered || index < 1:
			d.report(at, here+" is a list", "wanted a number from 1")
			return
		case index > len(n.items)+1:
			d.report(at, fmt.Sprintf("%s has %d elements", here, len(n.items)), fmt.Sprintf("wanted a number from 1 to %d", len(n.items)+1))
			return
		case index == len(n.items)+1:
			n.items = append(n.items, &node{setting: v.setting})
		}
		child = n.items[index-1]
	case block:
		if child, _ = n.find(part); child == nil {
			child = &node{setting: v.setting}
			n.keys = append(n.keys, key{text: part, house: house(part), setting: v.setting})
			n.items = append(n.items, child)
		}
	}
	if last {
		*child = *v
		return
	}
	d.put(child, path[1:], at, v)
}

func (n *node) isWord() bool {
	_, ok := n.word()
	return ok
}
