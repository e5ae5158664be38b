// Package report writes what a design says as text for people, as JSON by the
// contract of the plan format, and as CSV. Text is 80 columns wide at most, where
// relays stand side by side 100.
package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The widest that a line of text may be: of a terminal as it opens, and of one
// that was made wide for relays side by side.
const (
	columns     = 80
	wideColumns = 100
)

// A page collects lines of text, none wider than its columns and none with
// characters that a terminal would obey.
type page struct {
	b     strings.Builder
	wide  bool // wideColumns, else columns
	marks []mark

	explained []string // words of the trade; each is explained where it first appears
}

// columns is the widest that a line of this page may be.
func (p *page) columns() int {
	if p.wide {
		return wideColumns
	}
	return columns
}

// writeTo writes the page.
func (p *page) writeTo(w io.Writer) error {
	if _, err := io.WriteString(w, p.text(w)); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return nil
}

const noBreak = "\u00a0"

func (p *page) blank() { p.b.WriteByte('\n') }

// heading starts a section: a blank line, then its name.
func (p *page) heading(name string) {
	p.blank()
	p.paragraph("", "", name)
}

// paragraph writes text wrapped at the page's columns, its first line behind first and
// every further one behind rest.
func (p *page) paragraph(first, rest, text string) {
	prefix := Harmless(first)
	for _, line := range wrap(Harmless(text), p.columns()-width(prefix), p.columns()-width(rest)) {
		p.b.WriteString(strings.TrimRight(prefix+line, " ") + "\n")
		prefix = rest
	}
}

// wrap breaks text at its spaces into lines of at most first, then rest
// characters. A longer word is cut, a key path behind one of its dots.
func wrap(text string, first, rest int) []string {
	var lines []string
	line, room := "", first
	flush := func() {
		lines = append(lines, line)
		line, room = "", rest
	}
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		if line != "" && width(line)+1+width(word) > room {
			flush()
		}
		for width(word) > room {
			cut := cutAt(word, room)
			if dot := strings.LastIndexByte(word[:cut], '.'); dot > 0 {
				cut = dot + 1
			}
			line = word[:cut]
			word = word[cut:]
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" || len(lines) == 0 {
		flush()
	}
	return lines
}

// cutAt returns the byte at which the first n characters of s end.
func cutAt(s string, n int) int {
	for i := range s {
		if n == 0 {
			return i
		}
		n--
	}
	return len(s)
}

func width(s string) int { return utf8.RuneCountInString(s) }

// Harmless returns s with everything that a terminal or a reader's eye could
// be led astray by (control characters, marks of text direction, broken
// UTF-8) written out as \u escapes. Line breaks and tabs become spaces.
func Harmless(s string) string {
	if !strings.ContainsFunc(s, harmful) && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '\n' || r == '\t':
			b.WriteByte(' ')
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case harmful(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// harmful are controls (Cc), formats (Cf: direction marks, zero-width ones)
// and separators of lines and paragraphs.
func harmful(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}
