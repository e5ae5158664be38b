package scene

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A Font is one face of the sheet's typeface.
type Font uint8

// The faces. Figures are of one width in each.
const (
	Regular Font = iota
	Bold
	Italic
	Mono
)

// Fonts are all faces in order.
var Fonts = []Font{Regular, Bold, Italic, Mono}

func (f Font) String() string {
	return [...]string{"regular", "bold", "italic", "mono"}[f]
}

// Ascent and Descent bound a line of text above and below its base line, as a
// share of its size: capitals, figures and ascenders of the Go faces stay within
// 0.74, descenders within 0.21.
const (
	Ascent  = 0.74
	Descent = 0.21
)

type face struct {
	raw      []byte
	parsed   *sfnt.Font
	units    float64 // per em
	advances map[rune]float64
	plain    [128]float64 // the same of ASCII; NaN where there is none
}

// common are the ranges of characters that sheets are written in; their advances
// are looked up once.
var common = [][2]rune{{0x20, 0x24f}, {0x370, 0x3ff}, {0x2010, 0x22ff}}

// advance is the advance width of a character, em; known is false for one the
// face lacks, whose advance is that of the missing-glyph box. The buffer is the
// parser's room to work in.
func (fc *face) advance(buf *sfnt.Buffer, r rune) (em float64, known bool) {
	g, err := fc.parsed.GlyphIndex(buf, r)
	if err != nil {
		return 0, false
	}
	// At one unit of the em per pixel the advance comes out in font units.
	a, err := fc.parsed.GlyphAdvance(buf, g, fixed.I(int(fc.units)), font.HintingNone)
	if err != nil {
		return 0, false
	}
	return float64(a) / 64 / fc.units, g != 0
}

var faces = sync.OnceValue(func() *[4]face {
	var all [4]face
	var buf sfnt.Buffer
	for i, raw := range [4][]byte{goregular.TTF, gobold.TTF, goitalic.TTF, gomono.TTF} {
		parsed, err := sfnt.Parse(raw)
		if err != nil {
			panic(fmt.Sprintf("scene: embedded face %v: %v", Font(i), err))
		}
		fc := face{raw: raw, parsed: parsed, units: float64(parsed.UnitsPerEm()), advances: map[rune]float64{}}
		for _, span := range common {
			for r := span[0]; r <= span[1]; r++ {
				if a, known := fc.advance(&buf, r); known {
					fc.advances[r] = a
				}
			}
		}
		for r := range fc.plain {
			fc.plain[r] = math.NaN()
			if a, known := fc.advances[rune(r)]; known {
				fc.plain[r] = a
			}
		}
		all[i] = fc
	}
	return &all
})

// Bytes is a fresh copy of the face's TrueType file; the caller may write into it.
func (f Font) Bytes() []byte { return slices.Clone(faces()[f].raw) }

// Width is the length of a line of words in millimetres: the sum of the face's
// own advance widths at the size, without kerning. Characters the face lacks
// count as its missing-glyph box.
func (f Font) Width(words string, size float64) float64 {
	fc := &faces()[f]
	em := 0.0
	for _, r := range words {
		if r < rune(len(fc.plain)) && fc.plain[r] >= 0 {
			em += fc.plain[r]
			continue
		}
		a, ok := fc.advances[r]
		if !ok {
			a, _ = fc.advance(new(sfnt.Buffer), r)
		}
		em += a
	}
	return em * size
}

// Missing lists the characters of words that the face cannot print, each once.
func (f Font) Missing(words string) []rune {
	fc := &faces()[f]
	var missing []rune
	for _, r := range words {
		if _, ok := fc.advances[r]; ok || slices.Contains(missing, r) {
			continue
		}
		if _, known := fc.advance(new(sfnt.Buffer), r); !known {
			missing = append(missing, r)
		}
	}
	return missing
}

// Printable puts a question mark in place of every character that the face lacks.
func (f Font) Printable(words string) string {
	missing := f.Missing(words)
	if len(missing) == 0 {
		return words
	}
	return strings.Map(func(r rune) rune {
		if slices.Contains(missing, r) {
			return '?'
		}
		return r
	}, words)
}

// Outline is the glyph of a character in font units as 26.6 fixed point, y down,
// and its advance in em. It is nil for a blank.
func (f Font) Outline(r rune) (segments sfnt.Segments, advance float64, err error) {
	fc := &faces()[f]
	var buf sfnt.Buffer
	g, err := fc.parsed.GlyphIndex(&buf, r)
	if err != nil {
		return nil, 0, fmt.Errorf("glyph of %q: %w", r, err)
	}
	segments, err = fc.parsed.LoadGlyph(&buf, g, fixed.I(int(fc.units)), nil)
	if err != nil {
		return nil, 0, fmt.Errorf("glyph of %q: %w", r, err)
	}
	advance, _ = fc.advance(&buf, r)
	return slices.Clone(segments), advance, nil
}

// UnitsPerEm is the number of Outline's units to the em.
func (f Font) UnitsPerEm() float64 { return faces()[f].units }
