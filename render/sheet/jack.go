package sheet

import (
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// jackBlock is what stands beside the wire table: how to use the jack, and the
// contacts in the set's three states. Tight lines are for a page that is full.
func jackBlock(j *fitting.Jack, relay string, width float64, tight bool) block {
	b := block{width: width}
	line, row := 3.9, 4.2
	if tight {
		line, row = pitch, 3.8
	}
	b.bar(0, "THE JACK", fitted(regular, strings.TrimPrefix(j.Ref+", "+j.Words, ", "), width-30))
	y := barHigh + line
	long := width - 2*inset
	for _, l := range wrap(strong, j.Title, long) {
		b.words(at(inset, y), scene.Start, strong, l)
		y += line
	}
	lines := flowing(regular, j.Lines, long)
	if tight {
		if run := wrap(regular, strings.Join(j.Lines, " "), long); len(run) < len(lines) {
			lines = run
		}
	}
	for _, l := range lines {
		b.words(at(inset, y), scene.Start, regular, l)
		y += line
	}
	y -= line - 1.3
	b.rule(medium, at(0, y), at(width, y))
	y = b.states(j, relay, y, row)
	b.height = y
	return b
}

// flowing keeps the lines as they were given where each fits, and lets them run
// on where one does not.
func flowing(s style, lines []string, width float64) []string {
	for _, l := range lines {
		if s.width(l) > width {
			return wrap(s, strings.Join(lines, " "), width)
		}
	}
	return lines
}

// states draws the table of states from y and returns where it ends. Contacts
// that do not fit side by side are told in a sentence.
func (b *block) states(j *fitting.Jack, relay string, y, row float64) float64 {
	words := 0.0
	for _, h := range append([]string{"closed"}, j.Contacts...) {
		words = max(words, italic.width(h))
	}
	const name, armature = inset, inset + 21.0
	first := armature + max(regular.width("operated"), italic.width(relay)) + 3
	abreast := first+float64(len(j.Contacts))*(words+2.2) <= b.width-inset+2.2
	column := func(i int) float64 {
		return b.width - inset - float64(len(j.Contacts)-1-i)*max(words+2.2, 15.5-1.5*float64(len(j.Contacts)))
	}
	base := y + row - 1.1
	b.words(at(name, base), scene.Start, italic, "state")
	b.words(at(armature, base), scene.Start, italic, relay)
	if abreast {
		for i, h := range j.Contacts {
			b.words(at(column(i), base), scene.End, italic, h)
		}
	}
	y += row
	for _, s := range j.States {
		b.rule(hair, at(inset, y), at(b.width-inset, y))
		base := y + row - 0.95
		b.words(at(name, base), scene.Start, strong, s.Name)
		b.words(at(armature, base), scene.Start, regular, s.Relay)
		y += row
		var notes []string
		if abreast {
			for i, c := range s.Contacts {
				b.words(at(column(i), base), scene.End, regular, c)
			}
		} else {
			notes = append(notes, sentence(j.Contacts, s.Contacts))
		}
		if s.Note != "" {
			notes = append(notes, s.Note)
		}
		for _, n := range notes {
			for _, l := range wrap(regular, n, b.width-2*inset) {
				b.words(at(inset, y+pitch-1.3), scene.Start, regular, l)
				y += pitch
			}
		}
	}
	return y + 0.9
}

// sentence tells which contacts are closed and which open, and to which throw
// changeovers go.
func sentence(heads, states []string) string {
	var parts []string
	for _, word := range []string{"closed", "open"} {
		var list []string
		for i, s := range states {
			if s == word && i < len(heads) {
				list = append(list, heads[i])
			}
		}
		if len(list) > 0 {
			parts = append(parts, word+" "+strings.Join(list, ", "))
		}
	}
	for i, s := range states {
		if s != "closed" && s != "open" && i < len(heads) {
			parts = append(parts, heads[i]+" "+s)
		}
	}
	return strings.Join(parts, "; ") + "."
}

// fitted is the beginning of a text that is too long for its place, cut at a
// word, with an ellipsis.
func fitted(s style, text string, width float64) string {
	if s.width(text) <= width {
		return text
	}
	lines := wrap(s, text, width-s.width("…"))
	if len(lines) == 0 {
		return ""
	}
	return lines[0] + "…"
}
