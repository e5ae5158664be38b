package sheet

import (
	"fmt"
	"strings"

	"mutewright/render/scene"
)

// The heights of the title block, the comfortable one first, and of the line
// under it that says what the sheet is worth.
const (
	titleHigh  = 24.0
	titleLeast = 13.6
	creedHigh  = 4.0
)

// creed stands at the foot of every sheet.
const creed = "Worked out from a plan, not from the set: measure before you rely on it. Local codes and a licensed person decide; this certifies nothing."

// titleBlock has the fields of ISO 7200 and, at its foot, the creed. Under its
// full height the first row loses its captions.
func (s *sheet) titleBlock(width, height float64, number int) block {
	d := s.design
	b := block{width: width, height: height}
	foot := height - creedHigh
	k := width / 190 // columns stretch with the paper
	split := 122 * k
	row := foot / 2
	full := height > titleLeast+creedHigh+0.01
	if !full {
		row = 6.0
	}

	b.rule(medium, at(0, foot), at(width, foot))
	b.rule(medium, at(0, row), at(width, row))
	b.rule(medium, at(split, 0), at(split, foot))

	// First row: title and document.
	base, caption := row-1.6, 3.4
	if full {
		b.words(at(inset, caption), scene.Start, italic, "title")
		base = row - 2.1
	}
	b.titleWords(d.Title, at(inset, base), split-2*inset, full)
	document := "Wiring sheet"
	if verdict := s.notReady(); verdict != "" {
		const owner = "verdict"
		b.ground(scene.Rect{X: split + 0.35, Y: 0.5, W: width - split - 0.85, H: row - 0.7}, owner)
		words := strings.TrimSuffix(verdict, ".")
		if full {
			b.inked(at(split+inset, caption), scene.Start, italic, scene.White, owner, document)
		}
		st := style{scene.Bold, title}
		if st.width(words) > width-split-2*inset {
			st = strong
		}
		b.inked(at(split+inset, base), scene.Start, st, scene.White, owner, words)
	} else {
		st, about := strong, "document"
		if caution := s.caution(); caution != "" {
			document, about = strings.TrimSuffix(caution, "."), "wiring sheet"
		}
		if full {
			st = style{scene.Bold, title}
			b.words(at(split+inset, caption), scene.Start, italic, about)
		}
		if st.width(document) > width-split-2*inset {
			st = strong
		}
		b.words(at(split+inset, base), scene.Start, st, document)
	}

	// Second row: the other fields.
	fields := []struct {
		caption, words string
		x              float64
	}{
		{"set", d.Head.Set, 0}, {"drawn by", d.Head.DrawnBy, 38}, {"checked by", "", 66}, {"date", d.Head.Date, 94},
		{"plan fingerprint", fingerprint(d.Fingerprint), 122}, {"sheet", fmt.Sprintf("%d of %d", number, s.total), 167},
	}
	for i, f := range fields {
		x, end := f.x*k, width
		if i+1 < len(fields) {
			end = fields[i+1].x * k
		}
		if i > 0 && f.x != 122 {
			b.rule(medium, at(x, row), at(x, foot))
		}
		b.words(at(x+inset, row+2.9), scene.Start, italic, f.caption)
		b.words(at(x+inset, foot-1.2), scene.Start, strong, fitted(strong, f.words, end-x-inset-0.8))
	}
	b.words(at(inset, height-1.25), scene.Start, regular, creed)
	b.outline(heavy)
	return b
}

// titleWords sets the title in the largest of the title sizes in which it fits.
func (b *block) titleWords(text string, p point, width float64, full bool) {
	sizes := []style{{scene.Bold, signal}, {scene.Bold, title}, strong}
	if !full {
		sizes = sizes[1:]
	}
	for _, st := range sizes {
		if st.width(text) <= width {
			b.words(p, scene.Start, st, text)
			return
		}
	}
	lines := wrap(strong, text, width)
	if full && len(lines) > 1 {
		b.words(at(p.X, p.Y-pitch), scene.Start, strong, lines[0])
		b.words(p, scene.Start, strong, fitted(strong, strings.Join(lines[1:], " "), width))
		return
	}
	b.words(p, scene.Start, strong, fitted(strong, text, width))
}

// fingerprint is the head of the plan's SHA-256 as people compare it:
// "7C1E-40B9-D2A6".
func fingerprint(sha string) string {
	const digits = 12
	if len(sha) < digits {
		return strings.ToUpper(sha)
	}
	f := strings.ToUpper(sha[:digits])
	return f[:4] + "-" + f[4:8] + "-" + f[8:]
}
