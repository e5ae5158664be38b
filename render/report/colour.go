package report

import (
	"io"
	"slices"
	"strings"

	"mutewright/design/finding"
)

// Colours is a terminal that shows colour: text that is written to it has its
// words of severity coloured. Colour never stands alone: the word says the same.
type Colours struct{ io.Writer }

// A mark is a word of a page that has a colour of its own.
type mark struct {
	from, to int // bytes of the page
	sgr      string
}

// severityColours are the colours of ECMA-48, by severity.
var severityColours = [...]string{
	finding.Good: "32", finding.Note: "36", finding.Caution: "33", finding.Fail: "31", finding.Danger: "1;31",
}

// mark colours the next n bytes of the page, behind the first skip.
func (p *page) mark(skip, n int, sgr string) {
	from := p.b.Len() + skip
	p.marks = append(p.marks, mark{from, from + n, sgr})
}

// painted is the text of the page with its marks as control sequences.
func (p *page) painted() string {
	text := p.b.String()
	for _, m := range slices.Backward(p.marks) {
		text = text[:m.from] + "\x1b[" + m.sgr + "m" + text[m.from:m.to] + "\x1b[0m" + text[m.to:]
	}
	return text
}

// text is what the page writes to w.
func (p *page) text(w io.Writer) string {
	text := p.b.String()
	if _, coloured := w.(Colours); coloured {
		text = p.painted()
	}
	// No-break spaces have done their work when the lines are broken: in print they
	// are plain, so that a search for "250 V" finds it.
	return strings.ReplaceAll(text, noBreak, " ")
}
