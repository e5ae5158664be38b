package sheet

import (
	"regexp"
	"strings"
	"unicode/utf8"

	"mutewright/render/scene"
)

// The sizes of type, mm. Nothing on a sheet is smaller than small, and no size
// shrinks to make words fit.
var (
	small  = scene.Points(8)
	plain  = scene.Points(9)
	title  = scene.Points(12)
	signal = scene.Points(16)
)

// The distances, mm.
const (
	pitch   = 3.6 // between base lines of small type
	barHigh = 5.2 // head bar of a block
	gap     = 2.0 // between blocks
	inset   = 2.0 // words from the outline of their block
)

// The pens.
var (
	heavy  = scene.Pen{Ink: scene.Black, Width: 0.70}
	medium = scene.Pen{Ink: scene.Black, Width: 0.35}
	hair   = scene.Pen{Ink: scene.Black, Width: 0.12}
	thin   = scene.Pen{Ink: scene.Black, Width: 0.25}
)

type point = scene.Point

func at(x, y float64) point { return point{X: x, Y: y} }

// A block is a finished part of a page, its top left corner at 0, 0.
type block struct {
	width, height float64
	items         []scene.Item
	owner         string // of its head bar, which touches its outline
}

func (b *block) add(s scene.Shape, pen scene.Pen, fill scene.Ink, tag scene.Tag) {
	b.items = append(b.items, scene.Item{Shape: s, Pen: pen, Fill: fill, Tag: tag})
}

// put copies another block's items in at x, y.
func (b *block) put(items []scene.Item, x, y float64) {
	b.items = append(b.items, scene.Shift(items, x, y)...)
}

// A style is how words are set.
type style struct {
	font scene.Font
	size float64
}

var (
	regular = style{scene.Regular, small}
	bold    = style{scene.Bold, small}
	italic  = style{scene.Italic, small}
	strong  = style{scene.Bold, plain}
	body    = style{scene.Regular, plain}
)

func (s style) width(words string) float64 { return s.font.Width(words, s.size) }

// words prints a line; its base line is at p.
func (b *block) words(p point, anchor scene.Anchor, s style, text string) {
	b.inked(p, anchor, s, scene.Black, "", text)
}

// inked prints a line on a ground of its owner.
func (b *block) inked(p point, anchor scene.Anchor, s style, ink scene.Ink, owner, text string) {
	if text == "" {
		return
	}
	b.add(scene.Text{At: p, Words: text, Font: s.font, Size: s.size, Anchor: anchor}, scene.Pen{}, ink,
		scene.Tag{Class: scene.Word, Owner: owner})
}

// rule draws a line that words keep off.
func (b *block) rule(pen scene.Pen, points ...point) {
	b.add(scene.Polyline(points...), pen, scene.None, scene.Tag{Class: scene.Rule})
}

// ground blackens an area for white words of the same owner.
func (b *block) ground(r scene.Rect, owner string) {
	b.add(r, scene.Pen{}, scene.Black, scene.Tag{Class: scene.Ground, Owner: owner})
}

// outline draws the block's frame; the pen's whole width lies inside of it.
func (b *block) outline(pen scene.Pen) {
	e := pen.Width / 2
	b.add(scene.Polygon(at(e, e), at(b.width-e, e), at(b.width-e, b.height-e), at(e, b.height-e)), pen, scene.None, scene.Tag{Class: scene.Rule, Owner: b.owner})
}

// bar draws a head bar at y, with a remark on its right.
func (b *block) bar(y float64, head, remark string) {
	owner := "head " + head
	b.owner = owner
	b.ground(scene.Rect{Y: y, W: b.width, H: barHigh}, owner)
	b.inked(at(inset, y+3.75), scene.Start, strong, scene.White, owner, head)
	b.inked(at(b.width-inset, y+3.7), scene.End, regular, scene.White, owner, fitted(regular, remark, b.width-3*inset-strong.width(head)))
}

// row makes all that was added since item first one row of a table, which reads
// as its cells.
func (b *block) row(first int, cells ...string) {
	for i := range b.items[first:] {
		b.items[first+i].Row = strings.Join(cells, "\t")
	}
}

// tickBox draws an empty box to be ticked; y is the base line of the words
// beside it.
func (b *block) tickBox(x, y float64) {
	const side = 2.6
	b.add(scene.Rect{X: x, Y: y - side + 0.2, W: side, H: side}, thin, scene.White, scene.Tag{Class: scene.Body})
}

// measure is a figure with its unit behind a blank that would let them part.
var measure = regexp.MustCompile(`(\d) ([kMmµnp]?(?:Ω|V|A|W|F|Hz|s|m|dB|%|°C)(?:\b|$|[ .,;:)]))`)

// wrap breaks text at its blanks into lines no wider than width; a longer word
// is cut. No-break spaces hold.
func wrap(s style, text string, width float64) []string {
	var lines []string
	var line []string
	space, taken := s.width(" "), 0.0
	end := func() {
		if len(line) > 0 {
			lines = append(lines, strings.Join(line, " "))
		}
		line, taken = line[:0], 0
	}
	for _, word := range strings.FieldsFunc(kept(text), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		long := s.width(word)
		if len(line) > 0 && taken+space+long > width {
			end()
		}
		for len(line) == 0 && long > width && utf8.RuneCountInString(word) > 1 {
			n := cut(s, word, width)
			lines = append(lines, word[:n])
			word = word[n:]
			long = s.width(word)
		}
		if len(line) > 0 {
			taken += space
		}
		line, taken = append(line, word), taken+long
	}
	end()
	return lines
}

// kept is text in which figures keep to their units.
func kept(text string) string {
	if !strings.ContainsAny(text, "0123456789") {
		return text
	}
	return measure.ReplaceAllString(text, "$1\u00a0$2")
}

// cut returns the byte at which a word has to be broken to fit, after at least
// one character; behind a dot, an underscore or a slash where there is one.
func cut(s style, word string, width float64) int {
	end, good := 0, 0
	for i, r := range word {
		next := i + utf8.RuneLen(r)
		if end > 0 && s.width(word[:next]) > width {
			break
		}
		end = next
		if strings.ContainsRune("._/-", r) {
			good = next
		}
	}
	if good > 0 {
		return good
	}
	return end
}
