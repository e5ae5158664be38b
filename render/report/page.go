// Package report writes what a design says as text for people (100 columns at
// most, no colour), as JSON by the contract of the plan format, and as CSV.
package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// columns is the widest a line of text may be.
const columns = 100

// A page collects lines of text, none wider than columns and none with
// characters that a terminal would obey.
type page struct{ b strings.Builder }

// writeTo writes the page. No-break spaces have done their work when the lines
// are broken: in print they are plain, so that a search for "250 V" finds it.
func (p *page) writeTo(w io.Writer) error {
	if _, err := io.WriteString(w, strings.ReplaceAll(p.b.String(), noBreak, " ")); err != nil {
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

// paragraph writes text wrapped at columns, its first line behind first and
// every further one behind rest.
func (p *page) paragraph(first, rest, text string) {
	prefix := Harmless(first)
	for _, line := range wrap(Harmless(text), columns-width(prefix), columns-width(rest)) {
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
